"""Answer why a figure is what it is."""

from __future__ import annotations

import difflib

from estimator.domain.priced_job import PricedJob
from estimator.domain.reasons import UnknownFigure, why_as_data, why_as_text
from estimator.domain.wording import worded
from estimator.services.errors import NotFound


def explain_as_text(
    priced: PricedJob, name: str, depth: int | None = None, most: int | None = None
) -> str:
    """How `name` was reached, as indented lines, `depth` levels down and with at most `most`
    inputs of one figure written out. Raises NotFound."""
    _known(priced, name)
    return why_as_text(priced.reasons, name, depth, most)


def explain_as_data(priced: PricedJob, name: str, depth: int | None = None) -> dict[str, object]:
    """How `name` was reached, as nested plain data. Raises NotFound."""
    _known(priced, name)
    return why_as_data(priced.reasons, name, depth)


def figure_names(priced: PricedJob, starting_with: str = "") -> tuple[str, ...]:
    """Names of every figure of the job that can be asked."""
    return tuple(sorted(n for n in priced.reasons.figures if n.startswith(starting_with)))


def _known(priced: PricedJob, name: str) -> None:
    try:
        priced.reasons.get(name)
    except UnknownFigure:
        near = difflib.get_close_matches(name, priced.reasons.figures, n=4, cutoff=0.4)
        hint = (
            worded("Did you mean {near}?", near=", ".join(near))
            if near
            else worded("List them with `figures`.")
        )
        raise NotFound(worded("No figure is called {name!r}.", name=name), hint) from None
