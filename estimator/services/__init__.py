"""What a user can do, one function each, named by verbs. Reads and acts share nothing but errors."""
