"""Seal what was issued into one package, and verify a package against its list and the record."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from estimator.documents.files.quote_rows import FULL
from estimator.documents.files.sealed_package import (
    LARGEST_PACKAGE,
    Checked,
    NoPackage,
    check_package,
    plain_stem,
    seal_of,
    sealed_package,
)
from estimator.domain.priced_job import Progress
from estimator.domain.problem import Place, Problem
from estimator.domain.record import IssuedQuote, LogEntry
from estimator.domain.wording import said_by, worded
from estimator.services.errors import NotFound, Refused
from estimator.services.export_files import calendar_bytes, check_free, ubl_bytes, xlsx_bytes
from estimator.services.export_page import page_of
from estimator.services.file_source import Wanted, issued_source
from estimator.services.frozen_quote import issued_revision
from estimator.services.open_record import Record
from estimator.services.price_job import quiet
from estimator.services.write_edit import kept_job
from estimator.services.write_file import write_whole
from estimator.storage.change_log import entries

if TYPE_CHECKING:
    from estimator.storage.database import Session

CUSTOMER, WORKSHOP = "customer", "workshop"
AUDIENCES = (CUSTOMER, WORKSHOP)
_FORMAT = 1
_DATA, _INTERNAL = ".json", "-workshop-only.json"


@dataclass(frozen=True, slots=True)
class Sealed:
    """Where a package was written, and the figure that stands for all its files."""

    path: Path
    seal: str
    files: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a package was found to be. `against_record` is None where no record was asked; there,
    each fault is a sentence."""

    title: str
    chain_head: str
    seal: str
    files: tuple[str, ...]
    changed: tuple[str, ...]
    added: tuple[str, ...]
    missing: tuple[str, ...]
    against_record: tuple[str, ...] | None = None

    @property
    def sound(self) -> bool:
        """Whether nothing was found against it."""
        return not (self.changed or self.added or self.missing or self.against_record)


def seal_quote(
    record: Record,
    wanted: Wanted,
    audience: str,
    path: Path,
    *,
    replace: bool = False,
    progress: Progress = quiet,
) -> Sealed:
    """Write an issued revision as one package: its PDF as it was issued, its data, workbook, order
    data, calendar and the list of hashes. For the workshop the frozen inputs and every figure go
    with it, cost and margin among them, and all lines are told; for the customer they do not.

    Raises NotFound, NotReckoned, NotWritten.
    """
    if audience not in AUDIENCES:
        raise NotFound(
            worded("Nothing is sealed for {who}.", who=repr(audience)),
            worded("Say one of: {known}.", known=", ".join(AUDIENCES)),
        )
    check_free(path, replace)
    files = _files(record, wanted, audience, progress)
    write_whole(path, sealed_package(files))
    return Sealed(path, seal_of(files), tuple(sorted(files)))


def _files(record: Record, wanted: Wanted, audience: str, progress: Progress) -> dict[str, bytes]:
    if audience == WORKSHOP:
        wanted = replace(wanted, detail=FULL)
    with record.reading() as session:
        job = kept_job(session, wanted.number).job
        issued = issued_revision(session, job.number, wanted.revision or job.revision)
        entry = _issue_entry(session, issued)
    source = issued_source(record, replace(wanted, revision=issued.revision), progress)
    stem = plain_stem(f"{issued.number}-{issued.revision}")
    files = {
        f"{stem}.pdf": issued.pdf,
        f"{stem}{_DATA}": _as_json(_data(issued, entry, wanted, audience)),
        f"{stem}.xlsx": xlsx_bytes(source, wanted.paper),
        f"{stem}.xml": ubl_bytes(source),
        f"{stem}.ics": calendar_bytes(source),
        f"{stem}.html": page_of(record, replace(wanted, revision=issued.revision), progress),
    }
    if audience == WORKSHOP:
        kept = {"inputs": json.loads(issued.inputs), "figures": json.loads(issued.figures)}
        files[f"{stem}{_INTERNAL}"] = _as_json(kept)
    return files


def _data(
    issued: IssuedQuote, entry: LogEntry | None, wanted: Wanted, audience: str
) -> dict[str, Any]:
    """What was issued, when, by whom, and where the record's log tells of it."""
    return {
        "format": _FORMAT,
        "for": audience,
        "detail": wanted.detail,
        "locale": wanted.locale,
        "quote": issued.number,
        "revision": issued.revision,
        "issued_at": issued.issued_at.isoformat(),
        "issued_by": issued.issued_by,
        "released_by": issued.released_by,
        "currency": issued.net.currency,
        "net": f"{issued.net.amount:f}",
        "contingency": f"{issued.contingency.amount:f}",
        "gross": f"{issued.gross.amount:f}",
        "ready_on": issued.ready_on.isoformat(),
        "valid_until": issued.valid_until.isoformat(),
        "catalogue": {"version": issued.catalogue_version, "edition": issued.edition,
                      "fingerprint": issued.catalogue_fingerprint},
        "record": issued.record,
        "pdf_sha256": issued.pdf_sha256,
        "log": {"head_when_printed": issued.chain_head,
                "entry": 0 if entry is None else entry.number,
                "entry_hash": "" if entry is None else entry.hash},
    }  # fmt: skip


def _as_json(data: object) -> bytes:
    text = json.dumps(data, ensure_ascii=False, sort_keys=True, indent=1)
    return (text + "\n").encode("utf-8", "replace")


def _issue_entry(session: Session, issued: IssuedQuote) -> LogEntry | None:
    """The entry of the log that tells of the issue."""
    for entry in entries(session, f"job/{issued.number}"):
        if entry.act == "issued" and json.loads(entry.after)["revision"] == issued.revision:
            return entry
    return None


def verify_seal(path: Path, record: Record | None = None) -> Verdict:
    """What a package holds against its own list of hashes; with a record, against that too: PDF,
    sums and days as issued, and the entry of the log.

    Raises NotFound where there is no file, Refused where it is no package or not safe to read.
    """
    checked = _checked(path)
    data = _told(checked, path)
    log = data.get("log")
    head = log.get("head_when_printed", "") if isinstance(log, dict) else ""
    return Verdict(
        title=f"{data.get('quote')} rev {data.get('revision')}",
        chain_head=str(head),
        seal=checked.seal,
        files=checked.files,
        changed=checked.changed,
        added=checked.added,
        missing=checked.missing,
        against_record=None if record is None else _against(record, data, checked),
    )


def _checked(path: Path) -> Checked:
    try:
        size = path.stat().st_size
        content = path.read_bytes() if size <= LARGEST_PACKAGE else b""
    except OSError as error:
        raise NotFound(
            worded("{path} cannot be read ({why}).", path=str(path), why=error.strerror or ""),
            worded("Name a package that was sealed."),
        ) from None
    try:
        if size > LARGEST_PACKAGE:
            raise NoPackage("it is too large for a package of one quote")
        return check_package(content)
    except NoPackage as error:
        raise _refused(path, worded("No sealed package: {why}.", why=said_by(error))) from None


def _refused(path: Path, message: str) -> Refused:
    problem = Problem("not-a-package", Place(path.name), message,
                      worded("Ask for the package again from whoever sealed it."))  # fmt: skip
    return Refused(str(path), [problem])


def _told(checked: Checked, path: Path) -> Mapping[str, Any]:
    """The data of a package; empty where they are damaged or missing."""
    names = [one for one in checked.contents
             if one.endswith(_DATA) and not one.endswith(_INTERNAL)]  # fmt: skip
    if len(names) != 1:
        if checked.missing or checked.changed or checked.added:
            return {}
        raise _refused(path, worded("No sealed package: it tells of no quote."))
    try:
        data = json.loads(checked.contents[names[0]])
    except (ValueError, RecursionError):
        return {}
    return data if isinstance(data, dict) else {}


def _against(record: Record, data: Mapping[str, Any], checked: Checked) -> tuple[str, ...]:
    number, revision = str(data.get("quote")), str(data.get("revision"))
    try:
        with record.reading() as session:
            issued = issued_revision(session, number, revision)
            entry = _issue_entry(session, issued)
    except NotFound as error:
        return (error.message,)
    faults = []
    papers = [content for name, content in checked.contents.items() if name.endswith(".pdf")]
    if papers != [issued.pdf]:
        faults.append(worded("The PDF is not the one that was issued."))
    mine = _data(issued, entry, _AS_TOLD, str(data.get("for")))
    apart = {"detail", "locale", "for"}
    differing = sorted(key for key in mine.keys() - apart if data.get(key) != mine[key])
    if differing:
        names = ", ".join(differing)
        faults.append(worded("The data differ from the record: {names}.", names=names))
    return tuple(faults)


def _no_catalogue() -> Any:
    raise AssertionError("an issued quote has its own catalogue")


_AS_TOLD = Wanted(number="", catalogue=_no_catalogue)
