"""Papers of the inspection: the report, and the blank sheet to fill in."""
