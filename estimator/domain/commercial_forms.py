"""The commercial forms side by side: what each says to the customer, who bears what nobody can see
yet, who keeps what is not spent, and what it means to the workshop.

The work comes to base + S, S what is found above base (a distribution); the contingency K is held
at the job's confidence, and the price with it is N = base + K.

    form                         quoted        the customer pays     hidden condition     unspent
    fixed price                  N             N                     workshop             workshop
    not to exceed                N             min(base + S, N)      customer to the cap  customer
    base and named contingency   N             base + S              customer             customer
    provisional sums             base + sums   base + S              customer             customer
    schedule of rates            base          base + S              customer             -

(Trade notes, section E: common practice, no source.) Provisional sums: an exposed part is put in at
its likely cost where its chance of being worn is at least one half, else not at all. A schedule of
rates binds no sum; the base is what it is expected to come to if nothing more is found.

Sums are floats in here and become money once, on leaving; a sum that must add up with another is
taken from it, so that printed figures agree to the minor unit.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.exposure.contingency import MEAN, NOTHING, PERCENTILE
from estimator.domain.exposure.distribution import Distribution
from estimator.domain.exposure.stop_loss import chance_beyond, mean_beyond
from estimator.domain.money import Money, money_half_up, money_sum
from estimator.domain.priced_job import PricedJob

FIXED = "fixed price"
NOT_TO_EXCEED = "not to exceed"
NAMED = "base and named contingency"
PROVISIONAL_SUMS = "provisional sums"
SCHEDULE_OF_RATES = "schedule of rates"
FORMS = (FIXED, NOT_TO_EXCEED, NAMED, PROVISIONAL_SUMS, SCHEDULE_OF_RATES)

WORKSHOP, CUSTOMER, TO_THE_CAP, NOTHING_HELD = (
    "workshop", "customer", "customer to the cap", "nothing held",
)  # fmt: skip

LEAST_CHANCE = 0.5  # of a part that is put in as a provisional sum
WORST = 0.99  # share of outcomes that "at worst" covers where nothing caps the payment
CONFIDENCES = tuple(Decimal(percent) / 100 for percent in range(50, 100, 5))


@dataclass(frozen=True, slots=True)
class FormRow:
    """One commercial form for one job. Sums before tax, in the quote's currency.

    `quoted` is what the customer is told, `pays` what is paid in the mean, `worst` the most that is
    paid: exactly so where `capped`, else what 99 outcomes of 100 do not exceed. `bears` says who
    bears hidden condition, `keeps` who keeps what is not spent. `workshop` is the mean payment less
    the mean of all work at selling price: a premium kept (above 0) or an overrun borne (below).
    `margin` is the mean payment less the workshop's own mean cost. `passed` is the chance that the
    work comes to more than is quoted, `overrun` the mean of what it does so by.
    """

    form: str
    chosen: bool
    quoted: Money
    pays: Money
    worst: Money
    capped: bool
    bears: str
    keeps: str
    workshop: Money
    margin: Money
    passed: float
    overrun: Money


@dataclass(frozen=True, slots=True)
class CertaintyRow:
    """What certainty costs: a fixed price that covers `confidence` of all outcomes, and how far it
    lies above what the work comes to in the mean. `bound` is the bound of the contingency that
    rules there."""

    confidence: Decimal
    price: Money
    costs: Money
    bound: str


@dataclass(frozen=True, slots=True)
class _Sums:
    """What all forms share."""

    priced: PricedJob
    base: Money
    held: Money
    mean: Money  # of the work at selling price, base and what is found
    own: Money  # the workshop's own mean cost of the same

    @property
    def currency(self) -> str:
        return self.base.currency

    @property
    def distribution(self) -> Distribution | None:
        return self.priced.contingency.distribution

    def money(self, amount: float) -> Money:
        return money_half_up(Decimal(repr(amount)), self.currency)

    def overrun(self, held: Money) -> Money:
        """Mean of what passes base + `held`; at its least nothing."""
        if self.distribution is None:
            return Money(max(-held.minor, 0), self.currency)
        return self.money(mean_beyond(self.distribution, float(held.amount)))

    def passed(self, held: Money) -> float:
        if self.distribution is None:
            return 1.0 if held.minor < 0 else 0.0
        return chance_beyond(self.distribution, float(held.amount))

    def worst(self) -> Money:
        """What 99 outcomes of 100 do not exceed."""
        found = self.distribution.percentile(WORST) if self.distribution else 0.0
        return self.base + self.money(found)


def commercial_forms(priced: PricedJob) -> tuple[FormRow, ...]:
    """Every form for a priced job, in the order of FORMS."""
    sums = _sums(priced)
    return (
        fixed_price(sums),
        not_to_exceed(sums),
        named_contingency(sums),
        provisional_sums(sums),
        schedule_of_rates(sums),
    )


def _sums(priced: PricedJob) -> _Sums:
    price = priced.price
    currency = price.base.currency
    found = money_half_up(Decimal(repr(priced.contingency.mean)), currency)
    own = money_half_up(Decimal(repr(own_mean_cost(priced))), currency)
    return _Sums(priced, price.base, price.contingency, price.base + found, own)


def own_mean_cost(priced: PricedJob) -> float:
    """What the work costs the workshop itself in the mean, what is found included.

    Carriage and levies are taken to cost what they are charged at. A provisional line that moves
    costs in proportion.
    """
    price = priced.price
    beside = price.freight + price.levy_sum
    total = float(sum(price.cost_by_kind.values(), Decimal(0)) + beside.amount)
    total += sum(_chance(priced, one.part) * one.workshop_cost.mean for one in priced.exposed)
    total += sum(one.workshop_cost.mean for one in priced.found)
    distribution = priced.contingency.distribution
    if distribution is not None:
        for line in priced.lines:
            if line.id in distribution.spreads and line.amount:
                paid = float(line.cost) / float(line.amount.amount)
                total += distribution.spreads[line.id].mean * paid
    return total


def _chance(priced: PricedJob, part: str) -> float:
    return priced.known.chances[part].after


def _row(
    sums: _Sums, form: str, held: Money, pays: Money, worst: Money | None, who: tuple[str, str]
) -> FormRow:
    """A row; `worst` is None where nothing caps what is paid."""
    return FormRow(
        form=form,
        chosen=sums.priced.job.terms.commercial_form == form,
        quoted=sums.base + held,
        pays=pays,
        worst=sums.worst() if worst is None else worst,
        capped=worst is not None,
        bears=who[0],
        keeps=who[1],
        workshop=pays - sums.mean,
        margin=pays - sums.own,
        passed=sums.passed(held),
        overrun=sums.overrun(held),
    )


def fixed_price(sums: _Sums) -> FormRow:
    """One sum, whatever is found: the workshop bears it, and keeps what is not spent."""
    quoted = sums.base + sums.held
    return _row(sums, FIXED, sums.held, quoted, quoted, (WORKSHOP, WORKSHOP))


def not_to_exceed(sums: _Sums) -> FormRow:
    """What is used, up to the sum quoted; beyond it the workshop bears what is found."""
    quoted = sums.base + sums.held
    pays = sums.mean - sums.overrun(sums.held)
    return _row(sums, NOT_TO_EXCEED, sums.held, pays, quoted, (TO_THE_CAP, CUSTOMER))


def named_contingency(sums: _Sums) -> FormRow:
    """What is used; the contingency is drawn by agreement, and what is left is the customer's."""
    return _row(sums, NAMED, sums.held, sums.mean, None, (CUSTOMER, CUSTOMER))


def provisional_sums(sums: _Sums) -> FormRow:
    """What is used; each part that is as likely worn as not stands in the price at its likely
    cost, rounded to the quoting unit."""
    unit = sums.priced.job.terms.quoting_unit
    put_in = money_sum(
        (
            money_half_up(Decimal(repr(one.cost.likely)), sums.currency, unit)
            for one in sums.priced.exposed
            if _chance(sums.priced, one.part) >= LEAST_CHANCE
        ),
        sums.currency,
    )
    return _row(sums, PROVISIONAL_SUMS, put_in, sums.mean, None, (CUSTOMER, CUSTOMER))


def schedule_of_rates(sums: _Sums) -> FormRow:
    """What is used, at the rates agreed; nothing is held."""
    nothing = Money(0, sums.currency)
    return _row(sums, SCHEDULE_OF_RATES, nothing, sums.mean, None, (CUSTOMER, NOTHING_HELD))


def price_of_certainty(
    priced: PricedJob, confidences: tuple[Decimal, ...] = CONFIDENCES
) -> tuple[CertaintyRow, ...]:
    """What a fixed price costs at each confidence above the mean of the work; rising.

    Raises ValueError on a confidence outside 0 to 1.
    """
    sums = _sums(priced)
    held = priced.contingency
    rows = []
    for confidence in confidences:
        amount = held.at(confidence, priced.job.terms.quoting_unit)
        price = sums.base + amount
        rows.append(CertaintyRow(confidence, price, price - sums.mean, _bound(sums, confidence)))
    return tuple(rows)


def _bound(sums: _Sums, confidence: Decimal) -> str:
    if sums.distribution is None:
        return NOTHING
    reached = sums.distribution.percentile(float(confidence))
    mean = sums.distribution.moments.mean
    if max(reached, mean) <= 0:
        return NOTHING
    return PERCENTILE if reached >= mean else MEAN
