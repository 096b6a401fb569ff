"""The verbs of work on a job: begin it, put photographs to it, propose it, find anything in it; and
the one that examines the record's file."""

from __future__ import annotations

import argparse
from decimal import Decimal
from pathlib import Path
from typing import Any

from estimator.command.acting import now, record_verb, who_acts
from estimator.command.answer import Options, answer
from estimator.command.catalogue_verbs import working
from estimator.command.columns import table
from estimator.services.errors import Refused


def add_to(verbs: Any) -> None:
    """Add the verbs to the command line."""
    begin = record_verb(verbs, "new-job", new_job, "begin a job on the workshop's usual terms")
    begin.add_argument("--class", dest="class_id", required=True, help="machine class, like WL28")
    begin.add_argument("--customer", required=True, help="name of the customer")
    begin.add_argument("--serial", default="", help="serial number, if it is known")
    begin.add_argument("--hours", type=_number, required=True, help="hour meter")
    begin.add_argument("--duty", type=_number, help="duty factor (default: the usual one)")
    begin.add_argument("--life", type=_number, help="hours wanted after the rebuild")
    begin.add_argument("--level", default="full", help="rebuild level (default: full)")
    begin.add_argument("--note", default="", help="what the customer wants, in words")
    find = record_verb(verbs, "find", find_anywhere, "find words in jobs, findings and photographs",
                       acts=False)  # fmt: skip
    find.add_argument("text", nargs="+", help="beginnings of words")
    find.add_argument("--most", type=int, default=40, help="show no more than so many places")
    for name, run, text in (
        ("propose", propose, "propose a job's quote for release"),
        ("withdraw", withdraw, "make a proposed job a draft again"),
    ):
        one = record_verb(verbs, name, run, text)
        one.add_argument("number", help="number of the job")
    photo = record_verb(verbs, "add-photograph", add_photograph, "put a photograph to a finding")
    photo.add_argument("number", help="number of the job")
    photo.add_argument("finding", help="number of the finding, like I03")
    photo.add_argument("file", type=Path, help="picture: JPEG, PNG, GIF, WebP, TIFF or BMP")
    record_verb(verbs, "examine", examine, "examine the record's file for damage", acts=False)


def _number(text: str) -> Decimal:
    from estimator.intake.cells import plain_number

    number = plain_number(text)
    if number is None:
        raise argparse.ArgumentTypeError(f"{text!r} is not a number")
    return number


def new_job(options: Options) -> None:
    """Begin a job."""
    from estimator.domain.job import Party
    from estimator.services.begin_job import Enquiry, begin_job
    from estimator.services.open_record import open_record
    from estimator.services.open_workshop import open_workshop

    with_file = options.catalogue and (options.catalogue / "workshop.toml").is_file()
    defaults = open_workshop(options.catalogue if with_file else None)
    enquiry = Enquiry(
        options.class_id,
        Party(options.customer),
        options.serial,
        options.hours,
        options.duty,
        options.life,
        options.level,
        options.note,
    )
    with open_record(options.record, now()) as record:
        who = who_acts(record, options)
        catalogue = working(record, options)
        number = begin_job(record, catalogue, who, now(), enquiry, defaults)
    answer(options, {"number": number}, f"{number} is begun.")


def find_anywhere(options: Options) -> None:
    """Find words."""
    from estimator.services.list_jobs import find_anywhere as service
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        found = service(record, " ".join(options.text), max(options.most, 0))
    data = [
        {"kind": one.kind, "number": one.number, "place": one.place, "title": one.title,
         "words": one.words}
        for one in found
    ]  # fmt: skip
    rows = [(one.number, one.place or one.kind, one.title, one.words) for one in found]
    head = ("Job", "Where", "Whose", "Words")
    answer(options, data, table(head, rows) if rows else "Nothing is found.")


def propose(options: Options) -> None:
    """Propose for release."""
    from estimator.services import propose_release
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        who = who_acts(record, options)
        draft = propose_release.propose(record, options.number, who, now())
    data = {"number": draft.job.number, "state": draft.state}
    answer(options, data, f"{draft.job.title} waits for release.")


def withdraw(options: Options) -> None:
    """Make a proposed job a draft again."""
    from estimator.services import propose_release
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        who = who_acts(record, options)
        draft = propose_release.withdraw(record, options.number, who, now())
    data = {"number": draft.job.number, "state": draft.state}
    answer(options, data, f"{draft.job.title} is a draft again.")


def add_photograph(options: Options) -> None:
    """Put a photograph to a finding."""
    from estimator.services import photographs
    from estimator.services.open_record import open_record

    data = _picture(options.file)
    with open_record(options.record, now()) as record:
        who = who_acts(record, options)
        photographs.add_photograph(
            record, options.number, options.finding, options.file.name, data, who, now()
        )
        name = photographs.photographs_of(record, options.number, options.finding)[-1].name
    answer(options, {"photograph": name}, f"{name} is in {options.number}.")


def _picture(path: Path) -> bytes:
    from estimator.domain.problem import Place, Problem

    try:
        return path.read_bytes()
    except OSError as error:
        reason = error.strerror or "unknown reason"
        fault = Problem("file-unreadable", Place(str(path)), f"cannot be read ({reason}).")
        raise Refused("The photograph", [fault]) from error


def examine(options: Options) -> None:
    """Examine the file."""
    from estimator.domain.problem import Place, Problem
    from estimator.services.open_record import examine_record, open_record

    with open_record(options.record, now()) as record:
        faults = examine_record(record)
    if faults:
        where = Place(str(options.record))
        raise Refused("Record", [Problem("damaged", where, f"{one}.") for one in faults])
    answer(options, {"faults": []}, "The record's file is sound.")
