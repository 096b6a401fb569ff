"""How the contingency is drawn down, as one bar and by component group. Frozen rows.

In the bar's order: agreed, priced and not agreed, still exposed at the job's confidence, left. What
has no price is drawn into what is left at its range, and past its end where it may go there.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.contract.contract import Case
from estimator.domain.contract.ledger import CLOSED, COVERED, NO_MARK, SHORT, GroupRow, group_rows
from estimator.domain.contract.variation import CONTINGENCY
from estimator.domain.exposure.contingency import held_only, with_shares
from estimator.domain.exposure.shares import expected_sums
from estimator.domain.money import Money, money_sum, shares_by_largest_remainder
from estimator.domain.priced_work import PricedWork, held
from estimator.services.work_out_contract import ContractNow
from estimator.services.write_contract import Here, awaited

MOST_KEPT = 4
_SHARES: OrderedDict[tuple[str, str, int], dict[str, Money]] = OrderedDict()
_RANGE = "range/"


@dataclass(frozen=True, slots=True)
class Piece:
    """What one variation has drawn, or would draw."""

    number: str
    amount: Money
    waits_on: str = ""


@dataclass(frozen=True, slots=True)
class RangePiece:
    """A finding without a price, at its range; `runs_past` where its high end is more than what is
    left beside everything else."""

    number: str
    low: Money
    likely: Money
    high: Money
    runs_past: bool


@dataclass(frozen=True, slots=True)
class DrawnDown:
    """The contingency as one bar. `exposed` is without findings that have no price; `spare` is what
    is left beside agreed, pending and exposed, and nothing where they come to more."""

    held: Money
    agreed: tuple[Piece, ...]
    agreed_sum: Money
    measured: Money  # lines measured again, where the form draws them from what is held
    returned: Money  # given back before the end
    pending: tuple[Piece, ...]
    pending_sum: Money
    exposed: Money
    confidence: Decimal
    left: Money  # after what is agreed
    spare: Money
    unpriced: tuple[RangePiece, ...]
    mark: str  # covered, short, no mark, closed
    short_by: Money


@dataclass(frozen=True, slots=True)
class GroupLine:
    """One component group of the contingency."""

    id: str
    name: str
    held: Money
    drawn: Money
    pending: Money
    expected: Money
    causes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class GroupTable:
    """The contingency by component group, and its totals: held, drawn and pending tie to the
    ledger, expected to the forecast's mean of what is still open."""

    lines: tuple[GroupLine, ...]
    held: Money
    drawn: Money
    pending: Money
    expected: Money


def drawn_down(now: ContractNow) -> DrawnDown:
    """The bar of a contract as worked out."""
    here, contract, row = now.here, now.here.contract, now.row
    agreed = tuple(
        Piece(case.variation.number, case.funding.from_contingency)
        for case in contract.cases.values()
        if case.funding is not None and case.funding.from_contingency
    )
    pending = tuple(
        Piece(
            case.variation.number, case.variation.amount(contract.currency),
            awaited(contract, case)[0],
        )
        for case in contract.pending()
        if case.variation.end == CONTINGENCY
    )  # fmt: skip
    exposed = exposed_without_ranges(now)
    pending_sum = money_sum((one.amount for one in pending), contract.currency)
    spare = contract.left - pending_sum - exposed
    spare = spare if spare.minor > 0 else contract.nothing
    return DrawnDown(
        held=contract.totals.held,
        agreed=agreed,
        agreed_sum=contract.totals.drawn,
        measured=contract.totals.remeasured if contract.rule.measure_draws else contract.nothing,
        returned=contract.rule.returned(contract.totals, contract.acceptance.unspent),
        pending=pending,
        pending_sum=pending_sum,
        exposed=exposed,
        confidence=here.job.terms.confidence,
        left=contract.left,
        spare=spare,
        unpriced=tuple(_ranges(contract.unpriced(), spare)),
        mark=row.mark,
        short_by=row.short_by,
    )


def _ranges(cases: Iterable[Case], spare: Money) -> Iterable[RangePiece]:
    for case in cases:
        range_ = case.variation.range
        if range_ is not None and case.variation.end == CONTINGENCY:
            past = range_.high > spare
            yield RangePiece(case.variation.number, range_.low, range_.likely, range_.high, past)


def exposed_without_ranges(now: ContractNow) -> Money:
    """What is still exposed at the job's confidence beside findings that have no price."""
    rest, terms = now.rest, now.here.job.terms
    if not rest.unpriced:
        return rest.exposed
    return held_only(
        rest.known, rest.closed, rest.unmeasured, terms.confidence, terms.currency,
        terms.quoting_unit, found=rest.found, before=rest.held.distribution,
    ).amount  # fmt: skip


# By component group


def group_table(now: ContractNow) -> GroupTable:
    """Held, drawn, pending and still expected by component group, groups in the catalogue's order;
    those of which nothing is left or was held are left out."""
    here, contract, cat = now.here, now.here.contract, now.here.work.cat
    held_of = held_by_group(here)
    expected = _expected_by_group(now)
    nothing = contract.nothing
    rows = group_rows(
        contract,
        {**dict.fromkeys(cat.groups, nothing), **dict.fromkeys(expected, nothing), **held_of},
        lambda component: cat.components[component].group if component in cat.components else "",
        expected,
    )
    lines = tuple(_group_line(row, now) for row in rows if _is_anything(row))
    currency = contract.currency
    return GroupTable(
        lines,
        money_sum((one.held for one in lines), currency),
        money_sum((one.drawn for one in lines), currency),
        money_sum((one.pending for one in lines), currency),
        money_sum((one.expected for one in lines), currency),
    )


def _is_anything(row: GroupRow) -> bool:
    return bool(row.held or row.drawn or row.pending or row.expected or row.causes)


def _group_line(row: GroupRow, now: ContractNow) -> GroupLine:
    group = now.here.work.cat.groups.get(row.group)
    name = group.name if group is not None else row.group
    return GroupLine(
        row.group, name, row.held, row.drawn, row.pending, row.expected, row.causes
    )  # fmt: skip


def held_by_group(here: Here) -> dict[str, Money]:
    """What the accepted contingency was held for, by component group; kept, since it takes a
    second to work out and never changes."""
    accepted, work = here.contract.acceptance, here.work
    if not accepted.contingency:
        return {}
    key = (here.job.number, accepted.revision, accepted.contingency.minor)
    if key not in _SHARES:
        _SHARES[key] = _shares(work)
        while len(_SHARES) > MOST_KEPT:
            _SHARES.popitem(last=False)
    return _SHARES[key]


def _shares(work: PricedWork) -> dict[str, Money]:
    terms = work.job.terms
    shared = with_shares(
        held(work), work.exposed, work.provisional_lines, terms.quoting_unit, found=work.found
    )
    return shared.group_amounts(terms.currency)


def _expected_by_group(now: ContractNow) -> dict[str, Money]:
    """The mean of what is still open, split over groups so that it adds up to the forecast's."""
    rest, cat = now.rest, now.here.work.cat
    distribution = rest.held.distribution
    if distribution is None:
        return {}
    group_of = {part.part: part.group for part in rest.closed}
    group_of |= {line.id: line.line.group for line in rest.unmeasured}
    group_of |= {one.key: one.group for one in rest.found}
    group_of |= _groups_of_ranges(rest.unpriced, cat.components)
    sums: dict[str, float] = {}
    for name, mean in expected_sums(distribution).items():
        group = group_of.get(name, "")
        sums[group] = sums.get(group, 0.0) + mean
    if not sum(sums.values()):
        return {}
    unit = now.here.job.terms.quoting_unit
    amounts = shares_by_largest_remainder(rest.mean, list(sums.values()), unit)
    return dict(zip(sums, amounts, strict=True))


def _groups_of_ranges(cases: Iterable[Case], components: Mapping[str, object]) -> dict[str, str]:
    found = {}
    for case in cases:
        component = components.get(case.variation.component)
        found[f"{_RANGE}{case.variation.number}"] = str(getattr(component, "group", ""))
    return found


__all__ = [
    "CLOSED", "COVERED", "NO_MARK", "SHORT", "DrawnDown", "GroupLine", "GroupTable", "Piece",
    "RangePiece", "drawn_down", "exposed_without_ranges", "group_table", "held_by_group",
]  # fmt: skip
