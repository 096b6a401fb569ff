"""Which look would tell most, for a page or a script: each look still possible with the expected
fall of (percentile - mean), what it might change, what it costs and what to beware of.

It takes up to some seconds: in the window it belongs on a background thread. Nothing here is a
saving: opening moves money from exposed to firm.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.rows import Caution
from estimator.domain.exposure.looks import CIRCUIT_TEST, OPEN, TEST, Look, possible_looks
from estimator.domain.exposure.open_first import Held, Worth, spread_now, worth_of_looks
from estimator.domain.job import Job
from estimator.domain.money import Money, money_half_up
from estimator.domain.priced_job import PricedJob
from estimator.domain.pricing import exchange_rate
from estimator.domain.scope_line import LABOUR
from estimator.services.add_look import added_looks

__all__ = [
    "CIRCUIT_TEST", "OPEN", "TEST", "USUAL_BAND", "Limit", "LookRow", "OpenFirst", "limit_of",
    "show_open_first",
]  # fmt: skip

USUAL_BAND = "usual band"
Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Limit:
    """What a rebuild is worth at most, before tax: where the decision to go on would change.

    `code` names the limit: USUAL_BAND, the upper end of the class's usual band, `share` of the
    likely price of a new machine.
    """

    code: str
    amount: Money
    share: Decimal
    new_price: Money


@dataclass(frozen=True, slots=True)
class LookRow:
    """One look. `on` names the parts it speaks of (of a circuit test the circuit), `parts` are
    their codes.

    `cost`, `hours` and `days` are None for a full opening: the strip does it, and the catalogue
    states no cost of it alone. `detects` is the sensitivity of a test, `chance` that of an opened
    part being worn. `fall` is the expected fall of (percentile - mean), a penny below nothing where
    there is none. `added`: it stands on the inspection as a task.
    """

    id: str
    kind: str
    name: str
    on: tuple[str, ...]
    parts: tuple[str, ...]
    circuit: str
    cost: Money | None
    hours: Decimal | None
    days: Decimal | None
    detects: Decimal | None
    fall: Money
    chance: float | None
    changes_disposition: float
    changes_decision: float
    cautions: tuple[Caution, ...]
    added: bool


@dataclass(frozen=True, slots=True)
class OpenFirst:
    """All looks still possible, the largest fall first, and what they are held against: `spread`
    is (percentile - mean) now at `confidence`; `inside`, whether the price is within `limit`."""

    spread: Money
    confidence: Decimal
    limit: Limit
    inside: bool
    rows: tuple[LookRow, ...]


def quiet(_done: int, _of: int) -> None:
    """Progress that nobody listens to."""


def show_open_first(priced: PricedJob, progress: Progress = quiet) -> OpenFirst:
    """Every look still possible on a priced job. `progress` is told how many looks are done, of
    how many; what it raises passes through, and ends the work."""
    job, cat = priced.job, priced.cat
    limit = limit_of(job, cat)
    confidence = job.terms.confidence
    currency = job.terms.currency
    inside = priced.price.net <= limit.amount
    distribution = priced.contingency.distribution
    if distribution is None:
        return OpenFirst(Money(0, currency), confidence, limit, inside, ())
    held = Held(
        base=float(priced.price.base.amount),
        limit=float(limit.amount.amount),
        confidence=float(confidence),
        firm_chance=float(cat.settings.firm_chance),
        firm=frozenset(priced.firm_by_chance),
    )
    looks = possible_looks(cat, priced.known, priced.exposed)
    worth = worth_of_looks(distribution, looks, held, cat.settings, progress)
    spread = _money(spread_now(distribution, held.confidence), currency)
    added = added_looks(job, cat)
    shown = (_row(one, priced, added) for one in worth)
    # By what is shown: falls that print alike stand in the order of their codes.
    rows = tuple(sorted(shown, key=lambda row: (-row.fall.minor, row.id)))
    return OpenFirst(spread, confidence, limit, inside, rows)


def limit_of(job: Job, cat: ClassCatalogue) -> Limit:
    """The upper end of the usual band at the job's level, as a sum in the quote's currency.

    Raises NoRate where the class's new price has no rate.
    """
    row = cat.machine_class
    share = row.usual_band(job.level)[1]
    rate, currency = exchange_rate(job, row.currency), job.terms.currency
    new = row.new_price_likely * rate
    return Limit(
        USUAL_BAND,
        money_half_up(share * new, currency, job.terms.quoting_unit),
        share,
        money_half_up(new, currency),
    )


def _row(worth: Worth, priced: PricedJob, added: frozenset[str]) -> LookRow:
    look, job, cat = worth.look, priced.job, priced.cat
    test = look.test
    cost = None
    if test is not None:
        cost = money_half_up(test.cost * exchange_rate(job, test.currency), job.terms.currency)
    names = [cat.circuits[look.circuit].name] if look.circuit else _names(look, cat)
    return LookRow(
        id=look.id,
        kind=look.kind,
        name=look.name,
        on=tuple(names),
        parts=look.parts,
        circuit=look.circuit,
        cost=cost,
        hours=test.hours if test else None,
        days=test.days if test else None,
        detects=test.sensitivity if test else None,
        fall=_money(worth.fall, job.terms.currency),
        chance=priced.known.chances[look.parts[0]].after if test is None else None,
        changes_disposition=worth.changes_disposition,
        changes_decision=worth.changes_decision,
        cautions=_cautions(look, priced),
        added=look.id in added,
    )


def _names(look: Look, cat: ClassCatalogue) -> list[str]:
    return [cat.parts[part].name for part in look.parts]


def _cautions(look: Look, priced: PricedJob) -> tuple[Caution, ...]:
    """A test's own; of an opening those of the work on its component in this scope."""
    cat = priced.cat
    if look.test is not None:
        codes = list(look.test.cautions)
    else:
        component = cat.parts[look.parts[0]].component
        codes = [
            code
            for line in priced.scope.lines
            if line.kind == LABOUR and line.row.component == component
            for code in getattr(line.row, "cautions", ())
        ]
    return tuple(cat.cautions[code] for code in sorted(set(codes)))


def _money(amount: float, currency: str) -> Money:
    return money_half_up(Decimal(repr(amount)), currency)
