"""What leaves the program: documents made from domain values, as bytes."""
