"""The verbs of the record: people, jobs kept, quotes issued, and the proof that nothing changed.

Who acts is named by --as; the passphrase is asked for, or taken from SHIMWRIGHT_PASSPHRASE for
nightly runs. Releasing asks for the releaser's own (SHIMWRIGHT_RELEASER_PASSPHRASE).
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from estimator.command.acting import (
    PASSPHRASE,
    RELEASER_PASSPHRASE,
    now,
    passphrase_of,
    record_verb,
    who_acts,
)
from estimator.command.answer import Options, answer, progress
from estimator.command.catalogue_verbs import working
from estimator.command.columns import table
from estimator.command.text_output import amount
from estimator.domain.people import ROLES
from estimator.domain.quote_length import LENGTHS, STANDARD
from estimator.domain.record import STATES
from estimator.services.errors import Refused


def add_to(verbs: Any) -> None:
    """Add the verbs of the record to the command line."""
    enrol = record_verb(verbs, "enrol", enrol_person, "enrol someone in the record", acts=False)
    enrol.add_argument("name", help="name as it will be shown")
    enrol.add_argument("role", choices=ROLES)
    enrol.add_argument("--as", dest="who", help="service manager who enrols them")
    take = record_verb(verbs, "take-in", take_in, "take a job folder into the record")
    take.add_argument("job", type=Path, metavar="JOB", help="job folder")
    listing = record_verb(verbs, "list", list_jobs, "list or find jobs in the record", acts=False)
    listing.add_argument("text", nargs="*", help="words of number, customer, machine or findings")
    listing.add_argument("--state", choices=STATES, default="", help="only jobs in this state")
    listing.add_argument("--class", dest="class_id", default="", help="only machines of this class")
    listing.add_argument("--order", choices=("newest", "value"), default="newest")
    listing.add_argument("--most", type=int, default=200, help="list no more than so many")
    found = record_verb(verbs, "add-findings", add_findings, "add findings from a file to a job")
    found.add_argument("number", help="number of the job")
    found.add_argument("folder", type=Path, help="folder with findings.csv or findings.json")
    _add_issuing(verbs)
    text = "adopt the starting values that a job's contingency rests on"
    adopting = record_verb(verbs, "adopt", adopt_values, text)
    adopting.add_argument("number", help="number of the job")
    adopting.add_argument("--why", required=True, help="reason, kept on record")
    revise = record_verb(verbs, "revise", revise_job, "begin the next revision of an issued job")
    revise.add_argument("number", help="number of the job")
    text = "take what the strip has found since into the revision that is priced after it"
    strip = record_verb(verbs, "take-in-strip", take_in_strip, text)
    strip.add_argument("number", help="number of the job")
    again = record_verb(
        verbs, "reissue", reissue, "write an issued quote again, as it was", acts=False
    )
    again.add_argument("number", help="number of the job")
    again.add_argument("revision", help="revision, such as A")
    again.add_argument("--to", type=Path, required=True, help="PDF to write")
    export = record_verb(verbs, "export", export_job, "write a job as a folder again", acts=False)
    export.add_argument("number", help="number of the job")
    export.add_argument("folder", type=Path, help="folder to write job.json and findings.json to")
    text = "verify the log's chain and everything issued"
    proof = record_verb(verbs, "verify", verify, text, acts=False)
    proof.add_argument("--remake", action="store_true", help="also make every issued quote again, "
                       "and say whether it is identical (a second or two each)")  # fmt: skip
    proof.add_argument("--job", default="", help="with --remake: only this job's quotes")


def _add_issuing(verbs: Any) -> None:
    issuing = record_verb(verbs, "issue", issue, "issue a job's quote: frozen, with its PDF")
    issuing.add_argument("number", help="number of the job")
    issuing.add_argument("--released-by", required=True, help="service manager who releases it")
    issuing.add_argument("--to", type=Path, help="write the PDF here too")
    issuing.add_argument("--adopt", metavar="WHY", default="", help="the releaser adopts the "
                         "starting values it rests on, for this reason")  # fmt: skip
    issuing.add_argument("--locale", default="en_GB", help="how numbers and dates are written")
    issuing.add_argument("--length", choices=LENGTHS, default=STANDARD,
                         help="how much the print tells")  # fmt: skip
    issuing.add_argument("--quiet", action="store_true", help="no progress on stderr")


def enrol_person(options: Options) -> None:
    """Enrol someone."""
    from estimator.services import enrol_person as service
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        by = who_acts(record, options) if options.who else None
        variable = PASSPHRASE if by is None else "SHIMWRIGHT_NEW_PASSPHRASE"
        passphrase = passphrase_of(options.name, variable)
        person = service.enrol_person(record, options.name, options.role, passphrase, by, now())
    answer(options, {"name": person.name, "role": person.role},
           f"{person.name} is enrolled as {person.role}.")  # fmt: skip


def take_in(options: Options) -> None:
    """Take a job folder into the record."""
    from estimator.services.keep_job import take_in_job
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        catalogue = working(record, options)
        number = take_in_job(record, options.job, catalogue, who_acts(record, options), now())
    answer(options, {"number": number}, f"{number} is in the record.")


def list_jobs(options: Options) -> None:
    """List or find jobs."""
    from estimator.command.job_list_output import jobs_data, jobs_text
    from estimator.services.list_jobs import list_jobs as service
    from estimator.services.open_record import open_record

    at = now()
    with open_record(options.record, at) as record:
        found = service(
            record,
            " ".join(options.text),
            today=at.date(),
            state=options.state,
            class_id=options.class_id,
            order=options.order,
            limit=options.most,
        )
    answer(options, jobs_data(found), jobs_text(found))


def add_findings(options: Options) -> None:
    """Add findings from a file."""
    from estimator.services.keep_job import add_findings as service
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        catalogue = working(record, options)
        who = who_acts(record, options)
        count = service(record, options.number, options.folder, catalogue, who, now())
    answer(options, {"findings": count}, f"{count} findings are in {options.number}.")


def issue(options: Options) -> None:
    """Issue a job's quote."""
    from estimator.services.enrol_person import know_person
    from estimator.services.issue_quote import issue_quote
    from estimator.services.open_record import open_record
    from estimator.services.print_quote import known_locale
    from estimator.services.write_file import write_whole

    locale = known_locale(options.locale)
    with open_record(options.record, now()) as record:
        catalogue = working(record, options)
        who = who_acts(record, options)
        releaser = know_person(
            record, options.released_by, passphrase_of(options.released_by, RELEASER_PASSPHRASE)
        )
        issued = issue_quote(
            record,
            options.number,
            catalogue,
            who,
            releaser,
            now(),
            locale=locale,
            length=options.length,
            adopt_why=options.adopt,
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


def adopt_values(options: Options) -> None:
    """Adopt what starting values a job rests on."""
    from estimator.services.adopt_values import adopt, not_adopted
    from estimator.services.keep_job import recorded_job
    from estimator.services.learn import learnt
    from estimator.services.open_record import open_record
    from estimator.services.work_out import work_out

    with open_record(options.record, now()) as record:
        catalogue = working(record, options)
        who = who_acts(record, options)
        job, _, _ = recorded_job(record, options.number)
        resting = not_adopted(record, work_out(job, learnt(record, catalogue)))
        adopt(record, resting, who, now(), options.why)
    data = [{"subject": one.subject, "stated": one.stated, "parts": one.parts} for one in resting]
    rows = [(", ".join(one.names), one.stated) for one in resting]
    text = table(("Adopted for", "Starting value"), rows) if rows else "Nothing is left to adopt."
    answer(options, data, text)


def revise_job(options: Options) -> None:
    """Begin the next revision."""
    from estimator.services.issue_quote import revise_job as service
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        job = service(record, options.number, who_acts(record, options), now())
    answer(options, {"number": job.number, "revision": job.revision}, f"{job.title} is begun.")


def take_in_strip(options: Options) -> None:
    """Take in what the strip has found."""
    from estimator.services.after_strip import take_in_strip as service
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        draft = service(record, options.number, who_acts(record, options), now())
    count = len(draft.job.findings)
    data = {"number": draft.job.number, "revision": draft.job.revision, "findings": count}
    answer(options, data, f"{draft.job.title} holds {count} findings.")


def reissue(options: Options) -> None:
    """Write an issued quote again."""
    from estimator.services.issue_quote import reissue as service
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        path = service(record, options.number, options.revision, options.to.absolute())
    answer(options, {"pdf": str(path)}, f"As issued: {path}")


def export_job(options: Options) -> None:
    """Write a job as a folder."""
    from estimator.services.keep_job import export_job as service
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        folder = service(record, options.number, options.folder.absolute())
    answer(options, {"folder": str(folder)}, f"{options.number} is in {folder}")


def verify(options: Options) -> int:
    """Verify the record; 1 where a quote made again is not the one that was issued."""
    from estimator.command.remade_output import remade_data, remade_text
    from estimator.domain.problem import Place, Problem
    from estimator.services.open_record import open_record
    from estimator.services.verify_record import verify_record

    remade = []
    with open_record(options.record, now()) as record:
        found = verify_record(record)
        if options.remake and not found.faults:
            from estimator.services.remake_quote import remake_issued

            remade = list(remake_issued(record, options.job))
    if found.faults:
        where = Place(str(options.record))
        raise Refused("Record", [Problem("tampered", where, f"{one}.") for one in found.faults])
    data: dict[str, object] = {
        "entries": found.entries,
        "issued": found.issued,
        "events": found.events,
        "papers": found.papers,
        "head": found.head,
    }
    text = (
        f"The record is whole: {found.entries} entries, {found.issued} issued quotes, "
        f"{found.events} events of contracts, {found.papers} of their papers, head "
        f"{found.head[:12]}."
    )
    if options.remake:
        data["remade"] = remade_data(remade)
        text = f"{text}\n{remade_text(remade)}"
    answer(options, data, text)
    return 0 if all(one.identical for one in remade) else 1
