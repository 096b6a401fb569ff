"""Files of a quote out of the record: the same bytes again, whole or not at all, and sealed."""

from __future__ import annotations

import json
import re
import shutil
import zipfile
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from email import policy
from email.parser import BytesParser
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy as sa
from openpyxl import load_workbook

from estimator.documents.files.sealed_package import check_package, sealed_package
from estimator.domain.catalogue.catalogue import Catalogue
from estimator.services import export_files, seal_quote
from estimator.services.draft_quote_email import draft_quote_email
from estimator.services.errors import NotFound, NotReckoned, NotWritten, Refused
from estimator.services.export_page import export_html
from estimator.services.file_source import Wanted
from estimator.services.issue_quote import revise_job
from estimator.services.keep_job import recorded_job
from estimator.services.open_record import Record, open_record
from estimator.storage import job_record
from tests.acts.contracts import issue_golden
from tests.acts.workshop import ESTIMATOR, LATER, NOW, keep_golden

MADE = {
    "q.xlsx": export_files.export_xlsx,
    "q.csv": export_files.export_csv,
    "q.xml": export_files.export_ubl,
    "q.ics": export_files.export_calendar,
    "q.html": export_html,
}


def never() -> Any:
    raise AssertionError("an issued quote has a catalogue of its own")


@pytest.fixture(scope="module")
def shop(catalogue: Catalogue, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("shop") / "record.db"
    with open_record(path, NOW) as one:
        issue_golden(one, catalogue)
    return path


@pytest.fixture
def issued(shop: Path, tmp_path: Path) -> Iterator[Record]:
    """A copy of a record with the worked job issued."""
    path = tmp_path / "record.db"
    shutil.copy(shop, path)
    with open_record(path, NOW) as one:
        yield one


def wanted(**changes: Any) -> Wanted:
    return replace(Wanted(number="Q-2041", catalogue=never), **changes)


def the_issued(record: Record) -> Any:
    with record.reading() as session:
        return job_record.issued_quotes(session, "Q-2041")[0]


def test_every_file_of_an_issued_quote(issued: Record, tmp_path: Path) -> None:
    for name, export in MADE.items():
        path = export(issued, wanted(), tmp_path / "out" / name)
        assert path.stat().st_size > 1000
    book = load_workbook(tmp_path / "out" / "q.xlsx", data_only=True)
    shown = {row[0].value: row[1].value for row in book["Summary"].iter_rows(min_row=5)}
    frozen = the_issued(issued)
    assert shown["Price before tax"] == float(frozen.net.amount)
    assert shown["Price with tax"] == float(frozen.gross.amount)
    assert shown["Record"] == frozen.record
    assert b"DTSTAMP:20261125T120000Z" in (tmp_path / "out" / "q.ics").read_bytes()


def test_the_same_bytes_come_again_after_a_later_revision(issued: Record, tmp_path: Path) -> None:
    before = {name: make(issued, wanted(detail="full"), tmp_path / name).read_bytes()
              for name, make in MADE.items()}  # fmt: skip
    revise_job(issued, "Q-2041", ESTIMATOR, LATER)
    job, state, version = recorded_job(issued, "Q-2041")
    changed = replace(job, machine=replace(job.machine, hours=job.machine.hours + 2000))
    with issued.writing() as session:
        assert job_record.save_job(session, changed, state, version, LATER)
    for name, make in MADE.items():
        path = make(issued, wanted(detail="full", revision="A"), tmp_path / name, replace=True)
        assert path.read_bytes() == before[name], name


def test_a_draft_is_priced_anew_and_says_so(
    record: Record, catalogue: Catalogue, tmp_path: Path
) -> None:
    number = keep_golden(record)
    draft = Wanted(number=number, catalogue=lambda: catalogue, detail="short")
    path = export_files.export_csv(record, draft, tmp_path / "q.csv", bom=True)
    assert path.read_bytes().startswith(b"\xef\xbb\xbfquote,")
    book = load_workbook(export_files.export_xlsx(record, draft, tmp_path / "q.xlsx"))
    assert "Draft: not issued" in book["Summary"]["A2"].value
    with pytest.raises(NotFound, match="no issued revision A"):
        export_files.export_csv(record, replace(draft, revision="A"), tmp_path / "x.csv")
    with pytest.raises(NotFound):
        seal_quote.seal_quote(record, draft, "customer", tmp_path / "x.zip")
    with pytest.raises(NotFound, match="no such issued quote"):
        draft_quote_email(record, draft, tmp_path / "x.eml", NOW)
    assert not list(tmp_path.glob("x.*"))


@pytest.mark.parametrize(
    "changes", [{"detail": "long"}, {"paper": "A5"}, {"number": "Q-1"}, {"locale": "../x"}]
)
def test_what_is_not_there_is_named(issued: Record, tmp_path: Path, changes: dict) -> None:
    with pytest.raises(NotFound):
        export_files.export_xlsx(issued, wanted(**changes), tmp_path / "x.xlsx")
    assert not (tmp_path / "x.xlsx").exists()


def test_a_file_that_is_there_is_kept_and_a_full_disk_leaves_it(
    issued: Record, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    paths = {name: tmp_path / name for name in (*MADE, "q.zip", "q.eml")}
    acts: dict[str, Any] = {
        **{name: lambda path, make=make, **more: make(issued, wanted(), path, **more)
           for name, make in MADE.items()},
        "q.zip": lambda path, **more: seal_quote.seal_quote(
            issued, wanted(), "customer", path, **more),
        "q.eml": lambda path, **more: draft_quote_email(issued, wanted(), path, NOW, **more),
    }  # fmt: skip
    for name, path in paths.items():
        path.write_text("older")
        with pytest.raises(NotWritten, match="is there already"):
            acts[name](path)

    def full_disk(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("estimator.services.write_file.os.fsync", full_disk)
    for name, path in paths.items():
        with pytest.raises(NotWritten, match="No space left"):
            acts[name](path, replace=True)
        assert path.read_text() == "older"
    assert {one.name for one in tmp_path.iterdir() if one.name.startswith(".")} == set()


def test_a_record_that_was_tampered_with_gives_no_file(issued: Record, tmp_path: Path) -> None:
    with issued.writing() as session:
        session.connection().execute(
            sa.text("UPDATE issued_quote SET net = net + 100, contingency = contingency + 100")
        )
    with pytest.raises(NotReckoned, match="was issued at"):
        export_files.export_ubl(issued, wanted(), tmp_path / "q.xml")
    assert not (tmp_path / "q.xml").exists()


def test_a_draft_email_holds_the_quote_and_its_files(issued: Record, tmp_path: Path) -> None:
    at = datetime(2026, 11, 26, 9, tzinfo=UTC)
    made = draft_quote_email(issued, wanted(), tmp_path / "q.eml", at,
                             files=("xlsx", "xml", "ics", "csv", "xlsx"))  # fmt: skip
    message = BytesParser(policy=policy.default).parsebytes(made.path.read_bytes())
    attached = {one.get_filename(): one.get_payload(decode=True)
                for one in message.iter_attachments()}  # fmt: skip
    assert list(attached) == [f"Quote Q-2041 rev A.{one}" for one in
                              ("pdf", "xlsx", "xml", "ics", "csv")]  # fmt: skip
    assert attached["Quote Q-2041 rev A.pdf"] == the_issued(issued).pdf
    same = export_files.export_ubl(issued, wanted(), tmp_path / "q.xml").read_bytes()
    assert attached["Quote Q-2041 rev A.xml"] == same
    body = message.get_body(("plain",)).get_content()
    assert "It stands until 20 December 2026." in body
    assert "order system (UBL 2.1)" in body
    with pytest.raises(NotFound, match="'exe'"):
        draft_quote_email(issued, wanted(), tmp_path / "x.eml", at, files=("exe",))


def sealed(record: Record, path: Path, audience: str, **changes: Any) -> dict[str, bytes]:
    made = seal_quote.seal_quote(record, wanted(**changes), audience, path, replace=True)
    checked = check_package(path.read_bytes())
    assert checked.sound
    assert checked.seal == made.seal
    assert made.files == tuple(sorted(checked.contents))
    return dict(checked.contents)


def test_a_sealed_quote_for_the_customer(issued: Record, tmp_path: Path) -> None:
    files = sealed(issued, tmp_path / "c.zip", "customer")
    first = (tmp_path / "c.zip").read_bytes()
    endings = ("html", "ics", "json", "pdf", "xlsx", "xml")
    assert sorted(files) == [f"Q-2041-A.{one}" for one in endings]
    frozen = the_issued(issued)
    assert files["Q-2041-A.pdf"] == frozen.pdf
    data = json.loads(files["Q-2041-A.json"])
    assert (data["net"], data["gross"]) == (f"{frozen.net.amount}", f"{frozen.gross.amount}")
    assert data["log"]["head_when_printed"] == frozen.chain_head
    text = b"".join(files[one] for one in files if not one.endswith((".pdf", ".xlsx"))).lower()
    text = re.sub(rb"<style>.*?</style>", b"", text, flags=re.DOTALL)  # margins of boxes
    for word in (b"margin", b"markup", b"unit_cost", b"p80", b"exposed"):
        assert word not in text
    sealed(issued, tmp_path / "c.zip", "customer")
    assert (tmp_path / "c.zip").read_bytes() == first


def test_a_sealed_quote_for_the_workshop_holds_everything(issued: Record, tmp_path: Path) -> None:
    files = sealed(issued, tmp_path / "w.zip", "workshop", detail="short")
    frozen = the_issued(issued)
    inner = json.loads(files["Q-2041-A-workshop-only.json"])
    assert inner["inputs"] == json.loads(frozen.inputs)
    assert inner["figures"] == json.loads(frozen.figures)
    assert "Lines" in load_workbook(BytesIO(files["Q-2041-A.xlsx"])).sheetnames
    with pytest.raises(NotFound, match="sealed for 'press'"):
        seal_quote.seal_quote(issued, wanted(), "press", tmp_path / "x.zip")


def test_verifying_names_what_is_wrong(issued: Record, tmp_path: Path) -> None:
    path = tmp_path / "c.zip"
    files = sealed(issued, path, "customer")
    verdict = seal_quote.verify_seal(path, issued)
    assert verdict.sound
    assert verdict.title == "Q-2041 rev A"
    assert verdict.chain_head == the_issued(issued).chain_head
    assert seal_quote.verify_seal(path).against_record is None

    forged = {**files, "Q-2041-A.pdf": files["Q-2041-A.pdf"] + b" "}
    path.write_bytes(sealed_package(forged))  # with a list that fits
    alone, against = seal_quote.verify_seal(path), seal_quote.verify_seal(path, issued)
    assert alone.sound
    assert alone.seal != verdict.seal
    assert against.against_record == ("The PDF is not the one that was issued.",)

    data = json.loads(files["Q-2041-A.json"]) | {"net": "1.00"}
    path.write_bytes(sealed_package({**files, "Q-2041-A.json": json.dumps(data).encode()}))
    told = seal_quote.verify_seal(path, issued).against_record
    assert told == ("The data differ from the record: net.",)

    data |= {"quote": "Q-9999"}
    path.write_bytes(sealed_package({**files, "Q-2041-A.json": json.dumps(data).encode()}))
    told = seal_quote.verify_seal(path, issued).against_record
    assert told == ("Q-9999 has no issued revision A.",)


def test_a_changed_package_is_named_file_by_file(issued: Record, tmp_path: Path) -> None:
    path = tmp_path / "c.zip"
    sealed(issued, path, "customer")
    changed = BytesIO()
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(changed, "w") as new:
        for name in old.namelist():
            if name.endswith(".ics"):
                continue
            content = old.read(name)
            new.writestr(name, content + b" " if name.endswith(".json") else content)
        new.writestr("note.txt", b"more")
    path.write_bytes(changed.getvalue())
    verdict = seal_quote.verify_seal(path)
    assert verdict.changed == ("Q-2041-A.json",)
    assert verdict.added == ("note.txt",)
    assert verdict.missing == ("Q-2041-A.ics",)


@pytest.mark.parametrize(
    ("content", "why"),
    [(b"no zip", "no ZIP file"), (sealed_package({"q.pdf": b"x"}), "tells of no quote")],
)
def test_what_is_no_package_is_refused(tmp_path: Path, content: bytes, why: str) -> None:
    path = tmp_path / "c.zip"
    path.write_bytes(content)
    with pytest.raises(Refused) as told:
        seal_quote.verify_seal(path)
    assert why in told.value.problems[0].message
    assert told.value.problems[0].remedy
    with pytest.raises(NotFound, match="cannot be read"):
        seal_quote.verify_seal(tmp_path / "none.zip")
    with pytest.raises(NotFound, match="cannot be read"):
        seal_quote.verify_seal(tmp_path)
