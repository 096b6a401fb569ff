"""The Scope page: what is done with each part, and the options side by side."""
