"""Acts on a contract from files: acceptance, openings, variations, answers. One file is one act; a
file with a fault is refused whole, with every fault named by file, row and column."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, replace
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from estimator.domain.contract.remeasure import priced_line, remeasured_line
from estimator.domain.contract.variation import Remeasured, Variation, VariationLine
from estimator.domain.findings import Finding
from estimator.domain.people import ACCEPT, ANSWER, FIND, VARY, Person
from estimator.domain.priced_work import PricedWork
from estimator.domain.problem import Problem
from estimator.domain.wording import said_by, worded
from estimator.intake.contract_files import (
    WrittenAcceptance,
    fault_at,
    read_acceptance,
    read_answers,
    read_openings,
)
from estimator.intake.contract_rows import AnswerRow, OpeningRow
from estimator.intake.variation_files import read_variations
from estimator.intake.written_variation import WrittenVariation
from estimator.services.accept_quote import Terms, accept_quote
from estimator.services.answer_variation import (
    Answer,
    answer_as_manager,
    record_customers_answers,
)
from estimator.services.enrol_person import require
from estimator.services.errors import Conflict, NotFound, Refused
from estimator.services.open_record import Record
from estimator.services.record_teardown import (
    Found,
    MeasuredAgain,
    Opening,
    open_components,
)
from estimator.services.vary_contract import raise_variations, revise_variation
from estimator.services.work_out_contract import read_contract
from estimator.services.write_contract import Here
from estimator.services.write_edit import kept_job


def accept_from_file(
    record: Record, number: str, path: Path, who: Person, now: datetime, *, held: bool = False
) -> Here:
    """Record the acceptance that a TOML or JSON file tells; as `accept_quote`, and Refused where
    the file has faults."""
    require(who, ACCEPT)
    with record.reading() as session:
        currency = kept_job(session, number).job.terms.currency
    written, problems = read_acceptance(path, currency)
    if written is None:
        raise Refused(worded("The acceptance in {name}", name=path.name), problems)
    cells: dict[str, Any] = {
        one.name: getattr(written, one.name) for one in fields(WrittenAcceptance)
    }
    return accept_quote(record, number, Terms(**cells), who, now, held=held)


def open_from_file(record: Record, number: str, path: Path, who: Person, now: datetime) -> Here:
    """Record the openings of a table, all of them or none; as `open_component`, and Refused where
    the file has faults."""
    require(who, FIND)
    rows, problems = read_openings(path)
    here = read_contract(record, number)
    problems += [fault for row in rows for fault in _reading_faults(row, here.work)]
    if problems:
        raise Refused(worded("The openings in {name}", name=path.name), problems)
    return open_components(record, number, _openings(rows, who.name, now.date()), who, now)


def _reading_faults(row: OpeningRow, work: PricedWork) -> list[Problem]:
    """A reading that does not fit its measure of the catalogue."""
    if not row.measure:
        return []
    known = work.cat.measures.get(row.measure)
    if known is None:
        said = worded("holds {value!r}, no measure of this class.", value=row.measure[:40])
        return [fault_at(row.place, "measure", said, worded("See measures.csv of the catalogue."))]
    if row.unit != known.unit:
        said = worded(
            "holds {value!r}; {measure} is read in {unit}.",
            value=row.unit,
            measure=row.measure,
            unit=known.unit,
        )
        return [fault_at(row.place, "unit", said, worded("Read it in {unit}.", unit=known.unit))]
    return []


def _openings(rows: Sequence[OpeningRow], inspector: str, day: date) -> list[Opening]:
    """One opening a component, in the order of the file."""
    groups: dict[str, list[OpeningRow]] = {}
    for row in rows:
        groups.setdefault(row.component, []).append(row)
    return [_opening(name, group, inspector, day) for name, group in groups.items()]


def _opening(component: str, rows: list[OpeningRow], inspector: str, day: date) -> Opening:
    found = tuple(
        Found(
            row.part, row.state, row.location, row.title, row.reading, row.photographs,
            row.consequence, row.cannot_be_declined, row.safety, row.way, row.place,
        )
        for row in rows
        if row.part
    )  # fmt: skip
    measured = tuple(
        MeasuredAgain(row.line, _value(row), row.factor is not None, row.place)
        for row in rows
        if row.line
    )
    readings = tuple(
        Finding(
            id=f"{component}/{at}", measure=row.measure, component=component,
            part=(row.part,) if row.part else (), measured=row.measured, unit=row.unit,
            reading=row.reading, photo=row.photographs, inspector=inspector, date=day,
        )
        for at, row in enumerate(rows, start=1)
        if row.measure
    )  # fmt: skip
    cautions = dict.fromkeys(one for row in rows for one in row.cautions)
    notes = "; ".join(dict.fromkeys(row.note for row in rows if row.note))
    return Opening(component, found, measured, readings, tuple(cautions), notes, rows[0].place)


def _value(row: OpeningRow) -> Decimal:
    value = row.factor if row.factor is not None else row.quantity
    return Decimal(0) if value is None else value


def raise_from_file(record: Record, number: str, path: Path, who: Person, now: datetime) -> Here:
    """Raise the variations of a file, all of them or none, priced at the quote's own rates; as
    `raise_variation`, and Refused where the file has faults."""
    require(who, VARY)
    here = read_contract(record, number)
    written, problems = read_variations(path, here.contract.currency)
    blank = Variation(
        number="", revision=0, found_at=now, finder=who.name, component="", location="", title="",
        cause="", end="",
    )  # fmt: skip
    drawn = [_with_lines(blank, one, here.work, who, problems) for one in written]
    if problems:
        raise Refused(worded("The variations in {name}", name=path.name), problems)
    return raise_variations(record, number, drawn, who, now)


def price_from_file(
    record: Record, number: str, variation: str, path: Path, who: Person, now: datetime,
    *, revision: int | None = None,
) -> Here:  # fmt: skip
    """Price a variation, or write it anew, from a file: what it does not give stays as it is.
    `revision` is the one that was looked at (default: the newest). As `revise_variation`, and
    Refused where the file has faults."""
    require(who, VARY)
    here = read_contract(record, number)
    if variation not in here.contract.cases:
        raised = ", ".join(here.contract.cases) or worded("none yet")
        raise NotFound(
            worded("{number} has no variation {variation}.", number=number, variation=variation),
            worded("Raised: {known}.", known=raised),
        )
    known = here.contract.cases[variation].variation
    if revision is not None and revision != known.revision:
        raise Conflict(
            worded(
                "{variation} is at rev {revision}, not rev {wanted}.",
                variation=variation,
                revision=known.revision,
                wanted=revision,
            ),
            worded("Look at it again."),
        )
    written, problems = read_variations(path, here.contract.currency, pricing=True)
    drawn = [_with_lines(known, one, here.work, who, problems) for one in written]
    if problems:
        raise Refused(worded("The price in {name}", name=path.name), problems)
    return revise_variation(record, number, drawn[0], who, now)


def _with_lines(
    known: Variation,
    written: WrittenVariation,
    work: PricedWork,
    who: Person,
    problems: list[Problem],
) -> Variation:
    """A variation with what its file gives, its lines priced. A price settles a range."""
    lines = [_priced(one, work, problems) for one in written.lines]
    measured = [_measured(one, work, problems) for one in written.measured]
    cells: dict[str, Any] = dict(written.cells)
    if written.lines:
        cells["lines"] = tuple(one for one in lines if one is not None)
    if written.measured:
        cells["remeasured"] = tuple(one for one in measured if one is not None)
    if written.lines or written.measured:
        cells.setdefault("range", None)
        cells["priced_by"] = who.name
    if "range" in cells and cells["range"] is not None and not written.lines:
        cells["lines"] = ()
    return replace(known, **cells)


def _priced(one: Any, work: PricedWork, problems: list[Problem]) -> VariationLine | None:
    try:
        return priced_line(work, one.wanted)
    except ValueError as error:
        problems.append(
            Problem(
                "line",
                one.place,
                worded("{said}.", said=said_by(error)),
                worded("Use the quote's own rates."),
            )
        )
        return None


def _measured(one: Any, work: PricedWork, problems: list[Problem]) -> Remeasured | None:
    try:
        return remeasured_line(work, one.row_id, one.by_factor, one.value)
    except ValueError as error:
        problems.append(
            Problem(
                "measured",
                one.place,
                worded("{said}.", said=said_by(error)),
                worded("Measure a line of the quote."),
            )
        )
        return None


def answer_from_file(record: Record, number: str, path: Path, who: Person, now: datetime) -> Here:
    """Record the answers of a table, all of them or none: the customer's, each with who gave it, or
    the workshop's own by `who`, who gave their passphrase. As `answer_as_manager` and
    `record_customers_answer`, and Refused where the file has faults or mixes the two sides."""
    require(who, ANSWER)
    rows, problems = read_answers(path)
    if not problems and len({bool(row.by) for row in rows}) > 1:
        other = next(row for row in rows if bool(row.by) != bool(rows[0].by))
        said = worded("mixes answers of the customer and of the workshop.")
        problems = [fault_at(other.place, "by", said, worded("Write two files."))]
    if problems:
        raise Refused(worded("The answers in {name}", name=path.name), problems)
    here = read_contract(record, number)
    answers = [_answer(row, here) for row in rows]
    if not rows[0].by:
        return answer_as_manager(record, number, answers, who, now)
    pairs = [(answer, row.by) for answer, row in zip(answers, rows, strict=True)]
    return record_customers_answers(record, number, pairs, who, now)


def _answer(row: AnswerRow, here: Here) -> Answer:
    return Answer(
        variation=row.variation,
        revision=newest_revision(here, row.variation) if row.revision is None else row.revision,
        act=row.act,
        channel=row.channel,
        words=row.words,
        reason=row.reason,
        lines=tuple(int(one) - 1 for one in row.lines),
        waits_activity=row.waits_activity,
        waits_days=row.waits_days or Decimal(0),
    )


def newest_revision(here: Here, variation: str) -> int:
    """The newest revision of a variation; 0 where there is none of that number, which the contract
    itself refuses."""
    case = here.contract.cases.get(variation)
    return 0 if case is None else case.variation.revision
