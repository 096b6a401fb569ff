"""Who works with the record."""
