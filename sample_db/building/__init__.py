"""What `build_workshop` is made of."""
