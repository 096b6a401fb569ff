"""Shimwright: quoting the rebuild of heavy machines, and keeping the quote true."""

__version__ = "0.1.0"
