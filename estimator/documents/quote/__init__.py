"""The customer's quote."""
