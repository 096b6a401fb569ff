"""The grammar of pages: what every printed document is made of, whatever it says."""
