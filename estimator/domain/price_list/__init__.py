"""Price lists of suppliers: their items, what a new list changes, and what that costs."""
