"""Records written by earlier schemas open with nothing lost: one kept for each schema."""

from __future__ import annotations

import gzip
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from estimator.domain.job_edit import edit_between
from estimator.domain.money import Money
from estimator.services.edit_job import make_edit, open_draft, undo_edit
from estimator.services.enrol_person import know_person
from estimator.services.issue_quote import reissue
from estimator.services.open_record import open_record
from estimator.services.verify_record import verify_record
from estimator.storage.job_record import issued_quotes

pytestmark = pytest.mark.usefixtures("real_migrations")
NOW = datetime(2026, 12, 1, 8, 0, tzinfo=UTC)
OLD = sorted(Path(__file__).parent.glob("*.db.gz"))


@pytest.fixture(params=OLD, ids=lambda path: path.name)
def old(request, tmp_path):
    """An old record, unpacked."""
    path = tmp_path / "record.db"
    path.write_bytes(gzip.decompress(request.param.read_bytes()))
    return path


def test_there_is_one():
    assert OLD


def test_an_old_record_is_brought_up_with_a_backup_and_nothing_lost(old, tmp_path):
    with open_record(old, NOW) as record:
        assert record.backup is not None
        assert record.backup.exists()
        assert verify_record(record).faults == ()
        draft = open_draft(record, "Q-2041")
        assert (draft.job.revision, draft.state) == ("B", "draft")
        assert len(draft.job.findings) == 84
        with record.reading() as session:
            issued = issued_quotes(session, "Q-2041")
        assert [(one.revision, one.net) for one in issued] == [("A", Money(27594600, "GBP"))]
        printed = reissue(record, "Q-2041", "A", tmp_path / "again.pdf")
        assert printed.read_bytes() == issued[0].pdf


def test_work_goes_on_in_an_old_record(old):
    with open_record(old, NOW) as record:
        who = know_person(record, "P. Holt", "a long enough one")
        job = open_draft(record, "Q-2041").job
        noisy = replace(job, note="wants it back before the spring")
        make_edit(record, "Q-2041", edit_between(job, noisy, "note"), who, NOW)
        assert open_draft(record, "Q-2041").job == noisy
        undo_edit(record, "Q-2041", who, NOW)
        assert open_draft(record, "Q-2041").job == job
        assert verify_record(record).faults == ()
    with open_record(old, NOW) as record:
        assert record.backup is None
