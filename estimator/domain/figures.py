"""How findings, chances, contingency and dates were reached, as figures that can be asked why."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from functools import partial

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.exposure.contingency import MEAN, PERCENTILE, Contingency
from estimator.domain.exposure.cost_when_worn import ExposedPart
from estimator.domain.exposure.evidence import Sign
from estimator.domain.exposure.exposed_parts import INTERVAL, Chance, Known
from estimator.domain.exposure.found_work import Found
from estimator.domain.exposure.wear_figures import chance_steps
from estimator.domain.fixed_words import fixed
from estimator.domain.found_figures import note_found
from estimator.domain.job import Job
from estimator.domain.money import money_half_up, round_half_up
from estimator.domain.pricing import exchange_rate
from estimator.domain.programme.programme import Programme
from estimator.domain.programme.scenarios import Finish
from estimator.domain.reasons import Figure, Reasons, exact, measured
from estimator.domain.totals import Price
from estimator.domain.wording import worded

NO_SLACK = 1e-6  # hours


def note_exposed(
    known: Known,
    exposed: tuple[ExposedPart, ...],
    held: Contingency,
    cat: ClassCatalogue,
    job: Job,
    reasons: Reasons,
    found: tuple[Found, ...] = (),
) -> None:
    """Chance, cost and contribution of every open part and of work found while working; chance of
    every firm-by-chance one."""
    for chance in known.chances.values():
        if chance.state is None:
            reasons.later(f"chance/{chance.part}", partial(_chance, chance, known, cat, job))
    costs = {part.part: part for part in exposed}
    kinds = {one.key: one for one in found}
    for share in held.shares:
        inputs: tuple[str, ...] = (f"line/{share.id}",)
        if share.id in kinds:
            inputs = (note_found(kinds[share.id], cat, job, reasons),)
        elif share.id in costs:
            cost = partial(_cost, costs[share.id], job)
            inputs = (f"chance/{share.id}", reasons.later(f"cost_if_worn/{share.id}", cost))
        reasons.note(
            Figure(
                name=f"contribution/{share.id}",
                title=worded(
                    "Share of the contingency, {title}", title=_title(share.id, cat, job, kinds)
                ),
                value=share.amount,
                formula=_SHARE_FORMULA[held.bound],
                inputs=inputs,
                numbers=(
                    (worded("expected"), exact(share.expected, share.amount.currency)),
                    (
                        worded("before rounding"),
                        exact(share.contribution, share.amount.currency),
                    ),
                ),
                rule=worded(
                    "rounded to the quoting unit by largest remainder, so that shares add up"
                ),
            )
        )


_SHARE_FORMULA = {
    PERCENTILE: worded(
        "expected sum of this part or line, given that the total is at the percentile"
    ),
    MEAN: worded("expected sum of this part or line, scaled to the contingency"),
    "nothing": worded("nothing is held"),
}


def _title(code: str, cat: ClassCatalogue, job: Job, kinds: Mapping[str, Found]) -> str:
    if code in kinds:
        return kinds[code].name
    if own := next((line.name for line in job.own if line.id == code), ""):
        return own
    if code in cat.parts:
        return cat.parts[code].name
    if code in cat.operations:
        return cat.operations[code].name
    return cat.outwork[code].name if code in cat.outwork else code


def _cost(part: ExposedPart, job: Job) -> Figure:
    mean = money_half_up(Decimal(repr(part.cost.mean)), job.terms.currency)
    return Figure(
        name=f"cost_if_worn/{part.part}",
        title=worded("Cost if worn, {name}: {way}", name=part.name, way=fixed(part.way)),
        value=mean,
        formula=_COST_OF_ONE
        if len(part.ways) == 1
        else worded("sum of chance x {cost_of_one}", cost_of_one=_COST_OF_ONE),
        numbers=(
            (worded("low"), exact(part.cost.low)),
            (worded("likely"), exact(part.cost.likely)),
            (worded("high"), exact(part.cost.high)),
            (worded("added days"), worded("{value:g}", value=part.added_days)),
            *_way_numbers(part),
            (worded("workshop cost, mean"), exact(part.workshop_cost.mean)),
        ),
        source="remedies.csv",
        origin=fixed(part.cost_rests_on),
    )


_COST_OF_ONE = worded("(low + 4 x likely + high) / 6, parts, labour and outwork at selling price")


def _way_numbers(part: ExposedPart) -> tuple[tuple[str, str], ...]:
    """Each way with its chance, cost and days, where several may come about."""
    if len(part.ways) == 1:
        return ()
    return tuple(
        (
            worded("{way}, {share:.0%}", way=fixed(one.way), share=one.share),
            worded(
                "{low:,.2f} / {likely:,.2f} / {high:,.2f}, {days:g} days",
                low=one.cost.low,
                likely=one.cost.likely,
                high=one.cost.high,
                days=one.added_days,
            ),
        )
        for one in part.ways
    )


def _chance(chance: Chance, known: Known, cat: ClassCatalogue, job: Job) -> Figure:
    circuit = cat.circuits[chance.circuit].name if chance.circuit else worded("none")
    numbers = chance_steps(chance, cat, job)
    numbers += [
        (worded("sign {test} ({finding})", test=sign.test, finding=sign.finding), _sign_text(sign))
        for sign in chance.signs
    ]
    if chance.ratio != 1:
        numbers.append((worded("after its own signs"), worded("{value:.6f}", value=chance.own)))
    numbers += [
        (worded("loading on life and care"), worded("{value:g}", value=chance.life)),
        (
            worded("loading on {circuit}", circuit=circuit),
            worded("{value:g}", value=chance.shared),
        ),
    ]
    numbers += [
        (
            worded("circuit sign {test} ({finding})", test=sign.test, finding=sign.finding),
            _sign_text(sign),
        )
        for sign in known.circuit_signs
        if sign.target == chance.circuit
    ]
    numbers.append(
        (
            worded("in {share:.0%} of cases", share=INTERVAL),
            worded("{low:.3f} to {high:.3f}", low=chance.low, high=chance.high),
        )
    )
    inputs = dict.fromkeys(
        f"finding/{sign.finding}"
        for sign in (*chance.signs, *known.circuit_signs)
        if sign.used and sign.target in (chance.part, chance.circuit)
    )
    row = cat.wear[chance.part]
    return Figure(
        name=f"chance/{chance.part}",
        title=worded("Chance of being worn, {name}", name=cat.parts[chance.part].name),
        value=round(chance.after, 6),
        formula=worded(
            "Weibull at its age, own cases, its own signs, then the factors "
            "conditioned on every settled part, sign and oil test"
        ),
        inputs=tuple(inputs),
        numbers=tuple(numbers),
        rule=worded(
            "chance of failing the disposition rule at this age, as the "
            "catalogue states it; the life wanted acts on readings, not on "
            "chances"
        ),
        source=row.place.said,
        origin=chance.rests_on,
    )


def _sign_text(sign: Sign) -> str:
    result = fixed("alarm" if sign.alarm else "clear")
    said = worded("{result}, likelihood ratio {ratio:.4f}", result=result, ratio=sign.ratio)
    if sign.used:
        return said
    return worded("{sign}; not used, a stronger sign of its family is", sign=said)


def note_contingency(
    held: Contingency, cat: ClassCatalogue, currency: str, reasons: Reasons
) -> None:
    """The contingency, its mean and percentile, and its shares by group."""
    largest = sorted(held.shares, key=lambda share: (-share.amount.minor, share.id))
    by_group: dict[str, list[str]] = {}
    for share in held.shares:
        by_group.setdefault(share.group, []).append(f"contribution/{share.id}")
    for group, amount in held.group_amounts(currency).items():
        reasons.note(
            Figure(
                f"group/{group}/contingency",
                worded("{name}: contingency", name=cat.groups[group].name),
                amount,
                formula=worded("sum"),
                inputs=tuple(by_group[group]),
            )
        )
    reasons.note(
        Figure(
            name="contingency",
            title=worded("Contingency for parts found worn"),
            value=held.amount,
            formula=worded("max(percentile - base, mean - base, 0), half-up to the quoting unit"),
            inputs=tuple(f"contribution/{share.id}" for share in largest),
            numbers=(
                (worded("confidence"), worded("{value:.0%}", value=held.confidence)),
                (worded("percentile above base"), exact(held.at_confidence, currency)),
                (worded("mean above base"), exact(held.mean, currency)),
                (worded("standard deviation"), exact(held.deviation, currency)),
            ),
            rule=worded("the {bound} bound rules", bound=fixed(held.bound)),
        )
    )


def note_finish(
    programme: Programme, finish: Finish, job: Job, cat: ClassCatalogue, reasons: Reasons
) -> None:
    """The finish with nothing found worn, and the finish at each share of scenarios."""
    critical = [
        step
        for step in programme.steps.values()
        if abs(step.timing.slack) < NO_SLACK and step.elapsed > 0
    ]
    reasons.note(
        Figure(
            name="finish/nothing_worn",
            title=worded("Ready if nothing more is found worn"),
            value=programme.finish_day,
            formula=worded("longest path through the programme on the workshop's calendar"),
            numbers=(
                (worded("start"), worded("{day}", day=job.start)),
                (worded("working hours"), worded("{value:.2f}", value=programme.finish_hour)),
                (worded("longest path"), " > ".join(step.id for step in critical)),
                (worded("productivity"), worded("{value}", value=cat.settings.productivity)),
            ),
            rule=worded("parts ordered on arrival; trades are not levelled"),
            source="activities.csv, operations.csv, closures.csv",
        )
    )
    for share, day in finish.days.items():
        reasons.note(
            Figure(
                name=f"finish/{share * 100:g}",
                title=worded("Ready, {share:g} in 10", share=share * 10),
                value=day,
                formula=worded(
                    "{share} of {scenarios:,} scenarios end by this day",
                    share=worded("{value:g} %", value=share * 100),
                    scenarios=finish.scenarios,
                ),
                inputs=("finish/nothing_worn",),
                numbers=(
                    (worded("working hours"), worded("{value:.2f}", value=finish.hours[share])),
                ),
                rule=worded(
                    "same chances as the contingency; work, outwork and lead times spread as set"
                ),
                source="catalogue.toml [programme]",
            )
        )


def note_share_of_new(price: Price, job: Job, cat: ClassCatalogue, reasons: Reasons) -> Decimal:
    """Net price as a share of the class's likely new price, to a thousandth."""
    row = cat.machine_class
    new = row.new_price_likely * exchange_rate(job, row.currency)
    share = round_half_up(price.net.amount / new, Decimal("0.001"))
    reasons.note(
        Figure(
            name="share_of_new",
            title=worded("Net price as a share of a new {type}", type=row.type),
            value=share,
            formula=worded("net / new price, likely"),
            inputs=("net",),
            numbers=((worded("new price"), measured(row.new_price_likely, row.currency)),),
            source=row.place.said,
            origin=fixed(row.origin),
        )
    )
    return share
