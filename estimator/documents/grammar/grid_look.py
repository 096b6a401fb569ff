"""What the commands of a table come to: how each cell looks, its rules, what spans, what stays
together. Commands are the paragraph engine's: (name, (column, row), (column, row), values), both
places inclusive, counted from the end where negative."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, NamedTuple

Command = tuple[Any, ...]
Shape = tuple[int, int]  # rows, columns
_PADDINGS = {"LEFTPADDING": "left", "RIGHTPADDING": "right", "TOPPADDING": "top",
             "BOTTOMPADDING": "bottom"}  # fmt: skip
_RULES = {"LINEABOVE": 0, "LINEBELOW": 1}
_LEADING = 1.2  # of type whose leading is not told


@dataclass(frozen=True, slots=True)
class CellLook:
    """Paddings in points, vertical alignment, and the height of a cell with nothing in it; the
    values where no command tells any are the engine's."""

    left: float = 6.0
    right: float = 6.0
    top: float = 3.0
    bottom: float = 3.0
    vertical: str = "BOTTOM"
    leading: float = 12.0

    @property
    def sides(self) -> float:
        """What the paddings take of the width."""
        return self.left + self.right

    @property
    def ends(self) -> float:
        """What the paddings take of the height."""
        return self.top + self.bottom


class Ruled(NamedTuple):
    """Rules of rows `first` to `last`, above or below each."""

    first: int
    last: int
    first_column: int
    last_column: int
    below: int  # 1 or 0
    weight: float
    colour: Any

    @property
    def command(self) -> Command:
        """The command that it comes from."""
        name = "LINEBELOW" if self.below else "LINEABOVE"
        return (name, (self.first_column, self.first), (self.last_column, self.last), self.weight,
                self.colour)  # fmt: skip


class _Range(NamedTuple):
    first: int
    last: int
    first_column: int
    last_column: int


def _range(command: Command, shape: Shape) -> _Range:
    rows, columns = shape
    (left, top), (right, bottom) = command[1:3]
    return _Range(
        max(top + rows if top < 0 else top, 0),
        min(bottom + rows if bottom < 0 else bottom, rows - 1),
        max(left + columns if left < 0 else left, 0),
        min(right + columns if right < 0 else right, columns - 1),
    )


def looks_of(commands: Iterable[Command], shape: Shape) -> list[list[CellLook]]:
    """How the cells of every row look; rows under the same commands share one list."""
    told = [(one, _range(one, shape)) for one in commands if one[0] not in ("SPAN", "NOSPLIT")
            and one[0] not in _RULES]  # fmt: skip
    edges = {0, *(at for _, one in told for at in (one.first, one.last + 1))}
    found: list[list[CellLook]] = []
    for at in range(shape[0]):
        if at not in edges:
            found.append(found[-1])
            continue
        here = [(command, one) for command, one in told if one.first <= at <= one.last]
        found.append([_look(tuple((command[0], *command[3:]) for command, one in here
                                  if one.first_column <= column <= one.last_column))
                      for column in range(shape[1])])  # fmt: skip
    return found


@lru_cache(maxsize=1 << 10)
def _look(commands: tuple[tuple[str, Any], ...]) -> CellLook:
    told: dict[str, Any] = {}
    for name, *values in commands:
        if name in _PADDINGS:
            told[_PADDINGS[name]] = values[0]
        elif name == "VALIGN":
            told["vertical"] = values[0]
        elif name == "FONT":
            told["leading"] = values[2] if len(values) > 2 else values[1] * _LEADING  # noqa: PLR2004
        elif name != "FONTNAME":  # it tells nothing of a cell that holds no bare text
            raise ValueError(f"a table of this kind knows no command {name}")
    return CellLook(**told)


def rules_of(commands: Iterable[Command], shape: Shape) -> list[Ruled]:
    """Rules in the order in which they are drawn."""
    found = []
    for one in commands:
        if one[0] in _RULES:
            place = _range(one, shape)
            if place.first <= place.last:
                found.append(Ruled(*place, _RULES[one[0]], one[3], one[4]))
    return found


def ruled_above(ruled: Iterable[Ruled], at: int) -> list[Ruled]:
    """Rules of the rows before row `at`, where the table breaks."""
    return [one._replace(last=min(one.last, at - 1)) for one in _at_break(ruled, at)
            if one.first < at]  # fmt: skip


def ruled_below(ruled: Iterable[Ruled], at: int, head: int) -> list[Ruled]:
    """Rules of the rows from `at` on, under `head` rows that are repeated."""
    found = []
    for one in _at_break(ruled, at):
        if one.first < head:
            found.append(one._replace(last=min(one.last, head - 1)))
        if one.last >= at:
            first = max(one.first - at, 0) + head
            found.append(one._replace(first=first, last=one.last - at + head))
    return found


def _at_break(ruled: Iterable[Ruled], at: int) -> Iterator[Ruled]:
    """A rule between two rows that a break parts belongs to both."""
    for one in ruled:
        if one.below and one.first < at <= one.last + 1:
            yield one._replace(first=at, last=at, below=0)
        if not one.below and one.first <= at <= one.last:
            yield one._replace(first=at - 1, last=at - 1, below=1)
        yield one


def kept_of(commands: Iterable[Command], shape: Shape) -> set[int]:
    """Rows before which the table does not break."""
    places = (_range(one, shape) for one in commands if one[0] == "NOSPLIT")
    return {at for one in places for at in range(one.first + 1, one.last + 1)}


def spans_of(commands: Iterable[Command], shape: Shape) -> dict[int, dict[int, int]]:
    """By row: of a cell that spans columns its last one; of a cell under it -1."""
    found: dict[int, dict[int, int]] = {}
    for one in commands:
        if one[0] == "SPAN":
            place = _range(one, shape)
            if place.first != place.last:
                raise ValueError("a table of this kind has no cells that span rows")
            row = found.setdefault(place.first, {})
            row |= dict.fromkeys(range(place.first_column, place.last_column + 1), -1)
            row[place.first_column] = place.last_column
    return found


def commands_of(looks: Sequence[CellLook], spans: dict[int, int], row: int) -> list[Command]:
    """The commands under which a row looks so."""
    found: list[Command] = []
    for column, one in enumerate(looks):
        at = ((column, row), (column, row))
        found += [(name, *at, getattr(one, field)) for name, field in _PADDINGS.items()]
        found.append(("VALIGN", *at, one.vertical))
        found.append(("LEADING", *at, one.leading))
    found += [("SPAN", (first, row), (last, row)) for first, last in spans.items() if last >= 0]
    return found
