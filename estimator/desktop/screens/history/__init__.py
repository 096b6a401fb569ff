"""The history of a job, of one of its variations, or of what was issued."""
