"""Rebuild or buy new: what is given, what follows from it, and how each figure was reached."""
