"""A process that is killed while it edits loses nothing it was told is kept."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from pathlib import Path

import pytest

from estimator.services.edit_job import edits_of, open_draft, undo_edit
from estimator.services.list_jobs import find_anywhere
from estimator.services.open_record import examine_record, open_record
from estimator.services.verify_record import verify_record
from tests.acts.workshop import ESTIMATOR, LATER, NOW, golden_job, keep_golden

ROOT = Path(__file__).parent.parent.parent
SCRIPT = Path(__file__).with_name("edit_until_killed.py")
ALL = 200
KILLS = 2


def run_and_kill(path: Path, number: str, first: int, draw: random.Random, last: bool) -> list[int]:
    """Edits the process confirmed, from `first` on, before it was killed at a random moment."""
    command = [sys.executable, str(SCRIPT), str(path), number, str(first)]
    confirmed = []
    stop_after = draw.randint(5, ALL // (KILLS + 1))
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, text=True, cwd=ROOT, env={"PYTHONPATH": str(ROOT)}
    ) as process:
        assert process.stdout is not None
        for line in process.stdout:
            confirmed.append(int(line))
            if not last and len(confirmed) == stop_after:
                time.sleep(draw.uniform(0, 0.02))  # anywhere within the edits that follow
                process.kill()
            if confirmed[-1] == ALL - 1:
                process.kill()
    return confirmed


@pytest.mark.skipif(sys.platform == "win32", reason="a kill there is another thing")
def test_two_hundred_edits_and_random_kills_lose_nothing(tmp_path: Path) -> None:
    draw = random.Random(20411)
    path = tmp_path / "record.db"
    with open_record(path, NOW) as record:
        number = keep_golden(record, findings=golden_job().findings[:30])
        before = open_draft(record, number).job
    next_edit = 0
    for attempt in range(KILLS + 1):
        confirmed = run_and_kill(path, number, next_edit, draw, attempt == KILLS)
        assert confirmed == list(range(next_edit, next_edit + len(confirmed)))
        with open_record(path, LATER) as record:
            names = [step.name for step in edits_of(record, number)]
            kept = [int(name.split()[1]) for name in names]
            job = open_draft(record, number).job
            faults = verify_record(record).faults
        # all that was confirmed, in order; and at most the one that was under way
        assert kept == list(range(len(kept)))
        assert len(kept) - (confirmed[-1] + 1) in (0, 1)
        assert job.note == f"edit {kept[-1]}" == job.findings[kept[-1] % 20].note
        assert faults == ()
        next_edit = len(kept)
    with open_record(path, LATER) as record:
        assert examine_record(record) == ()
        assert next_edit >= ALL
        assert find_anywhere(record, f"edit {next_edit - 1}")
        for _ in range(40):
            draft = undo_edit(record, number, ESTIMATOR, LATER)
        assert draft.job.note == f"edit {next_edit - 41}"
        assert draft.undo == draft.job.note
        assert draft.job.findings[20:] == before.findings[20:]
