"""The verbs of the record: people, jobs kept, quotes issued, and the proof that nothing changed.

Who acts is named by --as; the passphrase is asked for, or taken from SHIMWRIGHT_PASSPHRASE for
nightly runs. Releasing asks for the releaser's own (SHIMWRIGHT_RELEASER_PASSPHRASE).
"""

from __future__ import annotations

import argparse
import getpass
import os
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from estimator.command.answer import Options, add_verb, answer, progress
from estimator.command.columns import table
from estimator.command.text_output import amount
from estimator.domain.people import ROLES, Person
from estimator.services.errors import Refused
from estimator.services.open_catalogue import open_catalogue

PASSPHRASE, RELEASER_PASSPHRASE = "SHIMWRIGHT_PASSPHRASE", "SHIMWRIGHT_RELEASER_PASSPHRASE"


def default_record() -> Path:
    """Where the record lies unless told otherwise, by the custom of each system."""
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA", str(Path.home())))
    else:
        base = Path(os.environ.get("XDG_DATA_HOME", str(Path.home() / ".local" / "share")))
    return base / "shimwright" / "record.db"


def add_to(verbs: Any) -> None:
    """Add the verbs of the record to the command line."""
    enrol = _verb(verbs, "enrol", enrol_person, "enrol someone in the record", acts=False)
    enrol.add_argument("name", help="name as it will be shown")
    enrol.add_argument("role", choices=ROLES)
    enrol.add_argument("--as", dest="who", help="service manager who enrols them")
    take = _verb(verbs, "take-in", take_in, "take a job folder into the record")
    take.add_argument("job", type=Path, metavar="JOB", help="job folder")
    listing = _verb(verbs, "list", list_jobs, "list or find jobs in the record", acts=False)
    listing.add_argument("text", nargs="*", help="words of number, customer, serial or class")
    found = _verb(verbs, "add-findings", add_findings, "add findings from a file to a job")
    found.add_argument("number", help="number of the job")
    found.add_argument("folder", type=Path, help="folder with findings.csv or findings.json")
    issuing = _verb(verbs, "issue", issue, "issue a job's quote: frozen, with its PDF")
    issuing.add_argument("number", help="number of the job")
    issuing.add_argument("--released-by", required=True, help="service manager who releases it")
    issuing.add_argument("--to", type=Path, help="write the PDF here too")
    issuing.add_argument("--locale", default="en_GB", help="how numbers and dates are written")
    issuing.add_argument("--quiet", action="store_true", help="no progress on stderr")
    revise = _verb(verbs, "revise", revise_job, "begin the next revision of an issued job")
    revise.add_argument("number", help="number of the job")
    again = _verb(verbs, "reissue", reissue, "write an issued quote again, as it was", acts=False)
    again.add_argument("number", help="number of the job")
    again.add_argument("revision", help="revision, such as A")
    again.add_argument("--to", type=Path, required=True, help="PDF to write")
    export = _verb(verbs, "export", export_job, "write a job as a folder again", acts=False)
    export.add_argument("number", help="number of the job")
    export.add_argument("folder", type=Path, help="folder to write job.json and findings.json to")
    history = _verb(verbs, "history", show_history, "who did what to a job, and when", acts=False)
    history.add_argument("number", help="number of the job")
    _verb(verbs, "verify", verify, "verify the log's chain and everything issued", acts=False)


def _verb(
    verbs: Any, name: str, run: Callable[[Options], int | None], text: str, *, acts: bool = True
) -> argparse.ArgumentParser:
    one = add_verb(verbs, name, run, text)
    one.add_argument("--record", type=Path, default=default_record(), help="the record's file")
    if acts:
        one.add_argument("--as", dest="who", required=True, help="who acts")
    return one


def _now() -> datetime:
    return datetime.now(UTC)


def _passphrase(name: str, variable: str = PASSPHRASE) -> str:
    said = os.environ.get(variable)
    return said if said is not None else getpass.getpass(f"Passphrase of {name}: ")


def _who(record: Any, options: Options) -> Person:
    from estimator.services.enrol_person import know_person

    return know_person(record, options.who, _passphrase(options.who))


def enrol_person(options: Options) -> None:
    """Enrol someone."""
    from estimator.services import enrol_person as service
    from estimator.services.open_record import open_record

    with open_record(options.record, _now()) as record:
        by = _who(record, options) if options.who else None
        variable = PASSPHRASE if by is None else "SHIMWRIGHT_NEW_PASSPHRASE"
        passphrase = _passphrase(options.name, variable)
        person = service.enrol_person(record, options.name, options.role, passphrase, by, _now())
    answer(options, {"name": person.name, "role": person.role},
           f"{person.name} is enrolled as {person.role}.")  # fmt: skip


def take_in(options: Options) -> None:
    """Take a job folder into the record."""
    from estimator.services.keep_job import take_in_job
    from estimator.services.open_record import open_record

    catalogue = open_catalogue(options.catalogue)
    with open_record(options.record, _now()) as record:
        number = take_in_job(record, options.job, catalogue, _who(record, options), _now())
    answer(options, {"number": number}, f"{number} is in the record.")


def list_jobs(options: Options) -> None:
    """List or find jobs."""
    from estimator.services.keep_job import list_jobs as service
    from estimator.services.open_record import open_record

    with open_record(options.record, _now()) as record:
        found = service(record, " ".join(options.text))
    data = [
        {
            "number": one.number,
            "revision": one.revision,
            "state": one.state,
            "customer": one.customer,
            "class": one.class_id,
            "serial": one.serial,
            "hours": one.hours,
            "changed_at": one.changed_at.isoformat(),
            "net": None if one.net is None else str(one.net.amount),
        }
        for one in found
    ]
    rows = [
        (
            f"{one.number} {one.revision}",
            one.state,
            one.customer,
            f"{one.class_id} {one.serial}",
            one.hours,
            amount(one.net) if one.net else "",
            f"{one.changed_at:%Y-%m-%d %H:%M}",
        )
        for one in found
    ]
    head = ("Job", "State", "Customer", "Machine", "Hours", "Issued at", "Changed, UTC")
    answer(options, data, table(head, rows, right=(4, 5)) if rows else "No job is found.")


def add_findings(options: Options) -> None:
    """Add findings from a file."""
    from estimator.services.keep_job import add_findings as service
    from estimator.services.open_record import open_record

    catalogue = open_catalogue(options.catalogue)
    with open_record(options.record, _now()) as record:
        who = _who(record, options)
        count = service(record, options.number, options.folder, catalogue, who, _now())
    answer(options, {"findings": count}, f"{count} findings are in {options.number}.")


def issue(options: Options) -> None:
    """Issue a job's quote."""
    from estimator.services.enrol_person import know_person
    from estimator.services.issue_quote import issue_quote
    from estimator.services.open_record import open_record
    from estimator.services.print_quote import known_locale
    from estimator.services.write_file import write_whole

    locale = known_locale(options.locale)
    catalogue = open_catalogue(options.catalogue)
    with open_record(options.record, _now()) as record:
        who = _who(record, options)
        releaser = know_person(
            record, options.released_by, _passphrase(options.released_by, RELEASER_PASSPHRASE)
        )
        issued = issue_quote(
            record,
            options.number,
            catalogue,
            who,
            releaser,
            _now(),
            locale=locale,
            progress=progress(options),
        )
        if options.to:
            write_whole(options.to.absolute(), issued.pdf)
    data = {
        "number": issued.number,
        "revision": issued.revision,
        "net": str(issued.net.amount),
        "gross": str(issued.gross.amount),
        "record": issued.record,
        "pdf_sha256": issued.pdf_sha256,
    }
    text = (
        f"{issued.number} rev {issued.revision} is issued: {amount(issued.net)} "
        f"{issued.net.currency} before tax, ready {issued.ready_on.isoformat()}, valid until "
        f"{issued.valid_until.isoformat()}."
    )
    answer(options, data, text)


def revise_job(options: Options) -> None:
    """Begin the next revision."""
    from estimator.services.issue_quote import revise_job as service
    from estimator.services.open_record import open_record

    with open_record(options.record, _now()) as record:
        job = service(record, options.number, _who(record, options), _now())
    answer(options, {"number": job.number, "revision": job.revision}, f"{job.title} is begun.")


def reissue(options: Options) -> None:
    """Write an issued quote again."""
    from estimator.services.issue_quote import reissue as service
    from estimator.services.open_record import open_record

    with open_record(options.record, _now()) as record:
        path = service(record, options.number, options.revision, options.to.absolute())
    answer(options, {"pdf": str(path)}, f"As issued: {path}")


def export_job(options: Options) -> None:
    """Write a job as a folder."""
    from estimator.services.keep_job import export_job as service
    from estimator.services.open_record import open_record

    with open_record(options.record, _now()) as record:
        folder = service(record, options.number, options.folder.absolute())
    answer(options, {"folder": str(folder)}, f"{options.number} is in {folder}")


def show_history(options: Options) -> None:
    """Who did what to a job."""
    from estimator.services.open_record import open_record
    from estimator.services.verify_record import job_history

    with open_record(options.record, _now()) as record:
        log = job_history(record, options.number)
    data = [
        {
            "number": one.number,
            "at": one.at.isoformat(),
            "who": one.who,
            "act": one.act,
            "before": one.before,
            "after": one.after,
        }
        for one in log
    ]
    rows = [(f"{one.at:%Y-%m-%d %H:%M:%S}", one.who, one.act) for one in log]
    answer(options, data, table(("When, UTC", "Who", "What"), rows) if rows else "No entry.")


def verify(options: Options) -> None:
    """Verify the record."""
    from estimator.domain.problem import Place, Problem
    from estimator.services.open_record import open_record
    from estimator.services.verify_record import verify_record

    with open_record(options.record, _now()) as record:
        found = verify_record(record)
    if found.faults:
        where = Place(str(options.record))
        raise Refused("Record", [Problem("tampered", where, f"{one}.") for one in found.faults])
    data = {"entries": found.entries, "issued": found.issued, "head": found.head}
    answer(options, data, f"The record is whole: {found.entries} entries, {found.issued} issued "
                          f"quotes, head {found.head[:12]}.")  # fmt: skip
