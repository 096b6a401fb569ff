"""The areas of a job, in their order and with keys that never shift."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.desktop.language import _

JOBS = "jobs"
WAITING, WAITING_KEY = "waiting", "Ctrl+Shift+W"
CATALOGUE, CATALOGUE_KEY = "catalogue", "Ctrl+Shift+K"
PRICE_LISTS, PRICE_LISTS_KEY = "price lists", "Ctrl+Shift+I"
HISTORY, HISTORY_KEY = "history", "Ctrl+Shift+H"  # of the open job, beside its areas
ENQUIRY, INSPECTION, SCOPE, PRICE = "enquiry", "inspection", "scope", "price"
EXPOSURE, PROGRAMME, QUOTE = "exposure", "programme", "quote"
TEARDOWN, VARIATIONS = "teardown", "variations"
AFTER_ACCEPTANCE = (TEARDOWN, VARIATIONS)


@dataclass(frozen=True, slots=True)
class Area:
    """One area of the job path."""

    key: str
    title: str
    shortcut: str


def areas() -> tuple[Area, ...]:
    """The areas there are, in the language in use. Those to come keep their keys free; those
    AFTER_ACCEPTANCE are there once a quote was accepted."""
    return (
        Area(ENQUIRY, _("Enquiry"), "Ctrl+1"),
        Area(INSPECTION, _("Inspection"), "Ctrl+2"),
        Area(SCOPE, _("Scope"), "Ctrl+3"),
        Area(PRICE, _("Price"), "Ctrl+4"),
        Area(EXPOSURE, _("Exposure"), "Ctrl+5"),
        Area(PROGRAMME, _("Programme"), "Ctrl+6"),
        Area(QUOTE, _("Quote"), "Ctrl+7"),
        Area(TEARDOWN, _("Teardown"), "Ctrl+8"),
        Area(VARIATIONS, _("Variations"), "Ctrl+9"),
    )
