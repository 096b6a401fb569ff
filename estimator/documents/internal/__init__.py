"""Papers that stay in the workshop."""
