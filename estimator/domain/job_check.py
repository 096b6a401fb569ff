"""Does a job fit the catalogue: codes known, units of the right kind, sums possible."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal

from estimator.domain.catalogue.catalogue import Catalogue, ClassCatalogue
from estimator.domain.catalogue.check import CODE, METAL
from estimator.domain.catalogue.rows import MachineClass
from estimator.domain.cleanliness import CleanlinessError, parsed
from estimator.domain.disposition import READINGS, UNSEEN, limits_of
from estimator.domain.findings import Finding
from estimator.domain.job import Job
from estimator.domain.problem import Place, Problem
from estimator.domain.units import UnitError, kind_of
from estimator.domain.wear import LimitError

UNIT_KINDS = {"pressure": "pressure", "flow": "flow", "drift": "length"}


def check_class(job: Job, catalogue: Catalogue) -> list[Problem]:
    """The fault of a machine class the catalogue does not have; none if it has it."""
    known = [row.id for row in catalogue.table("classes", MachineClass)]
    if job.machine.class_id in known:
        return []
    return [
        Problem(
            "unknown-class",
            Place("job", None, "[machine] class"),
            f"{job.machine.class_id!r} is not in the catalogue.",
            f"Use one of: {', '.join(known)}.",
        )
    ]


def check_job(job: Job, cat: ClassCatalogue) -> list[Problem]:
    """Every fault of a job against the catalogue of its class; warnings among them."""
    problems: list[Problem] = []
    seen: dict[str, int | None] = {}
    for finding in job.findings:
        problems += _finding_faults(finding, cat)
        if finding.id in seen:
            problems.append(
                _at(
                    finding,
                    "id",
                    "id-twice",
                    f"{finding.id} stands twice (also row {seen[finding.id]}).",
                    "Number it anew.",
                )
            )
        seen[finding.id] = finding.place.row
    problems += _term_faults(job, cat)
    problems += _history_faults(job, cat)
    problems += _change_faults(job, cat)
    return problems


def duplicate_serials(jobs: Iterable[Job]) -> list[Problem]:
    """Jobs that carry the serial number of another job."""
    first: dict[str, str] = {}
    faults: list[Problem] = []
    for job in jobs:
        serial = job.machine.serial.casefold().replace(" ", "")
        if serial in first:
            faults.append(
                Problem(
                    "serial-twice",
                    Place(job.title, None, "[machine] serial"),
                    f"{job.machine.serial} is also the machine of {first[serial]}.",
                    "Check the plate; a second quote for one machine is a revision.",
                )
            )
        first.setdefault(serial, job.title)
    return faults


def _at(finding: Finding, column: str, code: str, message: str, remedy: str = "") -> Problem:
    return Problem(code, Place(finding.place.file, finding.place.row, column), message, remedy)


def _finding_faults(finding: Finding, cat: ClassCatalogue) -> Iterator[Problem]:
    if not CODE.match(finding.id):
        yield _at(
            finding,
            "id",
            "bad-code",
            f"holds {finding.id[:40]!r}.",
            "Use letters and digits, starting with a capital.",
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
                yield _at(
                    finding,
                    column,
                    f"unknown-{column}",
                    f"{code[:40]!r} is no {column} of a {cat.machine_class.type} "
                    f"({cat.machine_class.id}).",
                    _nearest(code, table),
                )
    if not wrong:
        yield from _content_faults(finding, cat)


def _nearest(code: str, table: dict[str, object]) -> str:
    import difflib

    near = difflib.get_close_matches(code, table, n=3, cutoff=0.5)
    return f"Did you mean {', '.join(near)}?" if near else "See the catalogue for the codes."


def _content_faults(finding: Finding, cat: ClassCatalogue) -> Iterator[Problem]:
    measure = cat.measures.get(finding.measure)
    kind = finding.kind or (measure.kind if measure else "")
    if not kind:
        yield _at(finding, "kind", "no-kind", "is blank and no measure is named.", "Fill one.")
    if not finding.component and not measure:
        yield _at(finding, "component", "no-component", "is blank.", "Name the component.")
    if not finding.what and not measure:
        yield _at(finding, "what", "no-text", "is blank.", "Say what was looked at.")
    if kind in UNSEEN and finding.measured is not None:
        yield _at(
            finding,
            "measured",
            "seen-or-not",
            f"has a reading though it is {kind}.",
            "Change the kind, or take the reading out.",
        )
    if kind in UNSEEN and not finding.part and not measure and not finding.note:
        pass  # a function that could not be tried belongs to no part; it is printed as it stands
    yield from _reading_faults(finding, kind, cat)
    yield from _override_faults(finding)
    for metal in finding.metals:
        if not METAL.match(metal):
            yield _at(finding, "metals", "bad-metal", f"{metal[:40]!r} is not like 'Fe 86'.", "")
    if finding.cleanliness:
        try:
            parsed(finding.cleanliness)
        except CleanlinessError as error:
            yield _at(finding, "cleanliness", "bad-cleanliness", f"{error}.", "See ISO 4406.")
    trio = (finding.quantity_low, finding.quantity, finding.quantity_high)
    if any(one is not None for one in trio):
        if None in trio:
            yield _at(finding, "quantity", "half-range", "low, likely, high go together.", "")
        elif not trio[0] <= trio[1] <= trio[2]:  # type: ignore[operator]
            yield _at(finding, "quantity", "range-order", "does not rise from low to high.", "")


def _reading_faults(finding: Finding, kind: str, cat: ClassCatalogue) -> Iterator[Problem]:
    measure = cat.measures.get(finding.measure)
    limits = (finding.new, finding.rebuild_limit, finding.service_limit)
    if any(one is not None for one in limits) and None in limits:
        yield _at(
            finding,
            "new",
            "limits-incomplete",
            "new, rebuild and service limit go together.",
            "Fill all three, or none.",
        )
        return
    try:
        known_limits = limits_of(finding, measure)
    except LimitError as error:
        yield _at(
            finding,
            "rebuild_limit",
            "limit-wrong-side",
            f"{error}.",
            "Check the three values and the direction of wear.",
        )
        return
    if finding.measured is None:
        if kind in READINGS or (known_limits is not None and kind not in UNSEEN):
            yield _at(
                finding,
                "measured",
                "no-reading",
                "is blank.",
                "Fill it in, or make the kind 'not tested'.",
            )
        return
    if not finding.unit:
        yield _at(
            finding,
            "unit",
            "no-unit",
            f"is blank beside a reading of {finding.measured}.",
            f"Write the unit{f', such as {measure.unit}' if measure else ''}.",
        )
        return
    wanted = kind_of(measure.unit) if measure else UNIT_KINDS.get(kind, "")
    try:
        found = kind_of(finding.unit)
    except UnitError as error:
        yield _at(finding, "unit", "wrong-unit", f"{error}.", "See the list of units.")
        return
    if wanted and found != wanted:
        yield _at(
            finding,
            "unit",
            "wrong-unit",
            f"{finding.unit} measures {found}, not {wanted}.",
            f"Give the reading in {measure.unit if measure else 'a unit of ' + wanted}.",
        )
    if kind in ("crack", "count", "hose", "pressure", "flow") and finding.measured < 0:
        yield _at(finding, "measured", "below-zero", f"is {finding.measured}.", "Check the sign.")


def _override_faults(finding: Finding) -> Iterator[Problem]:
    if finding.override and not finding.override_reason:
        yield _at(
            finding,
            "override_reason",
            "no-reason",
            f"is blank though the rule was overruled to {finding.override}.",
            "Say why; it stays on record.",
        )
    if finding.override_reason and not finding.override:
        yield _at(finding, "override", "no-override", "is blank beside a reason.", "Fill it in.")


def _term_faults(job: Job, cat: ClassCatalogue) -> Iterator[Problem]:
    place = "job"
    if job.terms.tax_category not in cat.tax:
        yield Problem(
            "unknown-tax",
            Place(place, None, "[terms] tax_category"),
            f"{job.terms.tax_category!r} is not in tax.csv.",
            f"Use one of: {', '.join(cat.tax)}.",
        )
    used = {row.currency for row in cat.parts.values() if job.level in row.levels}
    used |= {row.currency for row in cat.outwork.values() if job.level in row.levels}
    used |= {cat.settings.currency, *(trade.currency for trade in cat.trades.values())}
    used |= {remedy.currency for ways in cat.remedies.values() for remedy in ways}
    for currency in sorted(used - set(job.exchange_rates) - {job.terms.currency}):
        yield Problem(
            "no-rate",
            Place(place, None, "[[exchange_rate]]"),
            f"holds no rate for {currency}, in which the catalogue prices some rows.",
            f"Add what one {currency} costs in {job.terms.currency}, its date and source.",
        )
    unit = Decimal(job.terms.quoting_unit)
    from estimator.domain.money import minor_digits

    if unit % Decimal(1).scaleb(-minor_digits(job.terms.currency)) != 0:
        yield Problem(
            "bad-unit",
            Place(place, None, "[terms] quoting_unit"),
            f"{unit} is no whole number of minor units of {job.terms.currency}.",
            "Use 1.",
        )


def _history_faults(job: Job, cat: ClassCatalogue) -> Iterator[Problem]:
    for number, event in enumerate(job.machine.history, start=1):
        where = Place("job", None, f"[machine.history {number}]")
        unknown = [c for c in event.components if c not in cat.components]
        unknown += [p for p in (*event.renewed, *event.seen_sound) if p not in cat.parts]
        for code in unknown:
            yield Problem("unknown-code", where, f"{code!r} is not in the catalogue.", "Mend it.")


def _change_faults(job: Job, cat: ClassCatalogue) -> Iterator[Problem]:
    rows = {**cat.operations, **cat.parts, **cat.outwork}
    for kind, changes in (("added", job.added), ("removed", job.removed)):
        for number, change in enumerate(changes, start=1):
            if change.row_id not in rows:
                yield Problem(
                    "unknown-row",
                    Place("job", None, f"[[{kind}]] {number} row"),
                    f"{change.row_id!r} is no row of the catalogue.",
                    _nearest(change.row_id, dict(rows)),
                )
    for part, way in (job.ways or {}).items():
        offered = [remedy.way for remedy in cat.remedies.get(part, ())]
        if way not in offered:
            yield Problem(
                "unknown-way",
                Place("job", None, f"[ways] {part}"),
                f"{way} is not offered for {part}.",
                f"Offered: {', '.join(offered) or 'none'}.",
            )
