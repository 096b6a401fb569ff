"""How much a printed quote tells, and which clauses belong to which paper.

A clause of a section like "short: included: annex" stands in for that of "included: annex" where
the quote is short; the other lengths never print it. Sections of papers beside the quote begin
with the name of the paper.
"""

from __future__ import annotations

SHORT, STANDARD, FULL = "short", "standard", "full"
LENGTHS = (SHORT, STANDARD, FULL)
BUDGET, REVISION, OPTIONS_PAGE = "budget letter: ", "revision letter: ", "options page: "
REBUILD_OR_NEW = "rebuild or new: "
WORKSHOP = (
    "inspection report: ", "inspection sheet: ", "parts list: ", "outwork request: ", "job card: ",
)  # fmt: skip
APART = (
    BUDGET,
    REVISION,
    OPTIONS_PAGE,
    REBUILD_OR_NEW,
    *WORKSHOP,
)  # sections of papers beside the quote


def section_in(section: str, length: str) -> str:
    """The section of a quote of this length that a clause's own section belongs to; "" for one
    that such a quote does not print."""
    if section.startswith(APART):
        return ""
    for other in LENGTHS:
        own = f"{other}: "
        if section.startswith(own):
            return section[len(own) :] if other == length else ""
    return section


def stands_in(section: str, length: str) -> bool:
    """Whether a clause of this section stands in for the one that other lengths print."""
    return section.startswith(f"{length}: ")
