"""Plain text tables for a terminal: columns as wide as their widest cell, numbers to the right."""

from __future__ import annotations

from collections.abc import Sequence

WIDEST = 46


def table(
    head: Sequence[str],
    rows: Sequence[Sequence[str]],
    right: Sequence[int] = (),
    whole: Sequence[int] = (),
) -> str:
    """`rows` under `head`; the columns numbered in `right` are set to the right.

    Cells wider than WIDEST are cut with an ellipsis, so that a long name never breaks the table;
    those of the columns in `whole` are not.
    """
    cut = [
        [cell if column in whole else _cut(cell) for column, cell in enumerate(row)]
        for row in (head, *rows)
    ]
    widths = [max(len(row[column]) for row in cut) for column in range(len(head))]
    lines = [
        "  ".join(
            cell.rjust(width) if column in right else cell.ljust(width)
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in cut
    ]
    lines.insert(1, "  ".join("-" * width for width in widths))
    return "\n".join(lines)


def _cut(cell: str) -> str:
    flat = " ".join(cell.split())
    return flat if len(flat) <= WIDEST else flat[: WIDEST - 1] + "…"
