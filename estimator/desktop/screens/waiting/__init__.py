"""What waits on whom over all jobs, and the one approval that is looked at."""
