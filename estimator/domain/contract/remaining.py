"""What is still open after what was opened and measured: the same chances as the quote's, with the
factors conditioned by every part that was found worn or sound."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.domain.contract.contract import Case, Contract
from estimator.domain.contract.variation import WORN, Range
from estimator.domain.exposure.contingency import Contingency, held_only
from estimator.domain.exposure.cost_when_worn import ExposedPart
from estimator.domain.exposure.distribution import Distribution
from estimator.domain.exposure.exposed_parts import Known
from estimator.domain.exposure.factors import FactorModel
from estimator.domain.exposure.found_work import Found
from estimator.domain.exposure.pert import Pert
from estimator.domain.money import Money, money_half_up
from estimator.domain.priced_work import PricedWork
from estimator.domain.pricing import PricedLine

LOW, LIKELY, HIGH = 0.1, 0.5, 0.9


@dataclass(frozen=True, slots=True)
class Remaining:
    """What of a contract is still open. Sums are in the quoting unit, above what is known.

    With the teardown alone accepted the parts and lines are those of the quote that the strip looks
    into; its price holds nothing for them, so no sum does.

    `exposed` is what the contingency rule asks for it at the job's confidence; `low`, `likely`
    and `high` are reached in one, five and nine of ten outcomes.
    """

    closed: tuple[ExposedPart, ...]  # open parts that nobody has opened
    found: tuple[Found, ...]  # work that may still be found while working
    unmeasured: tuple[PricedLine, ...]  # provisional lines not measured again
    unpriced: tuple[Case, ...]  # findings that have a range for a price
    known: Known
    exposed: Money
    mean: Money
    low: Money
    likely: Money
    high: Money
    held: Contingency


def remaining(contract: Contract, work: PricedWork, before: Remaining | None = None) -> Remaining:
    """What is open of `work`, the frozen quote's priced work, after the contract's events.

    `before`, an earlier answer of the same work, spares what has not changed since.
    """
    known = conditioned(work.known, contract, before.known if before is not None else None)
    closed = tuple(part for part in work.exposed if part.part not in contract.resolved)
    unmeasured = tuple(
        line
        for line in work.provisional_lines
        if line.id not in contract.measured and line.id not in contract.as_priced
    )
    # Seized pins show when their component is opened: what they cost is a variation from then on.
    found = tuple(one for one in work.found if one.component not in contract.components)
    if contract.handed_over or contract.stopped is not None:
        closed, unmeasured, found = (), (), ()
    unpriced = contract.unpriced()
    if before is not None and _same(before, known, (closed, unmeasured, found), unpriced):
        return replace(before, unpriced=unpriced)
    distribution = before.held.distribution if before is not None else None
    owed = ((), (), ()) if contract.acceptance.teardown_only else (closed, unmeasured, found)
    held = _held(work, known, owed, unpriced, distribution)
    terms = work.job.terms
    money: Callable[[float], Money] = lambda value: money_half_up(  # noqa: E731
        Decimal(repr(value)), terms.currency, terms.quoting_unit
    )
    shares = held.percentiles
    return Remaining(
        closed=closed,
        found=found,
        unmeasured=unmeasured,
        unpriced=unpriced,
        known=known,
        exposed=held.amount,
        mean=money(held.mean),
        low=money(shares[LOW]),
        likely=money(shares[LIKELY]),
        high=money(shares[HIGH]),
        held=held,
    )


def _same(
    before: Remaining, known: Known, still: tuple[object, ...], unpriced: tuple[Case, ...]
) -> bool:
    """Whether all that the figures of an earlier answer rest on is as it was."""
    return (
        still == (before.closed, before.unmeasured, before.found)
        and known.model.items == before.known.model.items
        and [_range_of(case) for case in unpriced] == [_range_of(case) for case in before.unpriced]
    )


def _range_of(case: Case) -> tuple[str, Range | None]:
    return case.variation.number, case.variation.range


def conditioned(known: Known, contract: Contract, before: Known | None = None) -> Known:
    """The quote's factors, with what was found worn or sound since. `before` spares circuits in
    which nothing was found since an earlier answer."""
    model = known.model
    items = [
        replace(item, state=contract.resolved[item.part] == WORN, ratio=1.0)
        if item.part in contract.resolved
        else item
        for item in model.items
    ]
    near = model if before is None else before.model
    return replace(known, model=FactorModel(items, model.tests, model.grid.tolist(), before=near))


def _held(
    work: PricedWork,
    known: Known,
    still: tuple[tuple[ExposedPart, ...], tuple[PricedLine, ...], tuple[Found, ...]],
    unpriced: tuple[Case, ...],
    before: Distribution | None,
) -> Contingency:
    closed, unmeasured, found = still
    terms = work.job.terms
    return held_only(
        known, closed, unmeasured, terms.confidence, terms.currency, terms.quoting_unit,
        found=found, ranges={f"range/{case.variation.number}": _pert(case) for case in unpriced},
        before=before,
    )  # fmt: skip


def _pert(case: Case) -> Pert:
    range_ = case.variation.range
    assert range_ is not None  # a variation without a price has one
    return Pert(float(range_.low.amount), float(range_.likely.amount), float(range_.high.amount))
