"""How the two sides of a comparison were reached: prices, time without a machine, cost per hour."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from estimator.domain.fixed_words import fixed
from estimator.domain.new_machine import input_of
from estimator.domain.reasons import Figure, Reasons, exact, measured
from estimator.domain.rebuild_or_new.cases import ENDS, FIXED_PRICE, LIKELY
from estimator.domain.rebuild_or_new.compared import Comparison, Way
from estimator.domain.rebuild_or_new.reckoning import Case, Side
from estimator.domain.wording import worded

PER_HOUR_FORMULA = worded(
    "(capital + finance + time without a machine - residual x (1 + r)^-n) / life hours + fuel + "
    "upkeep per hour"
)
PER_YEAR_FORMULA = worded(
    "(capital + finance + time without a machine - residual x (1 + r)^-n) x r / (1 - (1 + r)^-n) "
    "+ running cost x hours a year"
)
_RESTS_ON = ("life", "residual", "fuel", "upkeep")


@dataclass(frozen=True, slots=True)
class Notes:
    """What all figures of one comparison are noted with."""

    found: Comparison
    cases: Mapping[str, Case]
    sides: Mapping[str, tuple[Side, Side]]
    reasons: Reasons

    @property
    def currency(self) -> str:
        """Currency of its sums."""
        return self.found.inputs.currency


def inputs_of(notes: Notes, *names: str) -> tuple[str, ...]:
    """Names of the figures of those inputs that are given."""
    given = notes.found.inputs
    return tuple(f"new/input/{name}" for name in names if input_of(given, name) is not None)


def note_rebuild_prices(notes: Notes) -> None:
    """What the rebuild may come to."""
    low, likely, high = notes.found.rebuilt.price
    is_fixed = notes.found.priced.job.terms.commercial_form == FIXED_PRICE
    mean = exact(notes.found.priced.contingency.mean, notes.currency)
    notes.reasons.note(
        Figure(
            name="new/rebuilt/price",
            title=worded("What the rebuild may come to"),
            value=likely,
            formula=worded("net, whatever is found")
            if is_fixed
            else worded("base + contingency as likely drawn"),
            inputs=("net",) if is_fixed else ("base", "contingency"),
            numbers=(
                (worded("contingency unspent"), worded("{sum}", sum=low)),
                (worded("contingency spent"), worded("{sum}", sum=high)),
                (worded("mean above base"), mean),
            ),
            rule=worded("provisional lines at their likely values; before tax"),
        )
    )


def note_ratio(notes: Notes) -> None:
    """Its price as a share of a new machine's."""
    notes.reasons.note(
        Figure(
            name="new/ratio",
            title=worded("Rebuild price as a share of a new machine's"),
            value=notes.found.share,
            formula=worded("net / new price, likely"),
            inputs=("net", *inputs_of(notes, "new_price")),
        )
    )


def note_side(notes: Notes, at: int, side: str, words: str) -> None:
    """Waiting, cost per hour and year, and years of one side."""
    way: Way = (notes.found.rebuilt, notes.found.new)[at]
    _note_waiting(notes, at, side, words, way)
    rests_on = _rests_on(notes, side)
    for place, end in enumerate(ENDS):
        one = notes.sides[end][at]
        notes.reasons.note(
            Figure(
                name=f"new/{side}/per_hour/{end}",
                title=worded("Cost per hour, {side}, {end}", side=words, end=fixed(end)),
                value=way.per_hour[place],
                formula=PER_HOUR_FORMULA,
                inputs=rests_on,
                numbers=_side_numbers(one, notes.currency),
                rule=worded("low: all as good as it may be; high: all as bad"),
                source=worded("common practice; form of EP 1110-1-8"),
            )
        )
    likely = notes.sides[LIKELY][at]
    notes.reasons.note(
        Figure(
            name=f"new/{side}/per_year",
            title=worded("Equivalent yearly cost, {side}", side=words),
            value=way.per_year,
            formula=PER_YEAR_FORMULA,
            inputs=rests_on,
            numbers=_side_numbers(likely, notes.currency),
            source=worded("textbook formula of engineering economy"),
        )
    )
    notes.reasons.note(
        Figure(
            name=f"new/{side}/years",
            title=worded("Years of work, {side}", side=words),
            value=way.years,
            unit="years",
            formula=worded("life hours / hours a year"),
            inputs=inputs_of(notes, f"life_{side}", "hours_a_year"),
        )
    )


def _note_waiting(notes: Notes, at: int, side: str, words: str, way: Way) -> None:
    days = ("finish/50", "finish/nothing_worn") if side == "rebuilt" else ()
    first = notes.found.priced.job.start if notes.found.works_on else notes.found.priced.job.date
    notes.reasons.note(
        Figure(
            name=f"new/{side}/weeks",
            title=worded("Weeks without a machine, {side}", side=words),
            value=way.without[1],
            unit="weeks",
            formula=worded("(ready, likely - {first}) / 7", first=first)
            if side == "rebuilt"
            else worded("lead time, or nothing where the machine works on until then"),
            inputs=(*days, *(() if days else inputs_of(notes, "lead_weeks"))),
            numbers=(
                (worded("low"), measured(way.without[0], "weeks")),
                (worded("high"), measured(way.without[2], "weeks")),
            ),
        )
    )
    notes.reasons.note(
        Figure(
            name=f"new/{side}/waiting",
            title=worded("Cost of the time without a machine, {side}", side=words),
            value=way.waiting[1],
            formula=worded("weeks x hire a week + weeks x working days a week x margin lost a day"),
            inputs=(f"new/{side}/weeks", *inputs_of(notes, "hire_week", "days_a_week", "lost_day")),
            numbers=tuple(
                (fixed(end), exact(notes.sides[end][at].waiting, notes.currency)) for end in ENDS
            ),
        )
    )


def _rests_on(notes: Notes, side: str) -> tuple[str, ...]:
    capital = (
        ("new/rebuilt/price",)
        if side == "rebuilt"
        else (*inputs_of(notes, "trade_in"), *(("new/finance",) if notes.found.monthly else ()))
    )
    shared = ("new_price", "interest", "hours_a_year", "fuel_price")
    own = tuple(f"{name}_{side}" for name in _RESTS_ON)
    return (*capital, f"new/{side}/waiting", *inputs_of(notes, *shared, *own))


def _side_numbers(side: Side, currency: str) -> tuple[tuple[str, str], ...]:
    return (
        (worded("capital"), exact(side.capital, currency)),
        (worded("finance"), exact(side.finance, currency)),
        (worded("time without a machine"), exact(side.waiting, currency)),
        (worded("residual"), exact(side.residual, currency)),
        (worded("residual at present value"), exact(side.residual_now, currency)),
        (worded("years"), worded("{value:.2f}", value=side.years)),
        (worded("fuel per hour"), exact(side.fuel, currency)),
        (worded("upkeep per hour"), exact(side.upkeep, currency)),
    )
