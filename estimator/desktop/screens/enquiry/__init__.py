"""Enquiry: who asks, for which machine, what is wanted, and the range it may come to."""
