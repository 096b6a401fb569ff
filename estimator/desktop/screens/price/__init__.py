"""The Price page: groups and lines with their certainty, cost and totals."""
