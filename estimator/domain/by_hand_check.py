"""Do the changes an estimator made by hand fit the catalogue: rows added, taken out, typed over or
kept twice, lines of their own, ways chosen."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import CalledRow, Operation
from estimator.domain.finding_check import nearest
from estimator.domain.fixed_words import fixed
from estimator.domain.job import Job, LineChange, OwnLine, ScopeChange
from estimator.domain.problem import Place, Problem
from estimator.domain.repair import repair_faults
from estimator.domain.scope_line import KINDS, LABOUR
from estimator.domain.units import UNITS
from estimator.domain.wording import worded

JOB_FILE = "job.toml"
OWN_ID = re.compile(r"X\d{2,4}\Z")
MOST_TYPED = Decimal(10_000_000)  # beyond, a slip is likelier than the figure
Rows = Mapping[str, CalledRow]


@dataclass(frozen=True, slots=True)
class _Entry:
    """One entry of the job file, and how to name a fault in it."""

    section: str
    number: int

    def fault(self, key: str, code: str, message: str, remedy: str = "") -> Problem:
        """A fault at a key of the entry."""
        where = Place(JOB_FILE, None, f"[[{self.section}]] {self.number} {key}")
        return Problem(code, where, message, remedy)


def by_hand_faults(job: Job, cat: ClassCatalogue) -> Iterator[Problem]:
    """Every fault of what was changed by hand."""
    rows: Rows = {**cat.operations, **cat.parts, **cat.outwork}
    yield from _scope_faults(job, rows, cat)
    yield from _typed_faults(job.changed, rows)
    yield from _own_faults(job.own, rows, cat)
    yield from _kept_faults(job.kept, cat)
    yield from _way_faults(job, cat)
    yield from repair_faults(job, cat)


def _unknown(entry: _Entry, row_id: str, rows: Mapping[str, object]) -> Problem:
    return entry.fault(
        "row",
        "unknown-row",
        worded("{row_id!r} is no row of the catalogue for this class.", row_id=row_id[:40]),
        nearest(row_id, dict(rows)),
    )


def _scope_faults(job: Job, rows: Rows, cat: ClassCatalogue) -> Iterator[Problem]:
    seen: set[str] = set()
    may_go = {**rows, **cat.found_work}  # work that may be found can be taken out, never put in
    for section, changes, known in (
        ("added", job.added, dict[str, object](rows)),
        ("removed", job.removed, may_go),
    ):
        for number, change in enumerate(changes, start=1):
            entry = _Entry(section, number)
            if change.row_id not in known:
                yield _unknown(entry, change.row_id, known)
            if change.row_id in seen:
                yield entry.fault(
                    "row",
                    "change-twice",
                    worded("{row_id} is changed by hand twice.", row_id=change.row_id),
                    worded("Keep one; a quantity is changed by its finding, or typed over."),
                )
            seen.add(change.row_id)


def _typed_faults(changes: tuple[LineChange, ...], rows: Rows) -> Iterator[Problem]:
    seen: set[str] = set()
    for number, change in enumerate(changes, start=1):
        entry = _Entry("changed", number)
        row = rows.get(change.row_id)
        if row is None:
            yield _unknown(entry, change.row_id, rows)
        if change.row_id in seen:
            yield entry.fault(
                "row",
                "change-twice",
                worded("{row_id} is typed over twice.", row_id=change.row_id),
                worded("Keep one."),
            )
        seen.add(change.row_id)
        if change.quantity is None and change.unit_cost is None:
            yield entry.fault(
                "quantity",
                "no-change",
                worded("nothing is typed."),
                worded("Type a quantity or a cost of one."),
            )
        if change.quantity is not None:
            yield from _amount(entry, "quantity", change.quantity, above_zero=True)
        if change.unit_cost is not None:
            yield from _amount(entry, "unit_cost", change.unit_cost)
            if isinstance(row, Operation):
                yield entry.fault(
                    "unit_cost",
                    "labour-cost",
                    worded(
                        "{row_id} is labour, which is charged at its trade's rate.",
                        row_id=change.row_id,
                    ),
                    worded("Type its hours instead."),
                )
        yield from _spoken_for(entry, change.reason, change.by)


def _amount(
    entry: _Entry, key: str, value: Decimal, *, above_zero: bool = False
) -> Iterator[Problem]:
    if not value.is_finite() or value > MOST_TYPED:
        yield entry.fault(
            key,
            "bad-number",
            worded("{value} cannot be.", value=value),
            worded("Check the digits."),
        )
    elif value < 0:
        yield entry.fault(
            key,
            "negative",
            worded("{value} is below zero.", value=value),
            worded("Check the sign."),
        )
    elif above_zero and value == 0:
        yield entry.fault(
            key,
            "zero",
            worded("is zero."),
            worded("Take the line out instead; its reason stays on record."),
        )


def _spoken_for(entry: _Entry, reason: str, by: str) -> Iterator[Problem]:
    if not reason.strip():
        yield entry.fault(
            "reason", "no-reason", worded("is blank."), worded("Say why; it stays on record.")
        )
    if not by.strip():
        yield entry.fault("by", "no-name", worded("is blank."), worded("Say who."))


def _own_faults(own: tuple[OwnLine, ...], rows: Rows, cat: ClassCatalogue) -> Iterator[Problem]:
    seen: set[str] = set()
    for number, line in enumerate(own, start=1):
        entry = _Entry("own", number)
        if not OWN_ID.match(line.id) or line.id in rows:
            yield entry.fault(
                "id",
                "bad-id",
                worded("holds {value!r}.", value=line.id[:40]),
                worded("Number lines of your own X01, X02."),
            )
        if line.id in seen:
            yield entry.fault(
                "id",
                "id-twice",
                worded("{id} stands twice.", id=line.id),
                worded("Number it anew."),
            )
        seen.add(line.id)
        if not line.name.strip():
            yield entry.fault(
                "name", "no-name", worded("is blank."), worded("Name the work or part.")
            )
        if line.component not in cat.components:
            message = worded(
                "{component!r} is no component of this class.", component=line.component[:40]
            )
            near = nearest(line.component, dict(cat.components))
            yield entry.fault("component", "unknown-component", message, near)
        yield from _own_quantity_faults(entry, line)
        yield from _own_price_faults(entry, line, cat)
        yield from _spoken_for(entry, line.reason, line.by)


def _own_quantity_faults(entry: _Entry, line: OwnLine) -> Iterator[Problem]:
    yield from _amount(entry, "quantity", line.quantity, above_zero=True)
    yield from _amount(entry, "quantity_low", line.quantity_low)
    yield from _amount(entry, "quantity_high", line.quantity_high)
    numbers = (line.quantity_low, line.quantity, line.quantity_high)
    if all(one.is_finite() for one in numbers) and not numbers[0] <= numbers[1] <= numbers[2]:
        yield entry.fault(
            "quantity_low",
            "range-order",
            worded(
                "{low}, {likely}, {high} do not rise from low to high.",
                low=numbers[0],
                likely=numbers[1],
                high=numbers[2],
            ),
            worded("Put low, likely and high in order."),
        )
    if line.kind == LABOUR and line.unit != "h":
        yield entry.fault(
            "unit", "bad-unit", worded("of labour is h."), worded("Type charged hours.")
        )
    elif line.unit not in UNITS:
        yield entry.fault(
            "unit",
            "unknown-unit",
            worded("{unit!r} is no unit.", unit=line.unit[:40]),
            nearest(line.unit, dict(UNITS)),
        )


def _own_price_faults(entry: _Entry, line: OwnLine, cat: ClassCatalogue) -> Iterator[Problem]:
    yield from _amount(entry, "unit_cost", line.unit_cost)
    if line.kind not in KINDS:
        yield entry.fault(
            "kind",
            "unknown-kind",
            worded("is {value!r}.", value=line.kind[:40]),
            worded("Use one of: {known}.", known=", ".join(KINDS)),
        )
    elif line.kind == LABOUR:
        if line.trade not in cat.trades:
            yield entry.fault(
                "trade",
                "unknown-trade",
                worded("{trade!r} is no trade.", trade=line.trade[:40]),
                worded("Use one of: {known}.", known=", ".join(cat.trades)),
            )
        if line.unit_cost or line.markup:
            yield entry.fault(
                "unit_cost" if line.unit_cost else "markup",
                "labour-cost",
                worded("labour is charged at its trade's rate."),
                worded("Leave cost and markup blank."),
            )
    else:
        if line.markup not in cat.markups:
            yield entry.fault(
                "markup",
                "unknown-markup",
                worded("{markup!r} is no markup.", markup=line.markup[:40]),
                worded("Use one of: {known}.", known=", ".join(cat.markups)),
            )
        if line.trade:
            yield entry.fault(
                "trade",
                "no-labour",
                worded("{kind} has no trade.", kind=fixed(line.kind)),
                worded("Leave the trade blank."),
            )


def _kept_faults(kept: tuple[ScopeChange, ...], cat: ClassCatalogue) -> Iterator[Problem]:
    seen: set[str] = set()
    for number, change in enumerate(kept, start=1):
        entry = _Entry("kept", number)
        row_id, _, included = change.row_id.partition("+")
        unknown = [one for one in (row_id, included) if one not in cat.operations]
        if unknown:
            yield entry.fault(
                "row",
                "unknown-row",
                worded(
                    "{row_id!r} names no two operations of this class.", row_id=change.row_id[:60]
                ),
                worded("Write the operation and the one it includes: O1101+O1102."),
            )
        elif included not in cat.operations[row_id].includes:
            yield entry.fault(
                "row",
                "not-included",
                worded(
                    "{row_id} does not include {included}: they are not counted twice.",
                    row_id=row_id,
                    included=included,
                ),
                worded("Take the entry out."),
            )
        if change.row_id in seen:
            yield entry.fault(
                "row",
                "change-twice",
                worded("{row_id} is kept twice.", row_id=change.row_id[:60]),
                worded("Keep one."),
            )
        seen.add(change.row_id)
        yield from _spoken_for(entry, change.reason, change.by)


def _way_faults(job: Job, cat: ClassCatalogue) -> Iterator[Problem]:
    for part, way in (job.ways or {}).items():
        where = Place(JOB_FILE, None, f"[ways] {part}")
        offered = [remedy.way for remedy in cat.remedies.get(part, ())]
        if part not in cat.parts:
            message = worded("{part!r} is no part of this class.", part=part)
            yield Problem("unknown-part", where, message, nearest(part, dict(cat.parts)))
        elif way not in offered:
            yield Problem(
                "unknown-way",
                where,
                worded("{way} is not offered for {part}.", way=way, part=part),
                worded("Offered: {offered}.", offered=", ".join(offered) or worded("none")),
            )
