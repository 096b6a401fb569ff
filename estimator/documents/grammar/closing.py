"""What a house style adds at the end of a paper: the workshop's own terms, a signature."""

from __future__ import annotations

import re
from typing import Any

from reportlab.platypus import Flowable

from estimator.documents.grammar import house_labels as labels
from estimator.documents.grammar import logo
from estimator.documents.grammar.columns import Flow
from estimator.documents.grammar.dress import worn
from estimator.documents.grammar.paper import Paper
from estimator.domain.house_style import Drawing

_SIGNATURE = (140.0, 34.0)  # the most a signature takes
_PARAGRAPHS = re.compile(r"\n\s*\n")
_LONG = 600  # characters from which terms are set in two columns


def own_terms(paper: Paper) -> list[Any]:
    """The workshop's own closing terms under their heading; nothing where it has none."""
    text, parts = worn().terms, own_paragraphs()
    if not parts:
        return []
    lines = [paper.text(one, "second", after=3) for one in parts]
    head = paper.section(labels.OWN_TERMS, "own terms", before=12, need=60)
    return [*head, Flow(lines, 2)] if len(text) > _LONG else [*head, *lines]


def own_paragraphs() -> list[str]:
    """The same terms, paragraph by paragraph."""
    return [" ".join(one.split()) for one in _PARAGRAPHS.split(worn().terms) if one.strip()]


class Drawn(Flowable):  # type: ignore[misc]
    """A drawing of the workshop's own, as large as a box lets it be, `indent` points in."""

    indent = 0.0

    def __init__(self, drawing: Drawing, most: tuple[float, float]) -> None:
        super().__init__()
        self.drawing = drawing
        self.width, self.height = logo.fitted_size(drawing, *most)

    def wrap(self, *_available: float) -> tuple[float, float]:
        """Its size."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw it."""
        logo.draw(self.canv, self.drawing, self.indent, 0, (self.width, self.height))


def signature_over(name: str) -> Drawn | None:
    """Somebody's signature, for the line with their name; None where the style has none."""
    found = worn().signature_of(name)
    return None if found is None else Drawn(found.picture, _SIGNATURE)


def signed_as(name: str) -> str:
    """A name as it stands under a signature: with the capacity that the style tells, unless the
    name has one behind a comma."""
    found = worn().signature_of(name)
    if found is None or not found.capacity or "," in name:
        return name
    return str(labels.SIGNED_AS.format(name=name, capacity=found.capacity))
