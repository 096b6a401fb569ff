"""A job's exposure as plain data: every input that it was reckoned from, and every result.

The form is that of `resources/schemas/exposure.schema.json`, which says what each field means and
its unit. Sums that are money are text in major units, statistics are numbers: what stands here is
enough to reckon the distribution again.
"""

from __future__ import annotations

from typing import Any

from estimator.command.data_output import money
from estimator.domain.exposure.contingency import spread_of
from estimator.domain.exposure.cost_when_worn import ExposedPart
from estimator.domain.exposure.evidence import Sign
from estimator.domain.exposure.exposed_parts import INTERVAL, Chance, cases_of
from estimator.domain.exposure.factors import Item
from estimator.domain.exposure.found_work import Found
from estimator.domain.exposure.own_cases import SCALE_MULTIPLES, SHAPE_MULTIPLES
from estimator.domain.exposure.ways_when_worn import WornCost
from estimator.domain.exposure.wear_out import pool_of
from estimator.domain.exposure_sheet import ExposureSheet, HeldAt
from estimator.domain.pricing import PricedLine

FORM = "exposure/1"
Data = dict[str, Any]


def exposure_data(sheet: ExposureSheet) -> Data:
    """All inputs and results of a job's exposure."""
    priced = sheet.priced
    job = priced.job
    return {
        "form": FORM,
        "job": {
            "number": job.number,
            "revision": job.revision,
            "title": job.title,
            "date": job.date.isoformat(),
            "inspected": job.inspected.isoformat(),
            "level": job.level,
            "commercial_form": job.terms.commercial_form,
        },
        "machine": _machine(sheet),
        "catalogue": _catalogue(sheet),
        **_results(sheet),
        **_dependence(sheet),
        "parts": [_exposed(sheet, one) for one in priced.exposed],
        "settled": [
            {**_part(sheet, part), "state": "worn" if chance.state else "sound"}
            for part, chance in priced.known.chances.items()
            if chance.state is not None
        ],
        "firm_by_chance": [
            {**_part(sheet, part), "way": way, "reason": reason}
            for part, (way, reason) in priced.firm_by_chance.items()
        ],
        "provisional": [_line(sheet, one) for one in priced.lines if one.id in _shares(sheet)],
        "found": [_found(sheet, one) for one in priced.found],
        "groups": [
            {"group": one.group, "name": one.name, "share": money(one.amount)}
            for one in sheet.groups
        ],
        "finish": _finish(sheet),
        "open_first": _looks(sheet),
        "forms": _forms(sheet),
    }


def _machine(sheet: ExposureSheet) -> Data:
    machine = sheet.priced.job.machine
    return {
        "class": machine.class_id,
        "type": sheet.priced.cat.machine_class.type,
        "serial": machine.serial,
        "hours": str(machine.hours),
        "meter": machine.meter,
        "hours_doubt": str(machine.hours_doubt),
        "duty": str(machine.duty),
        "life_wanted": str(machine.life_wanted),
        "history": [
            {
                "hours": str(event.hours),
                "renewed": list(event.renewed),
                "seen_sound": list(event.seen_sound),
            }
            for event in machine.history
        ],
    }


def _catalogue(sheet: ExposureSheet) -> Data:
    cat, job = sheet.priced.cat, sheet.priced.job
    settings = cat.settings
    pools = {pool_of(cat.wear[part]) for part in sheet.priced.known.chances}
    until = job.learnt_until
    return {
        "version": cat.catalogue.version,
        "fingerprint": cat.catalogue.fingerprint,
        "firm_chance": str(settings.firm_chance),
        "scale_spread": str(settings.scale_spread),
        "shape_spread": str(settings.shape_spread),
        "scale_multiples": list(SCALE_MULTIPLES),
        "shape_multiples": list(SHAPE_MULTIPLES),
        "interval": INTERVAL,
        "learnt_until": until.isoformat() if until else None,
        "own_cases": {
            pool: [
                {"hours": str(case.hours), "duty": str(case.duty), "worn": case.worn}
                for case in cases
            ]
            for pool in sorted(pools)
            if (cases := cases_of(pool, cat))
        },
    }


def _results(sheet: ExposureSheet) -> Data:
    priced, held = sheet.priced, sheet.priced.contingency
    terms, curve = priced.job.terms, held.curve()
    return {
        "currency": terms.currency,
        "quoting_unit": str(terms.quoting_unit),
        "firm": money(priced.price.firm),
        "provisional_sum": money(priced.price.provisional_lines),
        "base": money(priced.price.base),
        "contingency": money(held.amount),
        "net": money(priced.price.net),
        "confidence": str(held.confidence),
        "bound": held.bound,
        "mean": held.mean,
        "standard_deviation": held.deviation,
        "at_confidence": held.at_confidence,
        "percentiles": {f"{share:g}": value for share, value in held.percentiles.items()},
        "curve": {
            "above_base": [total for total, _ in curve],
            "share": [share for _, share in curve],
        },
        "held": [_held(one) for one in sheet.held],
    }


def _held(one: HeldAt) -> Data:
    return {
        "confidence": str(one.confidence),
        "amount": money(one.amount),
        "total": money(one.total),
        "reached": money(one.reached),
        "bound": one.bound,
    }


def _dependence(sheet: ExposureSheet) -> Data:
    """Factors after everything known, the circuits' tests, and the grid that pools share."""
    known, cat = sheet.priced.known, sheet.priced.cat
    model = known.model
    moments = {circuit: model.circuit_moments(circuit) for circuit in model.circuits}
    return {
        "factors": {
            "life": _moments(*model.life_moments()),
            **{circuit: _moments(*pair) for circuit, pair in moments.items()},
        },
        "circuits": {circuit: cat.circuits[circuit].name for circuit in model.circuits},
        "circuit_tests": [
            {
                **_sign(sheet, sign),
                "circuit": sign.target,
                "used": sign.used and sign.target in model.circuits,
                "centre": str(cat.settings.circuit_test_centre),
                "width": str(cat.settings.circuit_test_width),
            }
            for sign in known.circuit_signs
        ],
        "grid": {
            "weights": [float(weight) for weight in model.grid],
            "pools_averaged": list(known.pools_averaged),
            "pools_at_mean": list(known.pools_at_mean),
        },
    }


def _moments(mean: float, deviation: float) -> Data:
    return {"mean": mean, "standard_deviation": deviation}


def _sign(sheet: ExposureSheet, sign: Sign) -> Data:
    test = sheet.priced.cat.tests[sign.test]
    return {
        "finding": sign.finding,
        "test": sign.test,
        "family": sign.family,
        "alarm": sign.alarm,
        "sensitivity": str(test.sensitivity),
        "specificity": str(test.specificity),
        "likelihood_ratio": sign.ratio,
        "used": sign.used,
    }


def _part(sheet: ExposureSheet, part: str) -> Data:
    """What is known of one part's chance, whatever has become of it."""
    priced = sheet.priced
    chance, row = priced.known.chances[part], priced.cat.parts[part]
    item = next(one for one in priced.known.model.items if one.part == part)
    return {
        "part": part,
        "name": row.name,
        "group": priced.cat.group_of(row.component),
        "chance": _chance(sheet, chance, item),
        "loadings": {"life": item.life, "circuit": item.shared, "of": item.circuit},
    }


def _chance(sheet: ExposureSheet, chance: Chance, item: Item) -> Data:
    wear = sheet.priced.cat.wear[chance.part]
    return {
        "age": {
            "now": chance.age.now,
            "sound": chance.age.sound,
            "doubt": chance.age.doubt,
            "counted_from": chance.age.counted_from,
        },
        "shape": chance.shape,
        "scale": chance.scale,
        "start": chance.start,
        "pool": pool_of(wear),
        "own_cases": chance.own_cases,
        "prior": chance.prior,
        "prior_on_grid": list(item.chances),
        "rests_on": chance.rests_on,
        "signs": [_sign(sheet, sign) for sign in chance.signs],
        "likelihood_ratio": chance.ratio,
        "after_own_signs": chance.own,
        "after_everything": chance.after,
        "low": chance.low,
        "high": chance.high,
    }


def _shares(sheet: ExposureSheet) -> Data:
    return {share.id: share for share in sheet.priced.contingency.shares}


def _contribution(sheet: ExposureSheet, name: str) -> Data:
    share = _shares(sheet)[name]
    return {
        "figure": f"contribution/{name}",
        "expected": share.expected,
        "contribution": share.contribution,
        "share": money(share.amount),
    }


def _cost(cost: WornCost) -> Data:
    return {"low": cost.low, "likely": cost.likely, "high": cost.high, "mean": cost.mean}


def _exposed(sheet: ExposureSheet, one: ExposedPart) -> Data:
    return {
        **_part(sheet, one.part),
        "state": "open",
        "way": one.way,
        "cost": {**_cost(one.cost), "rests_on": one.cost_rests_on},
        "workshop_cost": _cost(one.workshop_cost),
        "ways": [
            {
                "way": way.way,
                "share": way.share,
                "cost": _cost(way.cost),
                "workshop_cost": _cost(way.workshop_cost),
                "added_days": way.added_days,
                "rests_on": way.rests_on,
            }
            for way in one.ways
        ],
        "added_days": one.added_days,
        **_contribution(sheet, one.part),
    }


def _line(sheet: ExposureSheet, one: PricedLine) -> Data:
    return {
        "line": one.id,
        "name": one.line.row.name,
        "group": one.line.group,
        "low": money(one.low),
        "likely": money(one.amount),
        "high": money(one.high),
        "spread": _cost(spread_of(one)),
        **_contribution(sheet, one.id),
    }


def _found(sheet: ExposureSheet, one: Found) -> Data:
    return {
        "found": one.id,
        "name": one.name,
        "group": one.group,
        "per": one.row.per,
        "count": str(one.row.count),
        "hours_run": one.hours_run,
        "expected_count": one.expected,
        "overdispersion": one.cost.overdispersion,
        "each": _cost(one.cost.each),
        "workshop_each": _cost(one.workshop_cost.each),
        "rests_on": one.row.origin,
        "added_days": one.added_days,
        **_contribution(sheet, one.key),
    }


def _finish(sheet: ExposureSheet) -> Data:
    priced = sheet.priced
    return {
        "ready_nothing_worn": priced.programme.finish_day.isoformat(),
        "ready": {f"{share:g}": day.isoformat() for share, day in priced.finish.days.items()},
        "scenarios": priced.finish.scenarios,
    }


def _looks(sheet: ExposureSheet) -> list[Data]:
    return [
        {
            "look": one.id,
            "kind": one.kind,
            "name": one.name,
            "on": list(one.on),
            "cost": None if one.cost is None else money(one.cost),
            "hours": None if one.hours is None else str(one.hours),
            "days": None if one.days is None else str(one.days),
            "detects": None if one.detects is None else str(one.detects),
            "fall": money(one.fall),
            "changes_disposition": one.changes_disposition,
            "changes_decision": one.changes_decision,
            "cautions": list(one.cautions),
            "added": one.added,
        }
        for one in sheet.looks
    ]


def _forms(sheet: ExposureSheet) -> list[Data]:
    return [
        {
            "form": one.form,
            "chosen": one.chosen,
            "quoted": money(one.quoted),
            "pays": money(one.pays),
            "worst": money(one.worst),
            "capped": one.capped,
            "bears": one.bears,
            "keeps": one.keeps,
            "workshop": money(one.workshop),
            "margin": money(one.margin),
            "passed": one.passed,
            "overrun": money(one.overrun),
        }
        for one in sheet.forms
    ]
