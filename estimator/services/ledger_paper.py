"""The ledger statement, filled from the contract's events."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from estimator.domain.contract import events as happened
from estimator.domain.contract.contract import Case, Contract
from estimator.domain.contract.following import follow
from estimator.domain.contract.ledger import GroupRow, group_rows
from estimator.domain.contract.papers import (
    LedgerEntry,
    LedgerGroup,
    LedgerStatement,
    Ready,
    Waiting,
)
from estimator.domain.contract.still_closed import held_for_closed
from estimator.domain.contract.variation import CONTINGENCY
from estimator.domain.money import Money, money_sum
from estimator.services.paper_parts import Sources
from estimator.services.work_out_contract import ContractNow, work_out_contract


def ledger_statement(sources: Sources, now: ContractNow | None = None) -> LedgerStatement:
    """The ledger as it stands. `now`, where the contract is worked out already, spares working it
    out again."""
    contract = sources.here.contract
    if now is None or len(now.here.contract.events) != len(contract.events):
        now = work_out_contract(sources.here)
    totals, row = contract.totals, now.row
    at_end = contract.rule.left(totals)
    undrawn = at_end + totals.released - row.returned
    stop, nothing = contract.stopped, contract.nothing
    back = nothing if stop is None else stop.amount
    ended = contract.handed_over and stop is None
    waiting = tuple(_waiting(case, sources) for case in contract.cases.values() if case.is_open)
    return LedgerStatement(
        head=sources.head,
        entries=tuple(_entries(sources)),
        groups=_groups(sources, now),
        contract_sum=totals.contract_sum,
        remeasured=totals.remeasured if contract.rule.moves_with_measure else nothing,
        authorised=totals.authorised,
        returned=row.returned,
        exchange=totals.exchange,
        undone=totals.stopped - back,
        way_back=back,
        current=sources.sum_of(contract.current_sum),
        held=totals.held,
        drawn=totals.held - at_end - totals.released,
        given_back=row.returned,
        to_workshop=undrawn if ended else nothing,
        taken_off=nothing if stop is None else undrawn,
        left=contract.left,
        waiting=waiting,
        waiting_contingency=row.pending_contingency,
        closed=now.rest.exposed,
        closed_parts=row.closed_parts,
        mark=row.mark,
        short_by=row.short_by,
        unspent=contract.rule.whose_unspent(contract.acceptance.unspent),
        ready=None if contract.handed_over or contract.stopped is not None
        else Ready(now.finish_covered, now.finish_half),
        deposit=contract.deposit if contract.deposit else None,
    )  # fmt: skip


def _waiting(case: Case, sources: Sources) -> Waiting:
    variation = case.variation
    charged = sources.charged(variation)
    return Waiting(
        variation.name, variation.title, variation.end, charged, sources.amount_of(variation),
        variation.range if charged else None, variation.answer_by,
    )  # fmt: skip


def _entries(sources: Sources) -> Iterator[LedgerEntry]:
    """One entry for every event that moved the sum or the contingency, or that turned work down."""
    contract: Contract | None = None
    for event in sources.here.contract.events:
        before, contract = contract, follow(contract, event)
        nothing = contract.nothing
        sum_, left = contract.current_sum, _shown(sources, contract)
        moves_sum = sum_ - (before.current_sum if before else nothing)
        moves_left = left - (_shown(sources, before) if before else nothing)
        told = isinstance(event, happened.Accepted | happened.HandedOver)
        if isinstance(event, happened.Decided):
            told = sources.charged(contract.case(event.number).variation)
        if moves_sum or moves_left or told:
            kind, subject = _said(sources, contract, event)
            by = ", ".join(filter(None, (event.who, event.capacity)))
            yield LedgerEntry(
                event.at, kind, subject, by, event.words, moves_sum, sum_, moves_left, left
            )


def _shown(sources: Sources, contract: Contract) -> Money:
    """What of the contingency is left, where the customer sees one."""
    return contract.left if sources.head.held else contract.nothing


def _said(sources: Sources, contract: Contract, event: happened.Event) -> tuple[str, str]:
    """(kind of event, what it is about)."""
    if isinstance(event, happened.Accepted):
        return "accepted", event.acceptance.extent
    if isinstance(event, happened.Decided):
        newest = contract.case(event.number)
        titles = {one.revision: one for one in (*newest.earlier, newest.variation)}
        variation = titles[event.revision]
        return event.act, f"{variation.name} {variation.title}"
    if isinstance(event, happened.Opened):
        return "measured", sources.component(event.component)
    if isinstance(event, happened.ExchangeSettled):
        return "exchange", ", ".join(map(sources.part, event.parts))
    if isinstance(event, happened.Revised):
        return "revised", f"{event.variation.name} {event.variation.title}"
    names = {
        happened.ContingencyReturned: "returned",
        happened.HandedOver: "handed over",
        happened.StopDecided: "stopped",
    }
    return names.get(type(event), type(event).__name__), ""


def _groups(sources: Sources, now: ContractNow) -> tuple[LedgerGroup, ...]:
    """By component group; a variation that touches several stands with the first of them."""
    contract = sources.here.contract
    placed = {
        number: replace(case, variation=replace(
            case.variation, component=next(iter(sources.components_of(case.variation)), "")))
        for number, case in contract.cases.items()
    }  # fmt: skip
    cat = sources.here.work.cat

    def group_of(component: str) -> str:
        return cat.group_of(component) if component in cat.components else ""

    held = sources.held_by_group()
    closed = held_for_closed(now.rest, sources.here.work, group_of, placed)
    known = group_rows(replace(contract, cases=placed), held, group_of, {})
    drawn = _with_measured(sources, {one.group: one.drawn for one in known})
    rows = {one.group: one for one in known}
    names = dict.fromkeys([*sorted(filter(None, {*rows, *closed, *drawn})), ""])
    nothing = contract.nothing
    found = [
        LedgerGroup(
            cat.groups[code].name if code in cat.groups else "",
            held.get(code, nothing), drawn.get(code, nothing), closed.get(code, nothing),
            _causes(contract, rows.get(code)),
        )
        for code in names
    ]  # fmt: skip
    return tuple(one for one in found if one.held or one.drawn or one.closed or one.causes)


def _with_measured(sources: Sources, drawn: dict[str, Money]) -> dict[str, Money]:
    """What groups drew, with lines measured again where the form has them inside what is held."""
    contract = sources.here.contract
    if not contract.rule.measure_draws:
        return drawn
    groups = {line.id: line.line.group for line in sources.here.work.lines}
    found = dict(drawn)
    for row_id, one in contract.measured.items():
        group = groups.get(row_id, "")
        found[group] = found.get(group, contract.nothing) + one.change
    used = contract.totals.held - contract.rule.left(contract.totals) - contract.totals.released
    beyond = used - money_sum(found.values(), contract.currency)
    if beyond:  # more than was held: the workshop's
        found[""] = found.get("", contract.nothing) + beyond
    return found


def _causes(contract: Contract, row: GroupRow | None) -> tuple[str, ...]:
    """Variations that drew on a group."""
    if row is None:
        return ()
    cases = {case.variation.name: case for case in contract.cases.values()}
    return tuple(
        name
        for name in row.causes
        if cases[name].variation.end == CONTINGENCY and cases[name].funding is not None
    )
