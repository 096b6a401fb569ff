"""How a finding came to its disposition, as figures that can be asked why."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from functools import partial

from estimator.domain.disposition import Judgement
from estimator.domain.fixed_words import fixed
from estimator.domain.money import round_half_up
from estimator.domain.reasons import Figure, Reasons, measured
from estimator.domain.wording import joined, worded


def note_findings(judgements: Mapping[str, Judgement], reasons: Reasons) -> None:
    """One figure a finding: its disposition, with the wear behind it as a figure of its own."""
    for code, judgement in judgements.items():
        inputs: tuple[str, ...] = ()
        if judgement.worn_percent is not None:
            inputs = (reasons.later(f"finding/{code}/worn", partial(_wear, code, judgement)),)
        reasons.later(f"finding/{code}", partial(_finding, code, judgement, inputs))


def _finding(code: str, judgement: Judgement, inputs: tuple[str, ...]) -> Figure:
    finding = judgement.finding
    numbers: list[tuple[str, str]] = [(worded("reading"), _reading(judgement))]
    if finding.override:
        by = finding.overridden_by
        overruled = worded("overruled by {by}", by=by) if by else worded("overruled")
        numbers.append((worded("rule said"), fixed(judgement.rule_disposition)))
        numbers.append((overruled, finding.override_reason))
    if judgement.provisional_reason:
        numbers.append((worded("provisional"), judgement.provisional_reason))
    seen = joined(one for one in (finding.inspector, finding.date) if one)
    return Figure(
        name=f"finding/{code}",
        title=judgement.what,
        value=fixed(judgement.disposition),
        inputs=inputs,
        numbers=tuple(numbers),
        rule=judgement.rule_reason,
        source=joined((part for part in (finding.place.said, seen) if part), "; "),
        origin=worded("measured") if judgement.measured is not None else worded("seen"),
    )


def _reading(judgement: Judgement) -> str:
    finding = judgement.finding
    parts = [
        measured(judgement.measured.normalize(), judgement.unit)
        if judgement.measured is not None
        else "",
        finding.reading,
        ", ".join(finding.metals),
        finding.cleanliness,
        fixed(finding.result),
    ]
    return joined((part for part in parts if part), "; ") or fixed(judgement.kind)


def _wear(code: str, judgement: Judgement) -> Figure:
    limits = judgement.limits
    reading = judgement.measured
    assert limits is not None
    assert reading is not None
    assert judgement.worn_percent is not None
    life = worded("no wear shows yet")
    if judgement.life_left is not None:
        life = worded("{hours:,} h", hours=int(judgement.life_left))
    return Figure(
        name=f"finding/{code}/worn",
        title=worded("Worn, {what}", what=judgement.what),
        value=round_half_up(judgement.worn_percent, Decimal("0.01")),
        unit="%",
        formula=worded("(new - measured) / (new - service limit) x 100"),
        numbers=(
            (worded("new"), measured(limits.new, judgement.unit)),
            (worded("rebuild limit"), measured(limits.rebuild, judgement.unit)),
            (worded("service limit"), measured(limits.service, judgement.unit)),
            (worded("measured"), measured(reading, judgement.unit)),
            (worded("life left at this rate"), life),
        ),
        source=judgement.finding.measure or worded("limits typed with the finding"),
    )
