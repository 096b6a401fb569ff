"""Is a finding sound by itself and against the catalogue: codes, kind, reading, unit, answer."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.check import CODE, METAL
from estimator.domain.cleanliness import CleanlinessError, parsed
from estimator.domain.disposition import READINGS, UNSEEN, limits_of
from estimator.domain.findings import Finding
from estimator.domain.fixed_words import fixed
from estimator.domain.problem import Place, Problem
from estimator.domain.units import UnitError, kind_of
from estimator.domain.wear import LimitError, Limits, percent_worn
from estimator.domain.wording import said_by, worded

UNIT_KINDS = {"pressure": "pressure", "flow": "flow", "drift": "length"}
LEAST_WORN, MOST_WORN = -100, 500  # percent; beyond, a slip is likelier than the reading
BEYOND_MEASURE = 1_000_000


def nearest(code: str, table: dict[str, object]) -> str:
    """Codes that look like a misspelt one, as a hint."""
    near = difflib.get_close_matches(code, table, n=3, cutoff=0.5)
    if near:
        return worded("Did you mean {near}?", near=", ".join(near))
    return worded("See the catalogue for the codes.")


def fault_in(finding: Finding, column: str, code: str, message: str, remedy: str = "") -> Problem:
    """A fault at one column of a finding."""
    return Problem(code, Place(finding.place.file, finding.place.row, column), message, remedy)


def finding_faults(finding: Finding, cat: ClassCatalogue) -> Iterator[Problem]:
    """Every fault of one finding: codes, kind, reading, unit, limits, result, override."""
    if not CODE.match(finding.id):
        yield fault_in(
            finding,
            "id",
            "bad-code",
            worded("holds {value!r}.", value=finding.id[:40]),
            worded("Use letters and digits, starting with a capital."),
        )
    known: dict[str, tuple[Iterable[str], dict[str, object]]] = {
        "measure": ((finding.measure,), dict(cat.measures)),
        "component": ((finding.component,), dict(cat.components)),
        "part": (finding.part, dict(cat.parts)),
        "sign_of": (finding.sign_of, dict(cat.parts)),
        "test": ((finding.test,), dict(cat.tests)),
    }
    wrong = False
    for column, (codes, table) in known.items():
        for code in codes:
            if code and code not in table:
                wrong = True
                yield fault_in(
                    finding,
                    column,
                    f"unknown-{column}",
                    worded(
                        "{code!r} is no {column} of a {type} ({id}).",
                        code=code[:40],
                        column=column,
                        type=cat.machine_class.type,
                        id=cat.machine_class.id,
                    ),
                    nearest(code, table),
                )
    if not wrong:
        yield from _content_faults(finding, cat)


def _content_faults(finding: Finding, cat: ClassCatalogue) -> Iterator[Problem]:
    measure = cat.measures.get(finding.measure)
    kind = finding.kind or (measure.kind if measure else "")
    if not kind:
        yield fault_in(
            finding,
            "kind",
            "no-kind",
            worded("is blank and no measure is named."),
            worded("Fill one."),
        )
    if not finding.component and not measure:
        yield fault_in(
            finding, "component", "no-component", worded("is blank."), worded("Name the component.")
        )
    if not finding.what and not measure:
        yield fault_in(
            finding, "what", "no-text", worded("is blank."), worded("Say what was looked at.")
        )
    if kind in UNSEEN and finding.measured is not None:
        yield fault_in(
            finding,
            "measured",
            "seen-or-not",
            worded("has a reading though it is {kind}.", kind=fixed(kind)),
            worded("Change the kind, or take the reading out."),
        )
    wrong_unit = list(_unit_faults(finding, kind, cat))
    yield from wrong_unit or _reading_faults(finding, kind, cat)
    yield from _result_faults(finding, kind)
    yield from _override_faults(finding)
    for metal in finding.metals:
        if not METAL.match(metal):
            yield fault_in(
                finding,
                "metals",
                "bad-metal",
                worded("{metal!r} is not like 'Fe 86'.", metal=metal[:40]),
                "",
            )
    if finding.cleanliness:
        try:
            parsed(finding.cleanliness)
        except CleanlinessError as error:
            yield fault_in(
                finding,
                "cleanliness",
                "bad-cleanliness",
                worded("{said}.", said=said_by(error)),
                worded("See ISO 4406."),
            )
    trio = (finding.quantity_low, finding.quantity, finding.quantity_high)
    if any(one is not None for one in trio):
        if None in trio:
            yield fault_in(
                finding, "quantity", "half-range", worded("low, likely, high go together."), ""
            )
        elif not trio[0] <= trio[1] <= trio[2]:  # type: ignore[operator]
            yield fault_in(
                finding, "quantity", "range-order", worded("does not rise from low to high."), ""
            )


def _reading_faults(finding: Finding, kind: str, cat: ClassCatalogue) -> Iterator[Problem]:
    measure = cat.measures.get(finding.measure)
    limits = (finding.new, finding.rebuild_limit, finding.service_limit)
    if any(one is not None for one in limits) and None in limits:
        yield fault_in(
            finding,
            "new",
            "limits-incomplete",
            worded("new, rebuild and service limit go together."),
            worded("Fill all three, or none."),
        )
        return
    try:
        known_limits = limits_of(finding, measure)
    except LimitError as error:
        yield fault_in(
            finding,
            "rebuild_limit",
            "limit-wrong-side",
            worded("{said}.", said=said_by(error)),
            worded("Check the three values and the direction of wear."),
        )
        return
    if measure is not None and known_limits is not None and measure.new is not None:
        catalogue_grows = measure.service_limit > measure.new  # type: ignore[operator]
        if known_limits.grows != catalogue_grows:
            yield fault_in(
                finding,
                "service_limit",
                "limit-wrong-side",
                worded("the limits typed run the other way than those of the measure."),
                worded("Check new and service limit: one of them is on the wrong side."),
            )
    if finding.measured is None:
        if kind in READINGS or (known_limits is not None and kind not in UNSEEN):
            yield fault_in(
                finding,
                "measured",
                "no-reading",
                worded("is blank."),
                worded("Fill it in, or make the kind 'not tested'."),
            )
        return
    if not finding.unit:
        yield fault_in(
            finding,
            "unit",
            "no-unit",
            worded("is blank beside a reading of {measured}.", measured=finding.measured),
            worded("Write the unit, such as {unit}.", unit=measure.unit)
            if measure
            else worded("Write the unit."),
        )
        return
    yield from _size_faults(
        finding, kind, known_limits, same_unit=measure is None or finding.unit == measure.unit
    )


def _unit_faults(finding: Finding, kind: str, cat: ClassCatalogue) -> Iterator[Problem]:
    """A unit of the wrong kind, whether beside a reading, a limit or a gauge error."""
    measure = cat.measures.get(finding.measure)
    if not finding.unit:
        return
    wanted = kind_of(measure.unit) if measure else UNIT_KINDS.get(kind, "")
    try:
        found = kind_of(finding.unit)
    except UnitError as error:
        yield fault_in(
            finding,
            "unit",
            "wrong-unit",
            worded("{said}.", said=said_by(error)),
            worded("See the list of units."),
        )
        return
    if wanted and found != wanted:
        yield fault_in(
            finding,
            "unit",
            "wrong-unit",
            worded(
                "{unit} measures {found}, not {wanted}.",
                unit=finding.unit,
                found=fixed(found),
                wanted=fixed(wanted),
            ),
            worded("Give the reading in {unit}.", unit=measure.unit)
            if measure
            else worded("Give the reading in a unit of {wanted}.", wanted=fixed(wanted)),
        )


def _size_faults(
    finding: Finding, kind: str, limits: Limits | None, *, same_unit: bool
) -> Iterator[Problem]:
    """A reading that cannot be, or that is so far off that a slip is likelier."""
    assert finding.measured is not None  # asked only of findings with a reading
    cannot_fall_below_zero = kind in ("crack", "count", "hose", "pressure", "flow") or (
        limits is not None and min(limits.new, limits.service) >= 0
    )
    if finding.measured < 0 and cannot_fall_below_zero:
        yield fault_in(
            finding,
            "measured",
            "below-zero",
            worded("is {measured}.", measured=finding.measured),
            worded("Check the sign."),
        )
    elif limits is not None and same_unit:
        percent = percent_worn(finding.measured, limits)
        if abs(percent) > BEYOND_MEASURE:
            yield fault_in(
                finding,
                "measured",
                "reading-beyond",
                worded("lies beyond all measure of its limits."),
                worded("Check the reading, the unit and the limits."),
            )
        elif not LEAST_WORN <= percent <= MOST_WORN:
            yield Problem(
                "reading-far-off",
                Place(finding.place.file, finding.place.row, "measured"),
                worded(
                    "{measured} {unit} would be {percent:,.0f} % worn.",
                    measured=finding.measured,
                    unit=finding.unit,
                    percent=percent,
                ),
                worded("Check the decimal point and the unit."),
                warning=True,
            )


def _result_faults(finding: Finding, kind: str) -> Iterator[Problem]:
    """A look without its answer: a blank is never 'sound'."""
    wanted = {
        "visual": ("result", worded("sound or worn")),
        "safety": ("result", worded("sound or worn")),
        "count": ("measured", worded("how many were counted")),
        "hose": ("measured", worded("how many were counted")),
        "crack": ("measured", worded("its length, or the result sound")),
    }.get(kind)
    if wanted is None:
        return
    column, text = wanted
    told = finding.measured is not None if column == "measured" else False
    if kind == "crack":
        told = told or finding.result == "sound"
    if column == "result":
        told = finding.result in ("sound", "worn")
    if not told:
        yield fault_in(
            finding,
            column,
            "no-result",
            worded("is blank; it holds {text}.", text=text),
            worded("Fill it in, or make the kind 'not seen'."),
        )


def _override_faults(finding: Finding) -> Iterator[Problem]:
    if finding.override and not finding.override_reason:
        yield fault_in(
            finding,
            "override_reason",
            "no-reason",
            worded(
                "is blank though the rule was overruled to {override}.",
                override=fixed(finding.override),
            ),
            worded("Say why; it stays on record."),
        )
    if finding.override_reason and not finding.override:
        yield fault_in(
            finding,
            "override",
            "no-override",
            worded("is blank beside a reason."),
            worded("Fill it in."),
        )
