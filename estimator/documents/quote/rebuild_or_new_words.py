"""What follows from a comparison, in plain sentences; where new is better it says so."""

from __future__ import annotations

from typing import Any

from estimator.documents.quote import rebuild_or_new_labels as labels
from estimator.documents.quote.rebuild_or_new_paper import ComparisonPaper
from estimator.domain.rebuild_or_new.compared import LEVEL, REBUILD, Comparison


def what_follows(paper: ComparisonPaper) -> list[Any]:
    """The answer by the hour, what it hangs on, and the answer by the year."""
    first, *rest = sentences(paper)
    return [paper.text(first, "strong"), paper.text(" ".join(rest), "body", before=1)]


def sentences(paper: ComparisonPaper) -> list[str]:
    """One sentence or two for each thing that is to be known."""
    found, words = paper.found, paper.words
    said = [
        _by_hour(found).format(
            rebuilt=paper.hour(found.rebuilt.per_hour[1]),
            new=paper.hour(found.new.per_hour[1]),
            turns=words.money(found.turns_at),
        )
    ]
    if found.turns_at.minor > 0:
        said.append(_holds(paper))
    said.append(labels.APART if found.apart else labels.MEET)
    if found.by_year not in (found.by_hour, LEVEL):
        said.append(
            labels.YEAR_DIFFERS.format(
                rebuilt=words.money(found.rebuilt.per_year), new=words.money(found.new.per_year)
            )
        )
    elif found.by_year == found.by_hour:
        said.append(labels.YEAR_AGREES)
    if found.above_usual:
        low, high = (words.share(one) for one in found.usual)
        share = words.share(found.share, 1)
        said.append(labels.ABOVE_USUAL.format(share=share, low=low, high=high))
    return said


def _by_hour(found: Comparison) -> str:
    if found.by_hour == REBUILD:
        return str(labels.REBUILD_LESS)
    if found.by_hour == LEVEL:
        return str(labels.SAME)
    return str(labels.NEW_LESS if found.turns_at.minor > 0 else labels.NEW_ALWAYS)


def _holds(paper: ComparisonPaper) -> str:
    """Whether our price is under where it turns: spent, within part of the contingency, or not at
    all."""
    found, words = paper.found, paper.words
    unspent, _, spent = found.prices
    room, held = words.money(found.room), words.money(found.priced.price.contingency)
    if unspent == spent:  # nothing in it moves
        label = labels.HOLDS_PRICE if spent < found.turns_at else labels.HOLDS_NOT_PRICE
        return str(label.format(price=words.money(spent)))
    if spent < found.turns_at:
        return str(labels.HOLDS_SPENT.format(price=words.money(spent)))
    if unspent < found.turns_at:
        return str(labels.HOLDS_WITHIN.format(room=room, held=held))
    return str(labels.HOLDS_NOT.format(price=words.money(unspent)))
