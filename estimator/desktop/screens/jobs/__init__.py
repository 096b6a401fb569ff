"""The Jobs list: what waits on whom."""
