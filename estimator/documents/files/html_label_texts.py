"""English texts of the labels of the web page beside the print; `html_labels` answers with them."""

from __future__ import annotations

SKIP = "Skip to the quote"
CONTENTS = "Contents"
BESIDE = (
    "This page says what the printed quote says, for reading on a screen or aloud. "
    "Page numbers are those of the print."
)
HOW_SURE = "How sure the price is: {sums}."
EMPTY_LINE = "to be filled in"
