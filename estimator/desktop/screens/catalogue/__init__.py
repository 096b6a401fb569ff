"""The price catalogue: looked through, changed with checks at once, kept as editions."""
