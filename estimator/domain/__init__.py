"""What the trade knows: frozen values and functions, without files, clock, database or window."""
