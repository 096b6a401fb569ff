"""Files beside the print: what other programs read."""
