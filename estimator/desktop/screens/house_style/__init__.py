"""How the workshop's paper looks."""
