"""The verbs that write a quote as files of other programs, and seal or verify a package."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from estimator.command.acting import now, record_verb
from estimator.command.answer import Options, add_verb, answer, progress
from estimator.command.catalogue_verbs import working

if TYPE_CHECKING:
    from estimator.services.file_source import Wanted
    from estimator.services.open_record import Record
    from estimator.services.seal_quote import Verdict

_DETAILS, _PAPERS, _AUDIENCES = (
    ("short", "standard", "full"),
    ("A4", "Letter"),
    ("customer", "workshop"),
)
_EXPORTS = (
    ("export-xlsx", "write a quote as a workbook with live sums", ".xlsx"),
    ("export-csv", "write a quote as one plain table", ".csv"),
    ("export-ubl", "write a quote as order data (UBL 2.1 Quotation)", ".xml"),
    ("export-html", "write a quote as a web page that can be read aloud", ".html"),
    ("export-calendar", "write a quote's milestones as a calendar", ".ics"),
)
_FILES = ("xlsx", "csv", "xml", "ics", "html")


def add_to(verbs: Any) -> None:
    """Add the verbs to the command line."""
    for name, text, ending in _EXPORTS:
        one = _quote_verb(verbs, name, export, text, f"file to write, ending in {ending}")
        one.set_defaults(kind=name)
        if name == "export-csv":
            one.add_argument("--bom", action="store_true", help="begin with a byte order mark")
    draft = _quote_verb(
        verbs, "draft-quote-email", draft_email,
        "write an e-mail draft with an issued quote and its files", "file to write, ending in .eml",
    )  # fmt: skip
    known = f"files beside the PDF, of {', '.join(_FILES)}; 'none' for none"
    draft.add_argument("--with", dest="files", default="xlsx,xml,ics", metavar="FILES", help=known)
    sealing = _quote_verb(
        verbs, "seal", seal, "write an issued quote as one package with a list of hashes",
        "file to write, ending in .zip",
    )  # fmt: skip
    sealing.add_argument(
        "--for", dest="audience", choices=_AUDIENCES, required=True,
        help="customer; or workshop: with inputs and all figures, cost and margin among them",
    )  # fmt: skip
    check = add_verb(verbs, "verify-seal", verify, "name each file of a package that was changed, "
                     "added or is missing")  # fmt: skip
    check.add_argument("package", type=Path, metavar="FILE", help="package to verify")
    check.add_argument("--record", type=Path, help="verify against this record too")


def _quote_verb(
    verbs: Any, name: str, run: Callable[[Options], int | None], text: str, where: str
) -> argparse.ArgumentParser:
    one = record_verb(verbs, name, run, text, acts=False)
    one.add_argument("number", metavar="JOB", help="number of the job")
    one.add_argument("to", type=Path, metavar="FILE", help=where)
    one.add_argument("--revision", default="", help="an issued revision, such as A")
    one.add_argument("--detail", choices=_DETAILS, default="standard", help="how much is told")
    one.add_argument("--locale", default="en_GB", help="whose language names and heads are in")
    one.add_argument("--paper", choices=_PAPERS, default="A4", help="paper of the workbook")
    one.add_argument("--replace", action="store_true", help="replace a file that is there")
    one.add_argument("--quiet", action="store_true", help="no progress on stderr")
    return one


def _wanted(options: Options, record: Record) -> Wanted:
    from estimator.services.file_source import Wanted

    return Wanted(
        number=options.number,
        catalogue=lambda: working(record, options),
        revision=options.revision,
        detail=options.detail,
        locale=options.locale,
        paper=options.paper,
    )


def export(options: Options) -> None:
    """Write one file of a quote."""
    from estimator.services import export_files as service
    from estimator.services.export_page import export_html
    from estimator.services.open_record import open_record

    acts: dict[str, Callable[..., Path]] = {
        "export-xlsx": service.export_xlsx,
        "export-csv": service.export_csv,
        "export-ubl": service.export_ubl,
        "export-calendar": service.export_calendar,
        "export-html": export_html,
    }
    more = {"bom": options.bom} if options.kind == "export-csv" else {}
    with open_record(options.record, now()) as record:
        path = acts[options.kind](
            record, _wanted(options, record), options.to.absolute(), replace=options.replace,
            progress=progress(options), **more,
        )  # fmt: skip
    answer(options, {"file": str(path)}, f"Written: {path}")


def draft_email(options: Options) -> None:
    """Write an e-mail draft of a quote."""
    from estimator.services.draft_quote_email import draft_quote_email
    from estimator.services.open_record import open_record

    files = tuple(
        one.strip() for one in options.files.split(",") if one.strip() not in ("", "none")
    )
    at = now()
    with open_record(options.record, at) as record:
        made = draft_quote_email(
            record, _wanted(options, record), options.to.absolute(), at, files=files,
            replace=options.replace, progress=progress(options),
        )  # fmt: skip
    to = f"to {made.to}" if made.to else "without an address: the customer's contact holds none"
    answer(options, {"eml": str(made.path), "to": made.to, "files": ["pdf", *files]},
           f"Drafted {to}: {made.path}. Nothing was sent.")  # fmt: skip


def seal(options: Options) -> None:
    """Seal an issued quote."""
    from estimator.services.open_record import open_record
    from estimator.services.seal_quote import seal_quote

    with open_record(options.record, now()) as record:
        made = seal_quote(
            record, _wanted(options, record), options.audience, options.to.absolute(),
            replace=options.replace, progress=progress(options),
        )  # fmt: skip
    told = [f"Sealed for the {options.audience}: {made.path}", *(f"  {one}" for one in made.files),
            f"Seal {made.seal}"]  # fmt: skip
    if options.audience == "workshop":
        told.append("It holds cost and margin: not for the customer.")
    data = {"package": str(made.path), "for": options.audience, "files": list(made.files),
            "seal": made.seal}  # fmt: skip
    answer(options, data, "\n".join(told))


def verify(options: Options) -> int:
    """Verify a package; the exit code is 1 where anything is found against it."""
    from estimator.services.open_record import open_record
    from estimator.services.seal_quote import verify_seal

    if options.record is None:
        verdict = verify_seal(options.package)
    else:
        with open_record(options.record, now()) as record:
            verdict = verify_seal(options.package, record)
    answer(options, _verdict_data(verdict), _verdict_text(verdict))
    return 0 if verdict.sound else 1


def _verdict_data(verdict: Verdict) -> dict[str, object]:
    against = verdict.against_record
    return {
        "sound": verdict.sound,
        "quote": verdict.title,
        "files": list(verdict.files),
        "changed": list(verdict.changed),
        "added": list(verdict.added),
        "missing": list(verdict.missing),
        "against_record": None if against is None else list(against),
        "chain_head": verdict.chain_head,
        "seal": verdict.seal,
    }


def _verdict_text(verdict: Verdict) -> str:
    told = [
        *(f"Changed: {one}" for one in verdict.changed),
        *(f"Added: {one}" for one in verdict.added),
        *(f"Missing: {one}" for one in verdict.missing),
        *(f"Against the record: {one}" for one in verdict.against_record or ()),
    ]
    if verdict.sound:
        where = "" if verdict.against_record is None else ", and as the record has it"
        told.append(f"{verdict.title}: {len(verdict.files)} files as they were sealed{where}.")
        if verdict.against_record is None:
            told.append("Whoever changes a file and its list alike is found out only by the seal "
                        "told apart, or against the record (--record).")  # fmt: skip
    return "\n".join([*told, f"Seal {verdict.seal}", f"Record chain {verdict.chain_head or '-'}"])
