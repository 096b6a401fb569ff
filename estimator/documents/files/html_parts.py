"""What a page is made of: headings, lists, tables that say what heads what, bars as pictures.

Every part takes markup, not text: text has become markup in `html_text`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from estimator.documents.files.html_text import unmarked
from estimator.documents.grammar.certainty_bar import (
    CONTINGENCY_PART,
    FIRM_PART,
    PROVISIONAL_PART,
)

PATTERNS = {FIRM_PART: "firm", PROVISIONAL_PART: "hatch", CONTINGENCY_PART: "dots"}
_LEAST = 6  # width under which a part would lose its pattern
BAR, SMALL_BAR = (600, 24), (90, 12)


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a table: its head, then cells. `wide` columns are taken by the head; `blank` has
    lines to write on."""

    head: str
    cells: Sequence[str] = ()
    wide: int = 1
    look: str = ""  # class of the row
    short: str = ""  # the head in short, for reading aloud with each cell


def tag(name: str, markup: str, **attributes: str) -> str:
    """An element. Names of attributes end in _ where Python has the word; values are escaped."""
    told = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{unmarked(value)}"'
        for key, value in attributes.items() if value
    )  # fmt: skip
    return f"<{name}{told}>{markup}</{name}>"


def paragraph(markup: str, look: str = "") -> str:
    """A paragraph; nothing for nothing."""
    return tag("p", markup, class_=look) if markup.strip() else ""


def heading(level: int, markup: str, key: str = "") -> str:
    """A heading of a level, where references lead if it has a key."""
    return tag(f"h{level}", markup, id=key)


def points(markups: Iterable[str], look: str = "") -> str:
    """A list; nothing for no points."""
    found = "".join(tag("li", one) for one in markups)
    return tag("ul", found, class_=look) if found else ""


def pairs(rows: Iterable[tuple[str, str]], look: str = "pairs") -> str:
    """Labels with their values."""
    found = "".join(
        tag("div", tag("dt", title) + tag("dd", value)) for title, value in rows if value.strip()
    )
    return tag("dl", found, class_=look) if found else ""


def table(
    key: str, caption: str, head: Sequence[str], rows: Sequence[Row], totals: Sequence[Row] = (),
    look: str = "",
) -> str:  # fmt: skip
    """A table with its caption, which may hold a heading; every column and row has its head.

    It scrolls in a frame of its own where the window is narrow; the frame can be reached by keys.
    """
    first, others = head[0], head[1:]
    heads = (tag("th", first, scope="col") if first else "<td></td>") + "".join(
        tag("th", one, scope="col", class_="figure") if one else "<td></td>" for one in others
    )
    named = f"{key}-table"
    inside = [
        tag("caption", caption, id=named),
        tag("thead", tag("tr", heads)),
        tag("tbody", "".join(map(_row, rows))),
        tag("tfoot", "".join(map(_row, totals))) if totals else "",
    ]
    return tag(
        "div", tag("table", "".join(inside), class_=look), class_="frame", role="group",
        aria_labelledby=named, tabindex="0",
    )  # fmt: skip


def _row(row: Row) -> str:
    span = str(row.wide) if row.wide > 1 else ""
    cells = "".join(tag("td", one, class_="figure") for one in row.cells)
    return tag("tr", tag("th", row.head, scope="row", abbr=row.short, colspan=span) + cells,
               class_=row.look)  # fmt: skip


def bar(
    parts: Sequence[tuple[str, int]], said: str, size: tuple[int, int] = BAR, whole: int = 0
) -> str:
    """Parts of one sum side by side, to scale, as a picture that `said` puts into words. `whole`
    is the sum that fills the full width."""
    width, height = size
    shown = [(kind, amount) for kind, amount in parts if amount > 0]
    full = max(whole or sum(amount for _, amount in shown), 1)
    found, at = [], 0.0
    for kind, amount in shown:
        long = min(max(width * amount / full, _LEAST), max(width - at, _LEAST))
        found.append(
            f'<rect class="{PATTERNS[kind]}" x="{at + 0.5:.1f}" y="0.5" '
            f'width="{max(long - 1, 1):.1f}" height="{height - 1}"/>'
        )
        at += long
    return tag(
        "svg", "".join(found), class_="bar" if size == BAR else "small bar", role="img",
        aria_label=said, viewBox=f"0 0 {width} {height}", preserveAspectRatio="none",
    )  # fmt: skip


def swatch(kind: str) -> str:
    """The key to one pattern; its words stand beside it."""
    return (
        '<svg class="swatch" aria-hidden="true" focusable="false" viewBox="0 0 24 14">'
        f'<rect class="{PATTERNS[kind]}" x="0.5" y="0.5" width="23" height="13"/></svg>'
    )
