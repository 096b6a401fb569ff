"""Rebuild or buy new: everything that the page of it shows, from a priced job and its inputs."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from estimator.domain.in_language import in_language
from estimator.domain.language import ENGLISH, is_english
from estimator.domain.money import Money, money_half_up, round_half_up
from estimator.domain.new_machine import (
    NewMachine,
)
from estimator.domain.priced_job import PricedJob
from estimator.domain.quote import ClauseText
from estimator.domain.reasons import Reasons
from estimator.domain.rebuild_or_new.carbon import of_fuel, of_material
from estimator.domain.rebuild_or_new.cases import (
    ENDS,
    HIGH,
    LIKELY,
    LOW,
    cases_of,
    figure_of,
    ranges_of,
    ready_days,
    weeks_between,
)
from estimator.domain.rebuild_or_new.compared import (
    LEVEL,
    NEW,
    REBUILD,
    Carbon,
    Comparison,
    Way,
)
from estimator.domain.rebuild_or_new.noting import note_comparison
from estimator.domain.rebuild_or_new.reckoning import (
    Case,
    Side,
    break_even,
    fuel_payback,
    monthly_payment,
    new_side,
    rebuilt_side,
)
from estimator.domain.rebuild_or_new.sensitivity import moves
from estimator.domain.rebuild_or_new.starting import completed

TENTH = Decimal("0.1")


def compare(priced: PricedJob, given: NewMachine | None, language: str = "en") -> Comparison:
    """A priced job beside a new machine; figures left out of `given` are starting values.

    `priced` is left as it is; names of the catalogue come in `language`. Raises NoRate where the
    job has no rate for the new price, and ValueError where an input cannot be reckoned with
    (`input_check` names them).
    """
    priced = in_language(priced, language)
    inputs = completed(given, priced.job, priced.cat)
    cases = cases_of(priced, inputs)
    sides = {end: (rebuilt_side(cases[end]), new_side(cases[end])) for end in ENDS}
    likely, (rebuilt, new) = cases[LIKELY], sides[LIKELY]
    row = priced.cat.machine_class
    payback = fuel_payback(likely)
    found = Comparison(
        priced=priced,
        inputs=inputs,
        share=round_half_up(priced.price.net.amount / likely.new_price, Decimal("0.001")),
        usual=row.usual_band(priced.job.level),
        rebuilt=_way(priced, cases, {end: sides[end][0] for end in ENDS}, inputs, new=False),
        new=_way(priced, cases, {end: sides[end][1] for end in ENDS}, inputs, new=True),
        turns_at=_sum(break_even(rebuilt, new), priced),
        by_hour=_cheaper(rebuilt.per_hour, new.per_hour, priced),
        by_year=_cheaper(rebuilt.per_year, new.per_year, priced),
        apart=sides[HIGH][0].per_hour < sides[LOW][1].per_hour
        or sides[HIGH][1].per_hour < sides[LOW][0].per_hour,
        monthly=money_half_up(monthly_payment(likely), inputs.currency),
        payback_hours=payback,
        payback_years=None if payback is None else payback / likely.hours_a_year,
        moves=moves(likely, ranges_of(cases)),
        material=_material(inputs),
        fuel=_fuel(inputs, likely),
        ready=ready_days(priced),
        caution=_caution(priced, language),
        reasons=Reasons(priced.reasons.figures),
    )
    note_comparison(found, cases, sides)
    return found


def _way(
    priced: PricedJob,
    cases: Mapping[str, Case],
    sides: Mapping[str, Side],
    inputs: NewMachine,
    *,
    new: bool,
) -> Way:
    likely = sides[LIKELY]
    exact = inputs.currency

    def sums(name: str) -> tuple[Money, Money, Money]:
        low, mid, high = (_sum(getattr(sides[end], name), priced) for end in ENDS)
        return low, mid, high

    def hour(amount: Decimal) -> Money:
        return money_half_up(amount, exact)

    def without(end: str) -> Decimal:
        return round_half_up(
            cases[end].weeks_new if new else cases[end].weeks_rebuild, TENTH
        )  # fmt: skip

    if new:
        prices = tuple(_sum(cases[end].new_price, priced) for end in ENDS)
        weeks = tuple(round_half_up(figure_of(inputs, "lead_weeks", end), TENTH) for end in ENDS)
    else:
        prices = tuple(money_half_up(cases[end].rebuild_price, exact) for end in ENDS)
        ready = ready_days(priced)
        weeks = tuple(round_half_up(weeks_between(priced.job.date, day), TENTH) for day in ready)
    return Way(
        price=(prices[0], prices[1], prices[2]),
        weeks=(weeks[0], weeks[1], weeks[2]),
        without=(without(LOW), without(LIKELY), without(HIGH)),
        waiting=sums("waiting"),
        residual=sums("residual"),
        hours=likely.hours,
        years=round_half_up(likely.years, TENTH),
        fuel=hour(likely.fuel),
        upkeep=hour(likely.upkeep),
        per_hour=(hour(sides[LOW].per_hour), hour(likely.per_hour), hour(sides[HIGH].per_hour)),
        per_year=_sum(likely.per_year, priced),
    )


def _sum(amount: Decimal, priced: PricedJob) -> Money:
    terms = priced.job.terms
    return money_half_up(amount, terms.currency, terms.quoting_unit)


def _cheaper(rebuilt: Decimal, new: Decimal, priced: PricedJob) -> str:
    """Which costs less, told by figures as they are printed."""
    one, two = (money_half_up(amount, priced.job.terms.currency) for amount in (rebuilt, new))
    if one == two:
        return LEVEL
    return REBUILD if one < two else NEW


def _material(inputs: NewMachine) -> Carbon | None:
    kept, factor = inputs.reused_kg, inputs.material_factor
    if kept is None or factor is None:
        return None
    return Carbon(kept.likely, of_material(kept.likely, factor), factor)


def _fuel(inputs: NewMachine, case: Case) -> Carbon | None:
    """What the rebuilt machine burns more than a new one over the rebuilt machine's life."""
    one, two, factor = inputs.fuel_rebuilt, inputs.fuel_new, inputs.fuel_factor
    if one is None or two is None or factor is None:
        return None
    litres = (one.likely - two.likely) * case.life_rebuilt
    return Carbon(litres, of_fuel(litres, factor), factor)


CAUTION = "rebuild or new: caution"


def _caution(priced: PricedJob, language: str) -> tuple[ClauseText, ...]:
    """The clauses of the page, in a language or in English; none where the catalogue has none."""
    clauses = priced.cat.catalogue.clauses
    own = {one.id: one for one in clauses.get(language, ()) if one.section == CAUTION}
    found = []
    for one in sorted(clauses.get(ENGLISH, ()), key=lambda clause: clause.order):
        if one.section == CAUTION:
            shown = own.get(one.id, one)
            foreign = not is_english(language)
            left, translated = foreign and shown is one, foreign and shown is not one
            unconfirmed = translated and not shown.confirmed_by
            found.append(ClauseText(one.id, CAUTION, shown.text, left, unconfirmed))
    return tuple(found)
