"""Tables of cells that are laid out once, however often they are asked for or broken.

The engine's own table keeps a style for every cell and sets it up again wherever the table is
broken. Here rows under the same commands share one. Heights, breaks, lines and places are as the
engine has them; the commands are its own, as far as documents use them: paddings, vertical
alignment, lines above and below, cells that span columns, rows that stay together.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate, pairwise
from typing import Any, NamedTuple

from reportlab.platypus import Flowable, Table, TableStyle

from estimator.documents.grammar import grid_look
from estimator.documents.grammar.grid_look import CellLook, Command, Ruled

_PAGEFUL = 500.0
_NO_LIMIT = 72000.0


Stack = list[tuple[Any, float]]  # flowables of a cell, each with its height


class Row(NamedTuple):
    """A row: its cells, how each looks, which columns each takes, and its height."""

    cells: Sequence[Stack]
    looks: Sequence[CellLook]
    spans: dict[int, int]
    height: float


class Grid(Flowable):  # type: ignore[misc]
    """A table that breaks between rows, and inside one only if that row alone fills a page.

    A cell is a flowable, a stack of them, or empty text.
    """

    def __init__(
        self, rows: Sequence[Sequence[Any]], widths: Sequence[float],
        repeatRows: int = 0, style: TableStyle | Sequence[Command] = (),  # noqa: N803
    ) -> None:  # fmt: skip
        super().__init__()
        self.hAlign = "CENTER"
        self._cells, self._widths, self._repeat = rows, list(widths), repeatRows
        self._lefts = [0.0, *accumulate(self._widths)]
        self._commands: list[Command] = []
        self._rows: list[Row] = []
        self._ruled: list[Ruled] = []
        self._kept: set[int] = set()  # rows that stay with the one above
        self.setStyle(style)

    def setStyle(self, style: TableStyle | Sequence[Command]) -> None:  # noqa: N802
        """Add commands; for a table that is not laid out yet."""
        self._commands += style.getCommands() if isinstance(style, TableStyle) else style

    def wrap(self, *_available: float) -> tuple[float, float]:
        """Width and height taken."""
        if not self._rows:
            self._lay_out()
        self.width, self.height = self._lefts[-1], sum(one.height for one in self._rows)
        return self.width, self.height

    def _lay_out(self) -> None:
        shape = (len(self._cells), len(self._widths))
        spans = grid_look.spans_of(self._commands, shape)
        self._ruled = grid_look.rules_of(self._commands, shape)
        self._kept = grid_look.kept_of(self._commands, shape)
        looks = grid_look.looks_of(self._commands, shape)
        self._rows = [
            self._row(cells, look, spans.get(at, {}))
            for at, (cells, look) in enumerate(zip(self._cells, looks, strict=True))
        ]

    def _row(self, cells: Sequence[Any], looks: Sequence[CellLook], spans: dict[int, int]) -> Row:
        stacks: list[Stack] = []
        highest, canvas = 0.0, getattr(self, "canv", None)
        for at, (cell, look) in enumerate(zip(cells, looks, strict=True)):
            last = spans.get(at, at)
            if last < at or not cell:
                stacks.append([])
                highest = max(highest, 0.0 if last < at else look.leading + look.ends)
                continue
            room = self._lefts[last + 1] - self._lefts[at] - look.sides
            stack = [(one, _height(one, room, canvas))
                     for one in (cell if isinstance(cell, list | tuple) else (cell,))]  # fmt: skip
            stacks.append(stack)
            highest = max(highest, _stack_height(stack) + look.ends)
        return Row(stacks, looks, spans, highest)

    def split(self, available_width: float, available_height: float) -> list[Any]:
        """Parts of the table; none if it should rather start on the next page."""
        self.wrap()
        at = self._last_break(available_height)
        if at == len(self._rows):
            return [self]
        if at > self._repeat:
            return self._parts(at)
        if available_height < _PAGEFUL:
            return []
        return self._as_engine_has_it().split(available_width, available_height)

    def _last_break(self, room: float) -> int:
        """The last row, counted from 1, after which the table may break within the room."""
        taken, found = 0.0, 0
        for number, row in enumerate(self._rows, 1):
            if taken + row.height > room:
                break
            if number not in self._kept:
                found = number
            taken += row.height
        return found

    def _parts(self, at: int) -> list[Any]:
        head = self._repeat
        first = self._part(self._rows[:at], grid_look.ruled_above(self._ruled, at), self._kept)
        kept = {one - at + head for one in self._kept if one > at}
        rest = self._part([*self._rows[:head], *self._rows[at:]],
                          grid_look.ruled_below(self._ruled, at, head), kept)  # fmt: skip
        first.spaceBefore, rest.spaceAfter = self.getSpaceBefore(), self.getSpaceAfter()
        return [first, rest]

    def _part(self, rows: list[Row], ruled: list[Ruled], kept: set[int]) -> Grid:
        part = Grid((), self._widths, self._repeat)
        part._rows, part._ruled, part._kept = rows, ruled, {one for one in kept if one < len(rows)}
        part.hAlign = self.hAlign
        return part

    def _as_engine_has_it(self) -> InRows:
        commands: list[Command] = []
        for at, row in enumerate(self._rows):
            commands += grid_look.commands_of(row.looks, row.spans, at)
        commands += [one.command for one in self._ruled]
        commands += [("NOSPLIT", (0, one - 1), (-1, one)) for one in sorted(self._kept)]
        cells = [[[one for one, _ in stack] or "" for stack in row.cells] for row in self._rows]
        table = InRows(cells, self._widths, repeatRows=self._repeat, style=TableStyle(commands))
        table.hAlign = self.hAlign
        table.spaceBefore, table.spaceAfter = self.getSpaceBefore(), self.getSpaceAfter()
        return table

    def draw(self) -> None:
        """Draw the cells, then the rules."""
        tops = list(accumulate((row.height for row in reversed(self._rows)), initial=0.0))[::-1]
        for row, foot in zip(self._rows, tops[1:], strict=True):
            self._draw_row(row, foot)
        self._draw_rules(tops)

    def _draw_row(self, row: Row, foot: float) -> None:
        canvas = self.canv
        for stack, look, left in zip(row.cells, row.looks, self._lefts, strict=False):
            if not stack:
                continue
            high = stack[0][1] if len(stack) == 1 else _stack_height(stack)
            if look.vertical == "TOP":
                y = foot + row.height - look.top
            elif look.vertical == "MIDDLE":
                y = foot + (row.height + look.bottom - look.top + high) / 2
            else:
                y = foot + look.bottom + high
            if len(stack) == 1:
                stack[0][0].drawOn(canvas, left + look.left, y - high)
                continue
            y += stack[0][0].getSpaceBefore()
            for one, taken in stack:
                y -= one.getSpaceBefore() + taken
                one.drawOn(canvas, left + look.left, y)
                y -= one.getSpaceAfter()

    def _draw_rules(self, tops: list[float]) -> None:
        canvas = self.canv
        if not self._ruled:
            return
        canvas.setLineCap(1)
        canvas.setLineJoin(1)
        before: tuple[float, Any] | None = None
        for one in self._ruled:
            if before != (one.weight, one.colour):
                canvas.setStrokeColor(one.colour)
                canvas.setLineWidth(one.weight)
                before = (one.weight, one.colour)
            left, right = self._lefts[one.first_column], self._lefts[one.last_column + 1]
            for at in range(one.first, one.last + 1):
                y = tops[at + one.below]
                canvas.line(left, y, right, y)


class InRows(Table):  # type: ignore[misc]
    """The engine's table, for one whose row alone fills a page: it breaks inside that row."""

    def split(self, available_width: float, available_height: float) -> list[Any]:
        """Parts of the table; none if it should rather start on the next page."""
        self.splitInRow = 0
        parts: list[Any] = super().split(available_width, available_height)
        if parts or available_height < _PAGEFUL:
            return parts
        self.splitInRow = 1
        return list(super().split(available_width, available_height))


def _height(cell: Any, room: float, canvas: Any) -> float:
    if canvas is None or getattr(cell, "without_canvas", False):
        return float(cell.wrap(room, _NO_LIMIT)[1])
    return float(cell.wrapOn(canvas, room, _NO_LIMIT)[1])


def _stack_height(stack: Stack) -> float:
    between = sum(before.getSpaceAfter() + after.getSpaceBefore()
                  for (before, _), (after, _) in pairwise(stack))  # fmt: skip
    return float(sum(high for _, high in stack) + between)
