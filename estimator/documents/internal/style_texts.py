"""English of the page that shows a house style before it is kept."""

from __future__ import annotations

TITLE = "How your paper looks"
REFERENCE = "Sample"
FOOT = "Sample page, nothing is offered here"
HEADING = "A heading in your colour"
WORDS = (
    "Rules and headings take the workshop's colours. Blue and orange keep their meaning: firm, "
    "provisional and contingency look the same on every paper."
)
SIGNED = "Released by {name}"
NO_SIGNATURE = "A signature is printed over its owner's line, and only on what is issued."
