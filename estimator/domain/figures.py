"""How findings, chances, contingency and dates were reached, as figures that can be asked why."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.disposition import Judgement
from estimator.domain.exposure.contingency import MEAN, PERCENTILE, Contingency
from estimator.domain.exposure.cost_when_worn import ExposedPart
from estimator.domain.exposure.evidence import Sign
from estimator.domain.exposure.exposed_parts import INTERVAL, Chance, Known
from estimator.domain.exposure.found_work import Found
from estimator.domain.exposure.wear_figures import chance_steps
from estimator.domain.found_figures import note_found
from estimator.domain.job import Job
from estimator.domain.money import money_half_up, round_half_up
from estimator.domain.pricing import exchange_rate
from estimator.domain.programme.programme import Programme
from estimator.domain.programme.scenarios import Finish
from estimator.domain.reasons import Figure, Reasons
from estimator.domain.totals import Price

NO_SLACK = 1e-6  # hours


def note_findings(judgements: Mapping[str, Judgement], reasons: Reasons) -> None:
    """One figure a finding: its disposition, with the wear behind it as a figure of its own."""
    for code, judgement in judgements.items():
        finding = judgement.finding
        inputs: tuple[str, ...] = ()
        if judgement.worn_percent is not None:
            inputs = (_note_wear(code, judgement, reasons),)
        numbers = [("reading", _reading(judgement))]
        if finding.override:
            by = f" by {finding.overridden_by}" if finding.overridden_by else ""
            numbers.append(("rule said", judgement.rule_disposition))
            numbers.append((f"overruled{by}", finding.override_reason))
        if judgement.provisional_reason:
            numbers.append(("provisional", judgement.provisional_reason))
        reasons.note(
            Figure(
                name=f"finding/{code}",
                title=judgement.what,
                value=judgement.disposition,
                inputs=inputs,
                numbers=tuple(numbers),
                rule=judgement.rule_reason,
                source="; ".join(
                    part
                    for part in (
                        str(finding.place),
                        f"{finding.inspector}, {finding.date.isoformat()}".removeprefix(", "),
                    )
                    if part
                ),
                origin="measured" if judgement.measured is not None else "seen",
            )
        )


def _reading(judgement: Judgement) -> str:
    finding = judgement.finding
    parts = [
        f"{judgement.measured.normalize():f} {judgement.unit}"
        if judgement.measured is not None
        else "",
        finding.reading,
        ", ".join(finding.metals),
        finding.cleanliness,
        finding.result,
    ]
    return "; ".join(part for part in parts if part) or judgement.kind


def _note_wear(code: str, judgement: Judgement, reasons: Reasons) -> str:
    limits = judgement.limits
    assert limits is not None
    assert judgement.worn_percent is not None
    name = f"finding/{code}/worn"
    life = "no wear shows yet" if judgement.life_left is None else f"{int(judgement.life_left):,} h"
    reasons.note(
        Figure(
            name=name,
            title=f"Worn, {judgement.what}",
            value=round_half_up(judgement.worn_percent, Decimal("0.01")),
            unit="%",
            formula="(new - measured) / (new - service limit) x 100",
            numbers=(
                ("new", f"{limits.new} {judgement.unit}"),
                ("rebuild limit", f"{limits.rebuild} {judgement.unit}"),
                ("service limit", f"{limits.service} {judgement.unit}"),
                ("measured", f"{judgement.measured} {judgement.unit}"),
                ("life left at this rate", life),
            ),
            source=f"{judgement.finding.measure or 'limits typed with the finding'}",
        )
    )
    return name


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
            _note_chance(chance, known, cat, job, reasons)
    costs = {part.part: part for part in exposed}
    kinds = {one.key: one for one in found}
    for share in held.shares:
        inputs: tuple[str, ...] = (f"line/{share.id}",)
        if share.id in kinds:
            inputs = (note_found(kinds[share.id], cat, job, reasons),)
        elif share.id in costs:
            inputs = (f"chance/{share.id}", _note_cost(costs[share.id], job, reasons))
        reasons.note(
            Figure(
                name=f"contribution/{share.id}",
                title=f"Share of the contingency, {_title(share.id, cat, job, kinds)}",
                value=share.amount,
                formula=_SHARE_FORMULA[held.bound],
                inputs=inputs,
                numbers=(
                    ("expected", f"{share.expected:,.2f} {share.amount.currency}"),
                    ("before rounding", f"{share.contribution:,.2f} {share.amount.currency}"),
                ),
                rule="rounded to the quoting unit by largest remainder, so that shares add up",
            )
        )


_SHARE_FORMULA = {
    PERCENTILE: "expected sum of this part or line, given that the total is at the percentile",
    MEAN: "expected sum of this part or line, scaled to the contingency",
    "nothing": "nothing is held",
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


def _note_cost(part: ExposedPart, job: Job, reasons: Reasons) -> str:
    name = f"cost_if_worn/{part.part}"
    mean = money_half_up(Decimal(repr(part.cost.mean)), job.terms.currency)
    reasons.note(
        Figure(
            name=name,
            title=f"Cost if worn, {part.name}: {part.way}",
            value=mean,
            formula=_COST_OF_ONE if len(part.ways) == 1 else f"sum of chance x {_COST_OF_ONE}",
            numbers=(
                ("low", f"{part.cost.low:,.2f}"),
                ("likely", f"{part.cost.likely:,.2f}"),
                ("high", f"{part.cost.high:,.2f}"),
                ("added days", f"{part.added_days:g}"),
                *_way_numbers(part),
                ("workshop cost, mean", f"{part.workshop_cost.mean:,.2f}"),
            ),
            source="remedies.csv",
            origin=part.cost_rests_on,
        )
    )
    return name


_COST_OF_ONE = "(low + 4 x likely + high) / 6, parts, labour and outwork at selling price"


def _way_numbers(part: ExposedPart) -> tuple[tuple[str, str], ...]:
    """Each way with its chance, cost and days, where several may come about."""
    if len(part.ways) == 1:
        return ()
    return tuple(
        (
            f"{one.way}, {one.share:.0%}",
            f"{one.cost.low:,.2f} / {one.cost.likely:,.2f} / {one.cost.high:,.2f}, "
            f"{one.added_days:g} days",
        )
        for one in part.ways
    )


def _note_chance(
    chance: Chance, known: Known, cat: ClassCatalogue, job: Job, reasons: Reasons
) -> None:
    circuit = cat.circuits[chance.circuit].name if chance.circuit else "none"
    numbers = chance_steps(chance, cat, job)
    numbers += [(f"sign {sign.test} ({sign.finding})", _sign_text(sign)) for sign in chance.signs]
    if chance.ratio != 1:
        numbers.append(("after its own signs", f"{chance.own:.6f}"))
    numbers += [
        ("loading on life and care", f"{chance.life:g}"),
        (f"loading on {circuit}", f"{chance.shared:g}"),
    ]
    numbers += [
        (f"circuit sign {sign.test} ({sign.finding})", _sign_text(sign))
        for sign in known.circuit_signs
        if sign.target == chance.circuit
    ]
    numbers.append((f"in {INTERVAL:.0%} of cases", f"{chance.low:.3f} to {chance.high:.3f}"))
    inputs = dict.fromkeys(
        f"finding/{sign.finding}"
        for sign in (*chance.signs, *known.circuit_signs)
        if sign.used and sign.target in (chance.part, chance.circuit)
    )
    row = cat.wear[chance.part]
    reasons.note(
        Figure(
            name=f"chance/{chance.part}",
            title=f"Chance of being worn, {cat.parts[chance.part].name}",
            value=round(chance.after, 6),
            formula="Weibull at its age, own cases, its own signs, then the factors conditioned "
            "on every settled part, sign and oil test",
            inputs=tuple(inputs),
            numbers=tuple(numbers),
            rule="chance of failing the disposition rule at this age, as the catalogue states it; "
            "the life wanted acts on readings, not on chances",
            source=f"{row.place}",
            origin=chance.rests_on,
        )
    )


def _sign_text(sign: Sign) -> str:
    result = "alarm" if sign.alarm else "clear"
    used = "" if sign.used else "; not used, a stronger sign of its family is"
    return f"{result}, likelihood ratio {sign.ratio:.4f}{used}"


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
                f"{cat.groups[group].name}: contingency",
                amount,
                formula="sum",
                inputs=tuple(by_group[group]),
            )
        )
    reasons.note(
        Figure(
            name="contingency",
            title="Contingency for parts found worn",
            value=held.amount,
            formula="max(percentile - base, mean - base, 0), half-up to the quoting unit",
            inputs=tuple(f"contribution/{share.id}" for share in largest),
            numbers=(
                ("confidence", f"{held.confidence:.0%}"),
                ("percentile above base", f"{held.at_confidence:,.2f} {currency}"),
                ("mean above base", f"{held.mean:,.2f} {currency}"),
                ("standard deviation", f"{held.deviation:,.2f} {currency}"),
            ),
            rule=f"the {held.bound} bound rules",
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
            title="Ready if nothing more is found worn",
            value=programme.finish_day,
            formula="longest path through the programme on the workshop's calendar",
            numbers=(
                ("start", job.start.isoformat()),
                ("working hours", f"{programme.finish_hour:.2f}"),
                ("longest path", " > ".join(step.id for step in critical)),
                ("productivity", f"{cat.settings.productivity}"),
            ),
            rule="parts ordered on arrival; trades are not levelled",
            source="activities.csv, operations.csv, closures.csv",
        )
    )
    for share, day in finish.days.items():
        reasons.note(
            Figure(
                name=f"finish/{share * 100:g}",
                title=f"Ready, {share * 10:g} in 10",
                value=day,
                formula=f"{share * 100:g} % of {finish.scenarios:,} scenarios end by this day",
                inputs=("finish/nothing_worn",),
                numbers=(("working hours", f"{finish.hours[share]:.2f}"),),
                rule="same chances as the contingency; work, outwork and lead times spread as set",
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
            title=f"Net price as a share of a new {row.type}",
            value=share,
            formula="net / new price, likely",
            inputs=("net",),
            numbers=(("new price", f"{row.new_price_likely} {row.currency}"),),
            source=f"{row.place}",
            origin=row.origin,
        )
    )
    return share
