"""The Variations page: ledger, contingency drawn down, and one opened variation."""
