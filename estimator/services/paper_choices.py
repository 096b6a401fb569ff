"""Documents of which a job has several: one to a supplier, one to a trade."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from estimator.services.paper_kinds import PaperKind, Source
from estimator.services.workshop_papers import Choices, card_trades, outwork_suppliers

_CHOICES: Mapping[str, Callable[[Source], Choices]] = {
    "outwork": outwork_suppliers,
    "job-card": card_trades,
}


def choices_of(source: Source, kind: PaperKind) -> Choices:
    """(code, name) of each document of this kind that a job has, where it has several; nothing
    where the kind has but one. Raises Refused, NotReckoned."""
    return _CHOICES[kind.key](source) if kind.chooses else ()
