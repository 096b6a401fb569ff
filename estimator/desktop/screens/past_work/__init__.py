"""Past teardowns and closed jobs, typed in bulk or taken from files."""
