"""Inspection: what was found on the machine, and what nobody has seen."""
