"""What a user can do, one function each, named by verbs."""
