"""English of the labels on the budget letter."""

from __future__ import annotations

from estimator.documents.grammar.counted import Counted

TITLE = "What a rebuild of your {machine} may come to"
REFERENCE = "Budget letter {number} \u00b7 {day}"
MACHINE, MACHINE_LINE = (
    "Machine",
    "{machine}, {mass} t class, serial {serial}, {hours} hours as told",
)
NO_SERIAL = "not told"
SCOPE, DATED, PRICED_FOR, UNTIL = "Scope", "Dated", "Meant for", "For planning until"
RANGE, SPAN = "Range before tax", "{low} to {high}"
CLASS_LINE = (
    "Estimate class {number} of 5. An estimate of this class allows for at least {below} below and "
    "{above} above what is thought likely; where the machine\u2019s own figures spread wider, the "
    "range does."
)
RESTS_ON = "What it rests on"
OPEN_PARTS = Counted(
    "{count} part may be found worn and is counted with what it may take.",
    "{count} parts may be found worn and are counted with what they may take.",
)
TAKES_IN = "Work on these component groups is in the range: {names}."
OUTSIDE = "What is not in the range"
NARROWS = "What would narrow it"
CLASSES = "How a figure gets surer"
CLASS, WHEN, BELOW, ABOVE = "Class", "What is known then", "At least below", "At least above"
THIS_LETTER = "{stage} (this letter)"
CLASSES_SOURCE = (
    "The classes and their bands are those of a published recommended practice for classifying "
    "estimates, quoted from memory. It was written for process plants; which stage of a rebuild "
    "answers to which class is common practice, without a source."
)
CAUTION = "No quote"
WRITTEN = "Written by {name}, {workshop}"
