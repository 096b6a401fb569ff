"""How each figure of the comparison was reached, kept with the job's own figures."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from estimator.domain.fixed_words import fixed
from estimator.domain.money import round_half_up
from estimator.domain.new_machine import (
    INPUTS,
    JOB,
    KINDS,
    MONEY,
    PER_HOUR,
    PER_LITRE,
    Input,
    input_of,
)
from estimator.domain.reasons import Figure, exact, measured
from estimator.domain.rebuild_or_new.cases import LIKELY
from estimator.domain.rebuild_or_new.compared import Carbon, Comparison
from estimator.domain.rebuild_or_new.noting_sides import (
    Notes,
    inputs_of,
    note_ratio,
    note_rebuild_prices,
    note_side,
)
from estimator.domain.rebuild_or_new.reckoning import Case, Side
from estimator.domain.rebuild_or_new.sensitivity import EITHER_WAY, Move
from estimator.domain.wording import worded

BREAK_EVEN_FORMULA = worded(
    "life hours of the rebuild x (cost per hour, new - running cost per hour, rebuilt) + residual "
    "x (1 + r)^-n - time without a machine"
)
_SIDES = (("rebuilt", worded("rebuilt")), ("new", worded("new")))


def note_comparison(
    found: Comparison, cases: Mapping[str, Case], sides: Mapping[str, tuple[Side, Side]]
) -> None:
    """Note every figure of a comparison in its reasons, under names that begin with "new/"."""
    notes = Notes(found, cases, sides, found.reasons)
    for name in INPUTS:
        value = input_of(found.inputs, name)
        if value is not None:
            _note_input(notes, name, value)
    note_rebuild_prices(notes)
    note_ratio(notes)
    for at, (side, words) in enumerate(_SIDES):
        note_side(notes, at, side, words)
    _note_break_even(notes)
    _note_finance(notes)
    _note_payback(notes)
    for one in found.moves:
        _note_move(notes, one)
    for name, carbon in (("material", found.material), ("fuel", found.fuel)):
        if carbon is not None:
            _note_carbon(notes, name, carbon)


def unit_of(name: str, currency: str) -> str:
    """The unit of an input in words."""
    unit = KINDS[name].unit
    return {MONEY: currency, PER_HOUR: f"{currency}/h", PER_LITRE: f"{currency}/L"}.get(unit, unit)


def _note_input(notes: Notes, name: str, value: Input) -> None:
    unit = unit_of(name, notes.currency)
    numbers: tuple[tuple[str, str], ...] = ()
    if value.spreads:
        numbers = ((worded("low"), measured(value.low, unit)),
                   (worded("high"), measured(value.high, unit)))  # fmt: skip
    if value.dated is not None:
        numbers = (*numbers, (worded("date"), worded("{day}", day=value.dated)))
    notes.reasons.note(
        Figure(
            name=f"new/input/{name}",
            title=KINDS[name].title,
            value=value.likely,
            unit=unit,
            numbers=numbers,
            source=value.source,
            origin=worded("this job") if value.origin == JOB else fixed(value.origin),
        )
    )


def _note_break_even(notes: Notes) -> None:
    rebuilt, new = notes.sides[LIKELY]
    notes.reasons.note(
        Figure(
            name="new/break_even",
            title=worded("Rebuild price at which both cost the same per hour"),
            value=notes.found.turns_at,
            formula=BREAK_EVEN_FORMULA,
            inputs=(
                "new/new/per_hour/likely",
                "new/rebuilt/waiting",
                *inputs_of(notes, "life_rebuilt", "residual_rebuilt", "interest"),
            ),
            numbers=(
                (worded("cost per hour, new"), exact(new.per_hour, notes.currency)),
                (worded("running cost per hour, rebuilt"), exact(rebuilt.running, notes.currency)),
                (
                    worded("residual at present value"),
                    exact(rebuilt.residual_now, notes.currency),
                ),
            ),
        )
    )


def _note_finance(notes: Notes) -> None:
    if not notes.found.monthly:
        return
    notes.reasons.note(
        Figure(
            name="new/finance",
            title=worded("Monthly payment on the new machine"),
            value=notes.found.monthly,
            formula=worded("share financed x new price x i / (1 - (1 + i)^-m), i = rate / 12"),
            inputs=inputs_of(
                notes, "financed_share", "new_price", "finance_rate", "finance_months", "interest"
            ),
            numbers=(
                (
                    worded("worth of the payments above the sum"),
                    exact(notes.sides[LIKELY][1].finance, notes.currency),
                ),
            ),
        )
    )


def _note_payback(notes: Notes) -> None:
    hours = notes.found.payback_hours
    if hours is None:
        return
    notes.reasons.note(
        Figure(
            name="new/payback",
            title=worded("Hours until the fuel saved has paid what new costs more"),
            value=round_half_up(hours, Decimal(1)),
            unit="h",
            formula=worded(
                "(new price - paid for the old machine - rebuild price) / (fuel saved per hour x "
                "price of fuel)"
            ),
            inputs=(
                "new/rebuilt/price",
                *inputs_of(
                    notes, "new_price", "trade_in", "fuel_rebuilt", "fuel_new", "fuel_price"
                ),
            ),
            rule=worded("without interest"),
        )
    )


def _note_move(notes: Notes, one: Move) -> None:
    notes.reasons.note(
        Figure(
            name=f"new/moves/{one.name}",
            title=worded("How far it moves the hourly difference, {what}", what=titled(one.name)),
            value=round_half_up(one.swing, Decimal("0.01")),
            unit=f"{notes.currency}/h",
            formula=worded("cost per hour, new - cost per hour, rebuilt, all else likely"),
            inputs=_CASE_INPUTS.get(one.name) or inputs_of(notes, one.name),
            numbers=(
                (worded("at its low end"), exact(one.at_low, notes.currency)),
                (worded("at its high end"), exact(one.at_high, notes.currency)),
            ),
            rule=worded("ends of its own range")
            if one.given
            else worded("given without a range: {share:.0%} either way", share=EITHER_WAY),
        )
    )


_CASE_INPUTS = {
    "rebuild_price": ("new/rebuilt/price",),
    "weeks_rebuild": ("new/rebuilt/weeks",),
    "weeks_new": ("new/new/weeks",),
}
_CASE_TITLES = {
    "rebuild_price": worded("Price of the rebuild"),
    "weeks_rebuild": worded("Weeks without a machine, rebuilt"),
    "weeks_new": worded("Weeks without a machine, new"),
}


def titled(name: str) -> str:
    """What a figure of a case is called."""
    return _CASE_TITLES.get(name) or KINDS[name].title


def _note_carbon(notes: Notes, name: str, carbon: Carbon) -> None:
    factor = carbon.factor
    inputs = ("reused_kg",) if name == "material" else ("fuel_rebuilt", "fuel_new", "life_rebuilt")
    notes.reasons.note(
        Figure(
            name=f"new/carbon/{name}",
            title=worded("{gas} of the material not made again", gas=factor.gas)
            if name == "material"
            else worded("{gas} of the fuel burnt more than new", gas=factor.gas),
            value=round_half_up(carbon.kilograms, Decimal(1)),
            unit=f"kg {factor.gas}",
            formula=worded("mass used again x factor")
            if name == "material"
            else worded("(L/h rebuilt - L/h new) x life hours of the rebuild x factor"),
            inputs=inputs_of(notes, *inputs),
            numbers=(
                (worded("factor"), worded("{value}", value=factor.value)),
                (worded("covers"), factor.covers),
                (worded("warming potentials"), factor.gwp or worded("none: CO2 alone")),
                (worded("edition"), factor.edition),
            ),
            rule=worded("no account of the whole machine"),
            source=factor.source,
        )
    )
