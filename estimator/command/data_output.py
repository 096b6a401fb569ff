"""Results as plain data for JSON: sums and quantities as text, so that nothing is rounded.

Every object that shows a figure names it ("figure"), so that `why` can be asked of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from estimator.domain.money import Money
from estimator.domain.options import LevelOption, WayOption
from estimator.domain.priced_job import PricedJob
from estimator.domain.problem import Problem
from estimator.domain.teardown import ReturnOffer, TeardownOffer
from estimator.domain.totals import KINDS

Data = dict[str, Any]


def money(sum_: Money) -> str:
    """A sum in major units as text."""
    return f"{sum_.amount:f}"


def summary_data(priced: PricedJob) -> Data:
    """The figures that lead."""
    job, price = priced.job, priced.price
    return {
        "job": job.title,
        "machine": {
            "class": job.machine.class_id,
            "type": priced.cat.machine_class.type,
            "serial": job.machine.serial,
            "hours": str(job.machine.hours),
        },
        "level": job.level,
        "currency": job.terms.currency,
        "catalogue": priced.cat.catalogue.version,
        "catalogue_fingerprint": priced.cat.catalogue.fingerprint,
        "firm": money(price.firm),
        "provisional": money(price.provisional_lines),
        "base": money(price.base),
        "contingency": money(price.contingency),
        "contingency_bound": priced.contingency.bound,
        "confidence": str(job.terms.confidence),
        "net": money(price.net),
        "tax": [
            {
                "category": tax.category,
                "rate_percent": str(tax.rate),
                "base": money(tax.base),
                "tax": money(tax.tax),
            }
            for tax in price.totals.taxes
        ],
        "gross": money(price.totals.gross),
        "hours": str(price.hours),
        "share_of_new": str(priced.share_of_new),
        "ready_nothing_worn": priced.programme.finish_day.isoformat(),
        "ready": {f"{share:g}": day.isoformat() for share, day in priced.finish.days.items()},
        "warnings": [problem_data(one) for one in priced.warnings],
    }


def problem_data(problem: Problem) -> Data:
    """A fault or warning."""
    return {"code": problem.code, "message": problem.message, "remedy": problem.remedy}


def price_data(priced: PricedJob) -> Data:
    """Summary, groups, charges and lines."""
    price = priced.price
    return {
        **summary_data(priced),
        "groups": [
            {
                "figure": f"group/{group.group}",
                "group": group.group,
                "name": group.name,
                "hours": str(group.hours),
                **{kind: money(group.by_kind[kind]) for kind in KINDS},
                "firm": money(group.firm),
                "provisional": money(group.provisional),
                "contingency": money(group.contingency),
            }
            for group in price.groups
        ],
        "discount": money(price.discount),
        "freight": money(price.freight),
        "levies": [
            {"figure": f"levy/{levy.id}", "name": levy.name, "amount": money(levy.amount)}
            for levy in price.levies
        ],
        "lines": scope_data(priced)["lines"],
    }


def scope_data(priced: PricedJob) -> Data:
    """Lines with why they are there; what was not seen; what was taken out."""
    return {
        "lines": [
            {
                "figure": f"line/{one.id}",
                "id": one.id,
                "group": one.line.group,
                "component": one.line.component,
                "kind": one.line.kind,
                "name": one.line.row.name,
                "quantity": str(one.line.quantity),
                "unit": one.line.unit,
                "amount": money(one.amount),
                "low": money(one.low),
                "high": money(one.high),
                "certainty": one.line.certainty,
                "why": one.line.why,
                "findings": list(one.line.because),
            }
            for one in priced.lines
        ],
        "not_seen": [
            {
                "finding": one.finding.id,
                "what": one.what,
                "state": one.kind,
                "parts": list(one.parts),
            }
            for one in priced.scope.unseen
        ],
        "not_looked_at": list(priced.scope.not_looked_at),
        "counted_twice": [list(pair) for pair in priced.scope.doubles],
        "removed": [
            {"row": one.row_id, "reason": one.reason, "by": one.by} for one in priced.scope.removed
        ],
    }


def dates_data(priced: PricedJob) -> Data:
    """The programme and the finish by share of scenarios."""
    finish = priced.finish
    return {
        "start": priced.job.start.isoformat(),
        "ready_nothing_worn": priced.programme.finish_day.isoformat(),
        "weeks": priced.programme.weeks,
        "ready": {f"{share:g}": day.isoformat() for share, day in finish.days.items()},
        "scenarios": finish.scenarios,
        "steps": [
            {
                "step": step.id,
                "name": step.name,
                "where": step.bay,
                "after": list(step.after),
                "man_hours": step.man_hours,
                "elapsed_hours": step.elapsed,
                "outwork_days": step.outwork_days,
                "waits_for_parts": list(step.waits_for),
                "lead_weeks": step.lead_weeks,
                "start": step.start_day.isoformat(),
                "finish": step.finish_day.isoformat(),
                "finish_5_in_10": finish.step_finish[step.id][0].isoformat(),
                "finish_8_in_10": finish.step_finish[step.id][1].isoformat(),
                "slack_hours": step.timing.slack,
                "share_on_longest_path": finish.on_longest[step.id],
            }
            for step in priced.programme.steps.values()
        ],
    }


def levels_data(levels: Sequence[LevelOption]) -> list[Data]:
    """Rebuild levels side by side."""
    return [
        {
            "level": one.level,
            "hours": str(one.hours),
            "firm": money(one.firm),
            "provisional": money(one.provisional),
            "contingency": money(one.contingency),
            "net": money(one.net),
            "gross": money(one.gross),
            "share_of_new": str(one.share_of_new),
            "usual_share": [str(one.usual_low), str(one.usual_high)],
            "ready_likely": one.ready_likely.isoformat(),
            "ready_covered": one.ready_covered.isoformat(),
        }
        for one in levels
    ]


def ways_data(ways: Sequence[WayOption]) -> list[Data]:
    """Ways of putting one part right, side by side."""
    return [
        {
            "part": one.part,
            "way": one.way,
            "chosen": one.chosen,
            "low": money(one.low),
            "likely": money(one.likely),
            "high": money(one.high),
            "added_days": str(one.added_days),
            "contingency": money(one.contingency),
            "net": money(one.net),
        }
        for one in ways
    ]


def teardown_data(offer: TeardownOffer) -> Data:
    """Strip and report only."""
    return {
        "net": money(offer.net),
        "gross": money(offer.totals.gross),
        "hours": str(offer.hours),
        "report_by": offer.report_day.isoformat(),
        "boxed_return": _return_data(offer.boxed_return),
        "reassembly": _return_data(offer.reassembly),
        "destroyed_in_stripping": list(offer.destroyed),
        "longest_working_days": offer.longest_days,
        "storage_free_days": offer.storage_free_days,
        "storage_per_day": money(offer.storage_per_day),
    }


def _return_data(offer: ReturnOffer) -> Data:
    return {"net": money(offer.net), "hours": str(offer.hours), "working_days": offer.working_days}
