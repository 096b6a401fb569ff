"""How a figure was reached: formula, numbers, rule, source and origin, to any depth.

Every figure of a job has a name ("net", "line/P-TCK", "rate/HF"). A `Figure` names the figures
that went into it, so that the whole reckoning is a directed graph without cycles, kept once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import lru_cache

from estimator.domain.money import Money
from estimator.domain.problem import Place
from estimator.domain.wording import Worded, joined, worded

Value = Money | Decimal | int | float | str | date


class UnknownFigure(KeyError):
    """No figure of that name in this job."""


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure and how it was reached.

    `unit` is empty for money (it carries its currency) and for text. `inputs` are names of other
    figures; `numbers` are leaf values read from a file or typed by a person, with their label.
    `rule` states what was applied, `source` the place it came from, `origin` whether it is the
    workshop's own, a supplier's, a starting value, measured or typed.
    """

    name: str
    title: str
    value: Value
    unit: str = ""
    formula: str = ""
    inputs: tuple[str, ...] = ()
    numbers: tuple[tuple[str, str], ...] = ()
    rule: str = ""
    source: str = ""
    origin: str = ""


class Figures(Mapping[str, Figure]):
    """Figures by name, each made when it is first looked at: while one types, most never are."""

    def __init__(self, known: Mapping[str, Figure | Callable[[], Figure]]) -> None:
        self._known: dict[str, Figure | Callable[[], Figure]] = dict(
            known._known if isinstance(known, Figures) else known
        )

    def __getitem__(self, name: str) -> Figure:
        figure = self._known[name]
        if not isinstance(figure, Figure):
            figure = self._known[name] = figure()
        return figure

    def __iter__(self) -> Iterator[str]:
        return iter(self._known)

    def __len__(self) -> int:
        return len(self._known)

    def __contains__(self, name: object) -> bool:
        return name in self._known

    def keep(self, name: str, figure: Figure | Callable[[], Figure]) -> None:
        """Add a figure, or what makes it."""
        self._known[name] = figure


class Reasons:
    """All figures of one job by name. Filled while a job is reckoned, read ever after."""

    __slots__ = ("figures",)

    def __init__(self, figures: Mapping[str, Figure] | None = None) -> None:
        self.figures = Figures(figures or {})

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Reasons) and self.figures == other.figures

    __hash__ = None  # type: ignore[assignment]

    def note(self, figure: Figure) -> Figure:
        """Keep `figure`; a second one of the same name must be equal to the first."""
        self.later(figure.name, lambda: figure)
        return figure

    def later(self, name: str, make: Callable[[], Figure]) -> str:
        """Keep the figure that `make` gives, made only where somebody asks for it; answers its
        name. Made twice, both must be equal."""
        if name in self.figures and self.figures[name] != make():
            raise ValueError(f"figure {name!r} was already reached another way")
        self.figures.keep(name, make)
        return name

    def get(self, name: str) -> Figure:
        """The figure of that name. Raises UnknownFigure."""
        try:
            return self.figures[name]
        except KeyError:
            raise UnknownFigure(name) from None

    def below(
        self, name: str, depth: int | None = None, most: int | None = None
    ) -> Iterator[tuple[int, Figure, bool]]:
        """Walk from `name` down to `depth` levels and `most` inputs of each (None: all).

        Yields (level, figure, repeated); a figure met again is yielded with `repeated` true and
        is not entered a second time, so a walk ends even on a large job.
        """
        seen: set[str] = set()

        def walk(one: str, level: int) -> Iterator[tuple[int, Figure, bool]]:
            figure = self.get(one)
            repeated = one in seen
            yield level, figure, repeated
            if repeated or (depth is not None and level >= depth):
                return
            seen.add(one)
            for name_below in figure.inputs[:most]:
                yield from walk(name_below, level + 1)

        return walk(name, 0)


def why_as_data(reasons: Reasons, name: str, depth: int | None = None) -> dict[str, object]:
    """The reckoning of `name` as nested plain data, ready for JSON."""
    figure = reasons.get(name)
    data: dict[str, object] = {
        "name": figure.name,
        "title": figure.title,
        "value": plain(figure.value),
        "unit": figure.unit or (figure.value.currency if isinstance(figure.value, Money) else ""),
    }
    for key in ("formula", "rule", "source", "origin"):
        if text := getattr(figure, key):
            data[key] = text
    if figure.numbers:
        data["numbers"] = dict(figure.numbers)
    if figure.inputs and depth != 0:
        below = None if depth is None else depth - 1
        data["inputs"] = [why_as_data(reasons, one, below) for one in figure.inputs]
    elif figure.inputs:
        data["inputs"] = list(figure.inputs)
    return data


def plain(value: Value) -> str | int | float:
    """A value as JSON can carry it: money and decimals as text, so that nothing is rounded."""
    if isinstance(value, Money):
        return f"{value.amount:f}"
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, date):
        return value.isoformat()
    return value


def shown(value: Value, unit: str = "") -> str:
    """A value as a line of text shows it, with its unit."""
    if isinstance(value, Money):
        return str(value)
    text = f"{value:.4f}" if isinstance(value, float) else str(plain(value))
    return f"{text} {unit}".rstrip()


def why_as_text(
    reasons: Reasons, name: str, depth: int | None = None, most: int | None = None
) -> str:
    """The reckoning of `name` as indented lines a person can follow."""
    lines: list[str] = []
    for level, figure, repeated in reasons.below(name, depth, most):
        pad = "  " * level
        head = f"{pad}{figure.title}: {shown(figure.value, figure.unit)}  [{figure.name}]"
        if repeated:
            lines.append(head + "  (as above)")
            continue
        lines.append(head)
        if figure.formula:
            lines.append(f"{pad}    = {figure.formula}")
        lines.extend(f"{pad}    {label}: {text}" for label, text in figure.numbers)
        for label, text in (
            ("rule", figure.rule),
            ("source", figure.source),
            ("origin", figure.origin),
        ):
            if text:
                lines.append(f"{pad}    {label}: {text}")
        shown_here = 0 if depth is not None and level >= depth else most
        if shown_here is not None and len(figure.inputs) > shown_here:
            rest = len(figure.inputs) - shown_here
            lines.append(f"{pad}    rests on {rest} {'more ' if shown_here else ''}figures")
    return "\n".join(lines)


def measured(value: Decimal, unit: str) -> Worded:
    """A value with its unit or currency, as a number of a figure."""
    return worded("{value:f} {unit}", value=value, unit=unit)


def exact(amount: float | Decimal, currency: str = "") -> Worded:
    """A sum that is not rounded to whole units yet, to two places."""
    if not currency:
        return worded("{amount:,.2f}", amount=amount)
    return worded("{amount:,.2f} {currency}", amount=amount, currency=currency)


@lru_cache(maxsize=4096)
def source_of(place: Place, source: str) -> str:
    """Where a row stands, and what it was taken from where that is known."""
    return joined((place.said, source), "; ") if source else place.said


def missing_inputs(figures: Mapping[str, Figure]) -> list[str]:
    """Names that some figure rests on but that were never noted; empty in a sound job."""
    return sorted(
        {name for figure in figures.values() for name in figure.inputs if name not in figures}
    )
