"""The record through its acts: people, jobs, issue, revise, reissue, export, verify."""

from __future__ import annotations

import io
import json
import shutil
import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from pypdf import PdfReader

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.people import Person
from estimator.domain.record import entry_hash
from estimator.services.enrol_person import enrol_person, know_person
from estimator.services.errors import Conflict, NotAllowed, NotFound, NotOpened, Refused
from estimator.services.issue_quote import issue_quote, reissue, revise_job
from estimator.services.keep_job import (
    add_findings,
    export_job,
    recorded_job,
    take_in_job,
)
from estimator.services.list_jobs import list_jobs
from estimator.services.open_record import Record, open_record
from estimator.services.price_job import price_job
from estimator.services.verify_record import job_history, verify_record
from estimator.storage.change_log import entries, head
from estimator.storage.people_record import find_person
from tests.acts.workshop import adopt_all

NOW = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
LATER = NOW + timedelta(hours=1)
GOLDEN_JOB = Path(__file__).parent.parent / "golden" / "job"
PASSPHRASE = "a long enough phrase"


@pytest.fixture
def manager(record: Record) -> Person:
    return enrol_person(record, "J. Tarn", "service manager", PASSPHRASE, None, NOW)


@pytest.fixture
def estimator(record: Record, manager: Person) -> Person:
    return enrol_person(record, "P. Holt", "estimator", PASSPHRASE, manager, NOW)


@pytest.fixture(scope="module")
def issued_file(catalogue: Catalogue, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A record with one issued quote, to be copied."""
    path = tmp_path_factory.mktemp("issued") / "record.db"
    with open_record(path, NOW) as record:
        manager = enrol_person(record, "J. Tarn", "service manager", PASSPHRASE, None, NOW)
        number = take_in_job(record, GOLDEN_JOB, catalogue, manager, NOW)
        adopt_all(record, number, catalogue, manager)
        issue_quote(record, number, catalogue, manager, manager, NOW)
    return path


@pytest.fixture
def taken(record: Record, catalogue: Catalogue, estimator: Person) -> str:
    return take_in_job(record, GOLDEN_JOB, catalogue, estimator, NOW)


def test_people_are_known_by_their_passphrase(record: Record, manager: Person) -> None:
    assert know_person(record, "j. tarn", PASSPHRASE) == manager
    for name, phrase in (("J. Tarn", "another long phrase"), ("Nobody", PASSPHRASE)):
        with pytest.raises(NotAllowed, match="do not belong together"):
            know_person(record, name, phrase)


def test_a_passphrase_is_never_kept(record: Record, manager: Person, tmp_path: Path) -> None:
    record.close()
    raw = b"".join(path.read_bytes() for path in (tmp_path / "shop").iterdir())
    assert PASSPHRASE.encode() not in raw
    assert b"$argon2id$" in raw


def test_a_passphrase_is_hashed_at_the_cost_that_rfc_9106_asks(
    record: Record, full_cost: None
) -> None:
    """Its second recommended choice (section 4): 64 MiB, three passes, four lanes."""
    person = enrol_person(record, "J. Tarn", "service manager", PASSPHRASE, None, NOW)
    with record.reading() as session:
        found = find_person(session, "J. Tarn")
    assert found is not None
    assert found[1].startswith("$argon2id$v=19$m=65536,t=3,p=4$")
    assert know_person(record, "J. Tarn", PASSPHRASE) == person


def test_enrolling_follows_the_roles(record: Record, manager: Person, estimator: Person) -> None:
    with pytest.raises(NotAllowed, match=r"P\. Holt \(estimator\) may not enrol"):
        enrol_person(record, "A. Rowe", "inspector", PASSPHRASE, estimator, NOW)
    with pytest.raises(NotAllowed, match="at least 10"):
        enrol_person(record, "A. Rowe", "inspector", "short", manager, NOW)
    with pytest.raises(Conflict):
        enrol_person(record, "p. holt", "viewer", PASSPHRASE, manager, NOW)


def test_the_first_person_must_be_a_manager(record: Record) -> None:
    with pytest.raises(NotAllowed, match="first person"):
        enrol_person(record, "P. Holt", "estimator", PASSPHRASE, None, NOW)


def test_a_job_is_taken_in_once_and_found_again(
    record: Record, catalogue: Catalogue, estimator: Person, taken: str
) -> None:
    assert [one.number for one in list_jobs(record, "ostrey", today=NOW.date())] == [taken]
    with pytest.raises(Conflict, match="already"):
        take_in_job(record, GOLDEN_JOB, catalogue, estimator, NOW)
    with pytest.raises(NotFound):
        recorded_job(record, "Q-0")


def test_new_jobs_are_numbered_without_gaps(
    record: Record, catalogue: Catalogue, estimator: Person, job_folder: Path
) -> None:
    path = job_folder / "job.toml"
    text = path.read_text(encoding="utf-8").replace('number = "Q-2041"', 'number = "new"')
    path.write_text(text, encoding="utf-8")
    numbers = [take_in_job(record, job_folder, catalogue, estimator, NOW) for _ in range(2)]
    path.write_text(text.replace("hours = 14860", "hours = -1"), encoding="utf-8")
    with pytest.raises(Refused):
        take_in_job(record, job_folder, catalogue, estimator, NOW)
    path.write_text(text, encoding="utf-8")
    numbers.append(take_in_job(record, job_folder, catalogue, estimator, NOW))
    assert numbers == ["Q-0001", "Q-0002", "Q-0003"]


def test_a_viewer_may_change_nothing(record: Record, catalogue: Catalogue, manager: Person) -> None:
    viewer = enrol_person(record, "L. Quill", "viewer", PASSPHRASE, manager, NOW)
    with pytest.raises(NotAllowed) as caught:
        take_in_job(record, GOLDEN_JOB, catalogue, viewer, NOW)
    assert caught.value.remedy == "That is for: estimator or service manager."
    assert list_jobs(record, today=NOW.date()) == []


def test_findings_are_added_by_number(
    record: Record, catalogue: Catalogue, manager: Person, taken: str, tmp_path: Path
) -> None:
    inspector = enrol_person(record, "A. Rowe", "inspector", PASSPHRASE, manager, NOW)
    (tmp_path / "findings.csv").write_text(
        "id,measure,measured,unit,result,inspector,date\n"
        "I36,M0603,53,bar,,A. Rowe,2026-11-24\n"
        "I99,V10,,,sound,A. Rowe,2026-11-24\n"
    )
    catalogue_measures = {row.id: row for row in catalogue.tables["measures"]}
    assert "M0603" in catalogue_measures
    before, _, _ = recorded_job(record, taken)
    assert add_findings(record, taken, tmp_path, catalogue, inspector, LATER) == 2
    after, _, _ = recorded_job(record, taken)
    assert len(after.findings) == len(before.findings) + 1
    assert next(one for one in after.findings if one.id == "I36").measured == 53
    (tmp_path / "findings.csv").write_text("id,measure,date\nI1,M9999,2026-11-24\n")
    with pytest.raises(Refused):
        add_findings(record, taken, tmp_path, catalogue, inspector, LATER)
    assert recorded_job(record, taken)[0] == after


def test_issue_freezes_figures_and_pdf(
    record: Record, catalogue: Catalogue, estimator: Person, manager: Person, taken: str,
    tmp_path: Path,
) -> None:  # fmt: skip
    adopt_all(record, taken, catalogue, manager)
    issued = issue_quote(record, taken, catalogue, estimator, manager, NOW)
    assert str(issued.net) == "275,946.00 GBP"
    assert '"line/P-TCK"' in issued.figures
    again = reissue(record, taken, "A", tmp_path / "again.pdf")
    assert again.read_bytes() == issued.pdf
    with pytest.raises(Conflict, match="issued already"):
        issue_quote(record, taken, catalogue, estimator, manager, LATER)
    with pytest.raises(Conflict, match="no longer changes"):
        add_findings(record, taken, GOLDEN_JOB, catalogue, estimator, LATER)
    revised = revise_job(record, taken, estimator, LATER)
    assert (revised.revision, revised.date) == ("B", LATER.date())
    second = issue_quote(record, taken, catalogue, estimator, manager, LATER)
    assert second.net == issued.net
    assert reissue(record, taken, "A", tmp_path / "a.pdf").read_bytes() == issued.pdf
    acts = [one.act for one in job_history(record, taken)]
    assert acts == ["taken in", "issued", "revised", "issued"]
    verified = verify_record(record)
    assert (verified.issued, verified.faults) == (2, ())


def test_the_print_carries_the_head_of_the_log(
    record: Record, catalogue: Catalogue, estimator: Person, manager: Person, taken: str
) -> None:
    adopt_all(record, taken, catalogue, manager)
    with record.reading() as session:
        before = head(session)
    issued = issue_quote(record, taken, catalogue, estimator, manager, NOW)
    assert issued.chain_head == before
    said = " ".join(before[start : start + 4] for start in range(0, 24, 4))
    pages = PdfReader(io.BytesIO(issued.pdf)).pages
    assert f"Record chain {said}." in " ".join(" ".join(p.extract_text().split()) for p in pages)
    log = job_history(record, taken)
    assert log[-1].previous_hash == before
    assert json.loads(log[-1].after)["chain_head"] == before


def test_a_head_that_the_log_never_had_shows(issued_file: Path, tmp_path: Path) -> None:
    """Even where log and quote agree on it, and the log is hashed anew."""
    path = Path(shutil.copy(issued_file, tmp_path / "record.db"))
    other = "ab" * 32
    with open_record(path, LATER) as record, record.reading() as session:
        log = entries(session)
    last = replace(log[-1], after=log[-1].after.replace(log[-2].hash, other))
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("update issued_quote set chain_head = ?", (other,))
        connection.execute(
            "update change_log set after = ?, hash = ? where number = ?",
            (last.after, entry_hash(last), last.number),
        )
        connection.commit()
    with open_record(path, LATER) as record:
        (fault,) = verify_record(record).faults
    assert "none of the log before its issue" in fault


def test_a_job_that_no_longer_fits_the_catalogue_is_not_issued(
    record: Record, catalogue: Catalogue, estimator: Person, manager: Person, taken: str
) -> None:
    kept = tuple(row for row in catalogue.tables["measures"] if row.id != "M0101")
    shrunk = replace(catalogue, tables={**catalogue.tables, "measures": kept})
    with pytest.raises(Refused) as caught:
        issue_quote(record, taken, shrunk, estimator, manager, NOW)
    assert [one.code for one in caught.value.problems] == ["unknown-measure"]
    assert recorded_job(record, taken)[1] == "draft"


def test_only_a_service_manager_releases(
    record: Record, catalogue: Catalogue, estimator: Person, taken: str
) -> None:
    with pytest.raises(NotAllowed, match="may not release"):
        issue_quote(record, taken, catalogue, estimator, estimator, NOW)
    assert recorded_job(record, taken)[1] == "draft"


@pytest.mark.parametrize(
    ("statement", "said"),
    [
        ("update change_log set who = 'X' where number = 2", "entry 2 was changed"),
        ("delete from change_log where number = 2", "entry 2 is missing"),
        ("update issued_quote set net = net + 1", "differ from what the log says"),
        ("update issued_quote set pdf = x'00'", "PDF is not the one"),
        ("update issued_quote set chain_head = '0'", "head it was printed with is not"),
    ],
)
def test_tampering_shows(issued_file: Path, tmp_path: Path, statement: str, said: str) -> None:
    path = Path(shutil.copy(issued_file, tmp_path / "record.db"))
    with open_record(path, LATER) as record:
        assert verify_record(record).faults == ()
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(statement)
        connection.commit()
    with open_record(path, LATER) as record:
        assert any(said in fault for fault in verify_record(record).faults)


def test_an_exported_job_prices_the_same(
    record: Record, catalogue: Catalogue, taken: str, tmp_path: Path
) -> None:
    folder = export_job(record, taken, tmp_path / "out")
    priced = price_job(folder, catalogue)
    assert str(priced.price.net) == "275,946.00 GBP"


def test_a_file_that_is_no_record_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "no.db"
    path.write_text("hello " * 400)
    with pytest.raises(NotOpened, match="is no record"), open_record(path, NOW):
        pass
    assert path.read_text() == "hello " * 400
