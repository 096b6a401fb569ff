"""Find figures of the open job by words of their title or name."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.domain.priced_job import PricedJob
from estimator.domain.reasons import shown


@dataclass(frozen=True, slots=True)
class FoundFigure:
    """A figure that was found: its name for the why panel, its title, its value in words."""

    name: str
    title: str
    shown: str


def find_figures(priced: PricedJob, text: str, limit: int = 40) -> list[FoundFigure]:
    """Figures whose title and name together hold every word of `text`; short names first."""
    words = text.casefold().split()
    found = [
        figure
        for figure in priced.reasons.figures.values()
        if all(word in f"{figure.title} {figure.name}".casefold() for word in words)
    ]
    found.sort(key=lambda figure: (len(figure.name), figure.name))
    return [FoundFigure(one.name, one.title, shown(one.value, one.unit)) for one in found[:limit]]
