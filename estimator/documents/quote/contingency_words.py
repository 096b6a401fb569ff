"""The contingency in plain words: why it is there, what it covers, how it is drawn on, where the
rest goes, and that it moves. Odds stand there only where the workshop has earned them."""

from __future__ import annotations

from typing import Any

from estimator.documents.grammar import labels
from estimator.documents.grammar.columns import Rule
from estimator.documents.quote.sheet import Sheet


def contingency_words(sheet: Sheet) -> list[Any]:
    """The section of a quote; nothing where nothing is held or the price is fixed."""
    first, second = plain_words(sheet), stands_behind(sheet)
    if not first:
        return []
    return [
        Rule(),
        *sheet.section(labels.CONTINGENCY_WORDS, "contingency", need=60),
        sheet.text(" ".join(first), "list", after=3),
        sheet.text(" ".join(second), "list"),
    ]


def plain_words(sheet: Sheet) -> tuple[str, ...]:
    """Two to five sentences that a customer reads; none where nothing is held or the price is
    fixed, which says so itself."""
    if not sheet.price.contingency or sheet.fixed:
        return ()
    sections = (
        *(("contingency: unseen",) if sheet.quote.unseen else ()),
        "contingency: covers",
        f"{sheet.form}: drawn",
        f"{sheet.form}: unspent",
        "contingency: moves",
    )
    return tuple(filter(None, map(sheet.clause, sections)))


def stands_behind(sheet: Sheet) -> tuple[str, ...]:
    """How sure the sum is, what it rests on, and what happens if it runs out."""
    enough = "contingency: enough, earned" if sheet.quote.odds_earned else "contingency: enough"
    said = (*sheet.formed(enough), sheet.clause(_rests(sheet)))
    return tuple(filter(None, (*said, sheet.clause(f"{sheet.form}: runs out"))))


def _rests(sheet: Sheet) -> str:
    quote = sheet.quote
    if quote.own_cases and quote.starting_values:
        return "contingency: rests on both"
    if quote.own_cases:
        return "contingency: rests on own past work"
    if quote.starting_values:
        return "contingency: rests on starting values"
    return "contingency: rests on judgement"
