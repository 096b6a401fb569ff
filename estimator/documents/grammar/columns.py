"""Stacks of flowables side by side, which go on to the next page where they must."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reportlab.lib.colors import Color
from reportlab.platypus import CondPageBreak, Flowable, Spacer

from estimator.documents.grammar import sheets
from estimator.documents.grammar.look import GAP, LINE, LINE2, WIDTH, rule_colour
from estimator.documents.grammar.text import Grid, Line, Text

Stack = Sequence[Any]
_NOTE = 40.0  # the most height of a note that goes with the table above it
_FEW = 3  # points of a list that begin a page at the least
_AIR = 8.0  # the space that the first of a stack asks for above it


class Columns(Flowable):  # type: ignore[misc]
    """Columns with a common top. `shares` gives their widths as weights of what the gaps leave.

    `rule` draws a hairline between them; `border` a frame round all, padded by `pad` points.
    """

    def __init__(
        self,
        columns: Sequence[Stack],
        shares: Sequence[float] | None = None,
        *,
        gap: float = GAP,
        rule: bool = False,
        border: Color | None = None,
        pad: float = 0,
        before: float = 0,
    ) -> None:
        super().__init__()
        self.columns = [list(column) for column in columns]
        self.shares = list(shares or [1.0] * len(self.columns))
        self.gap, self.rule, self.border, self.pad = gap, rule, border, pad
        self.spaceBefore, self.spaceAfter = before, 0
        self.least = 0.0  # height taken at least
        self._tops: list[list[float]] = []

    def getSpaceBefore(self) -> float:  # noqa: N802 - the engine's name
        """Space wanted above."""
        return float(self.spaceBefore)

    def _widths(self, available: float) -> list[float]:
        room = available - 2 * self.pad - self.gap * (len(self.columns) - 1)
        return [room * share / sum(self.shares) for share in self.shares]

    def wrap(self, available_width: float, _available_height: float) -> tuple[float, float]:
        """Width and height taken; lays every column out."""
        canvas = getattr(self, "canv", None)
        self.width, self.height = available_width, 0.0
        self._tops = []
        for column, width in zip(self.columns, self._widths(available_width), strict=True):
            tops, height = _stacked(column, width, canvas)
            self._tops.append(tops)
            self.height = max(self.height, height)
        self.height = max(self.height + 2 * self.pad, self.least)
        return self.width, self.height

    def split(self, available_width: float, available_height: float) -> list[Any]:
        """Two parts, the first no higher than what is available; none if nothing fits."""
        canvas = getattr(self, "canv", None)
        room = available_height - 2 * self.pad
        heads, tails, given = [], [], 0
        for column, width in zip(self.columns, self._widths(available_width), strict=True):
            head, tail = _cut(column, width, room, canvas)
            heads.append(head)
            tails.append(tail)
            given += _give_company(head, tail, column) if self.rule else 0
        if not any(heads) or not any(tails):
            return []
        first, second = self._like(heads), self._like(tails)
        first.spaceBefore = self.spaceBefore
        if self.border is None and (given or not self.rule):
            first.least = available_height  # else the engine would try the rest on the same page
        return [first, second]

    def _like(self, columns: list[list[Any]]) -> Columns:
        return Columns(columns, self.shares, gap=self.gap, rule=self.rule, border=self.border,
                       pad=self.pad)  # fmt: skip

    def draw(self) -> None:
        """Draw every column, then rules and frame."""
        x = self.pad
        top = self.height - self.pad
        for position, (column, width) in enumerate(
            zip(self.columns, self._widths(self.width), strict=True)
        ):
            for flowable, offset in zip(column, self._tops[position], strict=True):
                flowable.drawOn(self.canv, x, top - offset)
            x += width + self.gap
            if self.rule and position < len(self.columns) - 1:
                self._line(x - self.gap / 2)
        if self.border is not None:
            self.canv.setStrokeColor(self.border)
            self.canv.setLineWidth(1)
            self.canv.rect(0, 0, self.width, self.height)

    def _line(self, x: float) -> None:
        self.canv.setStrokeColor(LINE)
        self.canv.setLineWidth(0.6)
        self.canv.line(x, 0, x, self.height)


def _gap_above(flowable: Any, after: float) -> float:
    return max(float(flowable.getSpaceBefore()), after)


def _wrapped(flowable: Any, width: float, canvas: Any) -> float:
    if isinstance(flowable, Line | Text):  # these need no canvas
        return flowable.wrap(width, 1e6)[1]
    size = flowable.wrap(width, 1e6) if canvas is None else flowable.wrapOn(canvas, width, 1e6)
    return float(size[1])


def _measured(flowable: Any, width: float, canvas: Any) -> tuple[float, float, float]:
    """Height, and the space wanted above and below; of what is never changed once it is asked for,
    reckoned once for a width."""
    known: tuple[float, tuple[float, float, float]] | None = getattr(flowable, "measured", None)
    if known is not None and known[0] == width:
        return known[1]
    found = (_wrapped(flowable, width, canvas), float(flowable.getSpaceBefore()),
             float(flowable.getSpaceAfter()))  # fmt: skip
    if isinstance(flowable, Line | Text):
        flowable.measured = (width, found)
    return found


def _stacked(column: Stack, width: float, canvas: Any) -> tuple[list[float], float]:
    """Distance of each flowable's foot from the top, and the height of all."""
    feet: list[float] = []
    y = after = 0.0
    for flowable in column:
        if feet:
            y += _gap_above(flowable, after)
        y += _wrapped(flowable, width, canvas)
        feet.append(y)
        after = float(flowable.getSpaceAfter())
    return feet, y


def stack_height(column: Stack, width: float) -> float:
    """Height that a stack takes at a width."""
    return _stacked(column, width, None)[1]


def together(stack: Stack) -> list[Any]:
    """The stack, moved on to the next page where all of it fits there and not on this one."""
    room = sheets.room()
    parts = [part for one in stack for part in getattr(one, "_content", [one])]
    need = stack_height([one for one in parts if not isinstance(one, CondPageBreak)], WIDTH)
    return [CondPageBreak(need + _AIR), *stack] if need + _AIR < room else list(stack)


def _cut(column: Stack, width: float, room: float, canvas: Any) -> tuple[list[Any], list[Any]]:
    """What of a column fits into `room`, and the rest; a heading stays with what follows it."""
    y = after = 0.0
    head: list[Any] = []
    for position, flowable in enumerate(column):
        height, before, behind = _measured(flowable, width, canvas)
        above = max(before, after) if head else 0.0
        if y + above + height <= room:
            head.append(flowable)
            y += above + height
            after = behind
            continue
        left = room - y - above
        parts = flowable.splitOn(canvas, width, left) if canvas else flowable.split(width, left)
        rest = list(column[position + 1 :])
        if len(parts) > 1:
            return [*head, parts[0]], [*parts[1:], *rest]
        tail = [flowable, *rest]
        if len(tail) == 1 and len(head) > 1 and isinstance(head[-1], Grid) and height < _NOTE:
            tail.insert(0, head.pop())  # a table's last words stay with it
        while head and head[-1].getKeepWithNext():
            tail.insert(0, head.pop())
        return head, tail
    return head, []


def _give_company(head: list[Any], tail: list[Any], column: Stack) -> int:
    """Take points of a list from `head`, so that few are not left alone on the next page; how many
    were taken."""
    if not tail or not any(tail[0] is one for one in column):  # one was cut in two
        return 0
    wanted = _FEW - len(tail)
    if wanted <= 0 or len(head) <= _FEW + wanted:
        return 0
    tail[:0] = head[-wanted:]
    del head[-wanted:]
    return wanted


class Flow(Flowable):  # type: ignore[misc]
    """One stack read down the first column, then the next, page by page, ended level."""

    def __init__(self, stack: Stack, count: int, *, gap: float = GAP) -> None:
        super().__init__()
        self.stack, self.count, self.gap = list(stack), count, gap
        self._columns: Columns | None = None
        self._levelled = 0.0  # the width at which the columns were ended level

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Width and the least height at which all of the stack fits into the columns."""
        if self._columns is None or self._levelled != available_width:
            self._columns, self._levelled = self._level(available_width), available_width
        size = self._columns.wrap(available_width, available_height)
        self.width, self.height = size
        return size

    def _filled(self, available: float, room: float) -> tuple[Columns, list[Any]]:
        """The columns filled to `room` from the top of the stack, and what is left of it."""
        width = (available - self.gap * (self.count - 1)) / self.count
        columns, rest = [], self.stack
        for _ in range(self.count):
            head, rest = _cut(rest, width, room, getattr(self, "canv", None))
            columns.append(head)
        return Columns(columns, gap=self.gap), rest

    def _level(self, available: float) -> Columns:
        width = (available - self.gap * (self.count - 1)) / self.count
        high = stack_height(self.stack, width)
        low = high / self.count
        while high - low > 1:
            middle = (low + high) / 2
            if self._filled(available, middle)[1]:
                low = middle
            else:
                high = middle
        return self._filled(available, high)[0]

    def split(self, available_width: float, available_height: float) -> list[Any]:
        """The page's columns filled, and a flow of what is left; none if nothing fits."""
        first, rest = self._filled(available_width, available_height)
        if not rest or not any(first.columns):
            return []
        return [first, Flow(rest, self.count, gap=self.gap)]

    def draw(self) -> None:
        """Draw the columns."""
        if self._columns is not None:
            self._columns.drawOn(self.canv, 0, 0)


class Rule(Flowable):  # type: ignore[misc]
    """A hairline across the column, with air round it."""

    def __init__(self, *, strong: bool = False, before: float = 4, after: float = 3) -> None:
        super().__init__()
        self.strong = strong
        self.spaceBefore, self.spaceAfter = before, after

    def wrap(self, available_width: float, _available_height: float) -> tuple[float, float]:
        """As wide as the column."""
        self.width = available_width
        return available_width, 0.6

    def draw(self) -> None:
        """Draw the line."""
        self.canv.setStrokeColor(rule_colour() if self.strong else LINE2)
        self.canv.setLineWidth(0.8 if self.strong else 0.5)
        self.canv.line(0, 0.3, self.width, 0.3)


class Beside(Flowable):  # type: ignore[misc]
    """A small drawing with a stack of flowables to the right of it."""

    def __init__(self, mark: Any, stack: Stack, indent: float) -> None:
        super().__init__()
        self.mark, self.stack, self.indent = mark, list(stack), indent
        self._feet: list[float] = []

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Height of the stack, or of the mark if that is higher."""
        self._feet, height = _stacked(
            self.stack, available_width - self.indent, getattr(self, "canv", None)
        )
        self.width = available_width
        self.height = max(height, self.mark.wrap(self.indent, available_height)[1])
        return self.width, self.height

    def split(self, available_width: float, available_height: float) -> list[Any]:
        """The mark stays with the first part of its stack."""
        head, tail = _cut(
            self.stack, available_width - self.indent, available_height, getattr(self, "canv", None)
        )
        if not head or not tail:
            return []
        return [Beside(self.mark, head, self.indent), Beside(Spacer(0, 0), tail, self.indent)]

    def draw(self) -> None:
        """Draw the mark level with the first line, then the stack."""
        self.mark.drawOn(self.canv, 0, self.height - self.mark.height - 1.5)
        for flowable, foot in zip(self.stack, self._feet, strict=True):
            flowable.drawOn(self.canv, self.indent, self.height - foot)
