"""The annex: every line of work, parts and outwork in the price, by component group.

It is what "as listed" refers to. No sums: those stand by group in the price table.
"""

from __future__ import annotations

from itertools import groupby
from typing import Any

from estimator.documents.grammar import labels
from estimator.documents.grammar.columns import Flow
from estimator.documents.grammar.fonts import REGULAR, SEMIBOLD, marked
from estimator.documents.grammar.look import style
from estimator.documents.grammar.text import Line, Text
from estimator.documents.grammar.wording import apart
from estimator.documents.quote.sheet import Sheet
from estimator.domain.pricing import PricedLine
from estimator.domain.scope import LABOUR, OUTWORK, PARTS, PROVISIONAL

_COLUMNS = 3
_KINDS = (LABOUR, PARTS, OUTWORK)


def annex(sheet: Sheet) -> list[Any]:
    """Lines in reading order: by component group, in each first the work, then what is bought."""
    note = " ".join(sheet.formed("annex"))
    return [
        *sheet.section(labels.ANNEX, "annex", before=14, need=220),
        sheet.text(note, "second", after=3),
        Flow(_stack(sheet), _COLUMNS),
        *not_held_in_annex(sheet),
    ]


def not_held_in_annex(sheet: Sheet) -> list[Any]:
    """Kinds of work that may be found and that the price does not hold, where they are many."""
    if not sheet.not_held_in_annex:
        return []
    text = labels.NOT_HELD.format(names=apart(sheet.quote.not_held))
    return [sheet.text(text, "note", before=8)]


def _stack(sheet: Sheet) -> list[Any]:
    lines = sorted(sheet.priced.lines, key=in_order)
    found: list[Any] = []
    for group, members in groupby(lines, key=lambda one: one.line.group):
        name = sheet.priced.cat.groups[group].name
        found.append(sheet.text(name, "cell strong", keep=True, before=5, after=1))
        found += [_line(sheet, one) for one in members]
    return found


def in_order(one: PricedLine) -> tuple[str, int, str, str]:
    """Sorting key of a line in the annex."""
    return (one.line.group, _KINDS.index(one.line.kind), one.line.component, one.line.id)


def _line(sheet: Sheet, one: PricedLine) -> Line | Text:
    """Name and quantity; a provisional line says so, the rest are firm."""
    shown = f"{one.line.row.name}, {sheet.quantity(one.line)}"
    if one.line.certainty != PROVISIONAL or sheet.fixed:
        return sheet.text(shown, "note", after=0.8)
    mark = marked(labels.PROVISIONAL.lower(), SEMIBOLD, tagged=True)
    return Text(f"{marked(shown, REGULAR)}, {mark}", style("note", after=0.8))
