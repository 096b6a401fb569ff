"""The rebuild levels side by side."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from estimator.documents.grammar import labels
from estimator.documents.grammar.look import WIDTH
from estimator.documents.grammar.wording import apart
from estimator.documents.quote.sheet import Sheet
from estimator.domain.money import Money
from estimator.domain.options import LevelOption

_APART = ("firm", "provisional", "contingency")  # parts that one fixed price does not show


def options(sheet: Sheet) -> list[Any]:
    """The rebuild levels side by side, each priced in full."""
    levels = sheet.quote.options
    if len(levels) < 2:  # noqa: PLR2004 - nothing to lay beside it
        return []
    names = (option_name(sheet, one) for one in levels)
    rows = [sheet.cells(("", *names), "head")]
    for key, shown in option_cells(sheet):
        look = "cell strong" if key in ("net", "covered") else "cell"
        rows.append(sheet.cells((labels.OPTION_ROWS[key], *shown), look))
    width = (WIDTH - 170) / len(levels)
    return [
        *sheet.section(labels.OPTIONS, "options", before=12, need=130),
        sheet.table(rows, [170.0] + [width] * len(levels), pad=1),
        *(sheet.text(line, "second", before=3) for line in map(leaves_out, levels) if line),
        sheet.text(" ".join(sheet.formed("options")), "note", before=3),
    ]


def option_cells(sheet: Sheet) -> list[tuple[str, tuple[str, ...]]]:
    """Each row by its key in `labels.OPTION_ROWS`, with what stands in it for each level."""
    levels, words = sheet.quote.options, sheet.words

    def money(name: str, exact: bool = False) -> Callable[[LevelOption], str]:
        def shown(option: LevelOption) -> str:
            amount: Money = getattr(option, name)
            return words.money(amount, exact=exact) if amount else "\u2013"

        return shown

    cells: dict[str, Callable[[LevelOption], str]] = {
        "firm": money("firm"), "provisional": money("provisional"),
        "contingency": money("contingency"), "net": money("net"), "gross": money("gross", True),
        "share": lambda one: labels.USUAL.format(
            share=words.share(one.share_of_new, 1), low=words.share(one.usual_low),
            high=words.share(one.usual_high)),
        "covered": lambda one: words.day(one.ready_covered),
        "likely": lambda one: words.day(one.ready_likely),
    }  # fmt: skip
    if sheet.fixed:
        cells = {key: show for key, show in cells.items() if key not in _APART}
    return [(key, tuple(map(show, levels))) for key, show in cells.items()]


def leaves_out(option: LevelOption) -> str:
    """What a level leaves out; "" for nothing."""
    if not option.leaves_out:
        return ""
    return labels.OPTION_LEAVES_OUT.format(
        level=labels.LEVELS.get(option.level, option.level), names=apart(option.leaves_out)
    )


def option_name(sheet: Sheet, option: LevelOption) -> str:
    """A level's name; that of this quote says so."""
    name = labels.LEVELS.get(option.level, option.level)
    return f"{name} ({labels.THIS_QUOTE})" if option.level == sheet.priced.job.level else name
