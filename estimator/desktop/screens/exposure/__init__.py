"""The Exposure page: how far the final cost may run, what makes it up, and what is held for it."""
