"""A variation order and the list of declined work, filled from the record."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

from estimator.domain.contract.contract import CannotFollow, Case, Contract
from estimator.domain.contract.dates import Plan, finish_now, plan_of
from estimator.domain.contract.effect import agreed_to, before_answer, effect_of, turned_down
from estimator.domain.contract.papers import (
    MOST_PICTURES,
    Answered,
    DeclinedList,
    DeclinedRow,
    MeasuredLine,
    OrderLine,
    Ready,
    VariationOrder,
    WayToTick,
)
from estimator.domain.contract.remaining import Remaining, remaining
from estimator.domain.contract.states import ISSUED, LAPSED
from estimator.domain.contract.variation import Variation
from estimator.domain.money import money_sum
from estimator.services.errors import NotFound
from estimator.services.paper_parts import Sources, answer_of
from estimator.services.work_out_contract import ContractNow


def variation_order(
    sources: Sources, number: str, now: ContractNow | None = None
) -> VariationOrder:
    """The newest revision of a variation as a paper: what it does is told from just before it was
    answered. `now`, where the contract is worked out already, spares working it out again.
    Raises NotFound."""
    contract = sources.here.contract
    case = _case(contract, number)
    variation = case.variation
    before = before_answer(contract, number)
    rest, plan = _rest(sources, before, now)
    nothing_done, done = turned_down(before, number), agreed_to(before, number)
    found = sources.shown(variation.photographs, (number,))
    amount = sources.amount_of(variation)
    charged = sources.charged(variation)
    effect = effect_of(before, number)
    if not charged:
        effect = replace(effect, on_workshop=contract.nothing)
    components = sources.components_of(variation)
    return VariationOrder(
        head=sources.head,
        name=variation.name,
        supersedes=case.earlier[-1].name if case.earlier else "",
        title=variation.title,
        state=case.state,
        issued=_issued(case),
        component=", ".join(map(sources.component, components)),
        location=variation.location,
        finder=variation.finder,
        found_at=variation.found_at,
        cause=variation.cause,
        end=variation.end,
        charged=charged,
        measured=variation.measured,
        not_seen_before=variation.not_seen_before,
        pictures=sources.pictures(variation.photographs, (number,), MOST_PICTURES),
        more_pictures=max(len(found) - MOST_PICTURES, 0),
        lines=_lines(variation) if charged else (),
        measured_lines=_measured_lines(sources, variation, before) if charged else (),
        price=None if amount is None else sources.sum_of(amount),
        range=variation.range if charged else None,
        days=_days(sources, variation),
        ways=_ways(sources, variation),
        consequence=variation.consequence,
        cannot_be_declined=variation.cannot_be_declined,
        safety=variation.safety,
        made_safe=case.made_safe,
        answer_by=variation.answer_by,
        waiting_from=variation.waiting_from,
        waiting_per_day=variation.waiting_per_day,
        effect=effect,
        before=_ready(sources, nothing_done, rest, plan),
        after=_ready(sources, done, rest, plan),
        answered=answer_of(case, contract.currency) if charged else None,
        cautions=sources.cautions(components, variation.parts),
    )


def _case(contract: Contract, number: str) -> Case:
    try:
        return contract.case(number)
    except CannotFollow as error:
        raise NotFound(f"{error.message[0].upper()}{error.message[1:]}.", error.remedy) from error


def _rest(sources: Sources, before: Contract, now: ContractNow | None) -> tuple[Remaining, Plan]:
    """What is open before the answer, and what both of its dates rest on."""
    if now is not None and len(now.here.contract.events) == len(before.events):
        return now.rest, now.plan
    work = sources.here.work
    plan = plan_of(work, teardown_only=before.acceptance.teardown_only)
    return remaining(before, work), plan


def _ready(sources: Sources, contract: Contract, rest: Remaining, plan: Plan) -> Ready:
    finish = finish_now(contract, sources.here.work, rest, plan=plan)
    confidence = float(sources.here.job.terms.confidence)
    return Ready(finish.days[confidence], finish.days[0.5])


def _issued(case: Case) -> date | None:
    """When this revision went out; None while it has not."""
    days: list[date] = []
    for step in case.steps:
        if step.state == ISSUED:
            days.append(step.at.date())
        elif step.state == "draft":
            days.clear()
    return days[-1] if days else None


def _lines(variation: Variation) -> tuple[OrderLine, ...]:
    return tuple(
        OrderLine(line.what, line.quantity, line.unit, line.amount) for line in variation.lines
    )


def _measured_lines(
    sources: Sources, variation: Variation, before: Contract
) -> tuple[MeasuredLine, ...]:
    return tuple(
        sources.measured_line(one, before.measured.get(one.row_id)) for one in variation.remeasured
    )


def _days(sources: Sources, variation: Variation) -> Decimal:
    """Working days it adds to its step: its own, else those that the quote held for its parts."""
    if variation.activity:
        return variation.days
    exposed = sources.here.work.exposed
    days = [part.added_days for part in exposed if part.part in variation.parts]
    return Decimal(repr(max(days, default=0.0)))


def _ways(sources: Sources, variation: Variation) -> tuple[WayToTick, ...]:
    """The ways offered; the one that its lines price comes to what they come to."""
    if not sources.charged(variation):
        return ()
    amount, found = sources.amount_of(variation), []
    for way in variation.ways:
        here = amount is not None and (len(variation.ways) == 1 or way.way == variation.chosen)
        price = way.amount if amount is None or not here else amount
        days = variation.days if here and variation.activity else way.days
        found.append(
            WayToTick(way.way, way.what, sources.sum_of(price), days, way.warranty, way.note, here)
        )
    return tuple(found)


def declined_list(sources: Sources) -> DeclinedList:
    """Declined, deferred, lapsed and part-declined work, for hand-over."""
    cases = sources.here.contract.not_done()
    components = {code for case in cases for code in sources.components_of(case.variation)}
    parts = {part for case in cases for part in case.variation.parts}
    return DeclinedList(
        head=sources.head,
        rows=tuple(_declined(sources, case) for case in cases),
        cautions=sources.cautions(components, parts),
    )


def _declined(sources: Sources, case: Case) -> DeclinedRow:
    variation, currency = case.variation, sources.here.contract.currency
    left_out = [
        line for place, line in enumerate(variation.lines) if place not in case.agreed_lines
    ]
    part = bool(case.agreed_lines)
    amount, range_ = None, None
    if sources.charged(variation):
        amount, range_ = sources.amount_of(variation), variation.range
        if part:
            amount = money_sum((line.amount for line in left_out), currency)
    return DeclinedRow(
        variation.name, variation.title, variation.location, case.state,
        tuple(line.what for line in left_out) if part else (), amount, range_,
        variation.consequence, variation.safety,
        _answered(sources, case), variation.answer_by,
    )  # fmt: skip


def _answered(sources: Sources, case: Case) -> Answered | None:
    """Who turned it down; where the job was stopped with it open or agreed, who stopped it; None
    where nobody answered."""
    stopped, last = sources.here.contract.stopped, case.steps[-1]
    if case.state != LAPSED:
        return answer_of(case, sources.here.contract.currency)
    if stopped is None or last.at != stopped.at or not last.reason:
        return None
    return Answered(
        "stopped", last.who, last.capacity, stopped.side, last.channel, last.at, last.words, "",
        None,
    )  # fmt: skip
