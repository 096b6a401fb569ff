"""What disks, rights and other programs do to the record: each is said in its own plain words."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import replace
from pathlib import Path

import pytest

from estimator.services.edit_job import make_edit, open_draft
from estimator.services.errors import Conflict, NotOpened, NotWritten, ServiceError
from estimator.services.open_record import examine_record, open_record, record_at
from estimator.storage import database as storage
from tests.acts.workshop import ESTIMATOR, LATER, NOW, edited, keep_golden

ROOT = Path(__file__).parent.parent.parent


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A record with one job, closed."""
    path = tmp_path / "shop" / "record.db"
    with open_record(path, NOW) as record:
        keep_golden(record)
    return path


def note(record: object, text: str) -> None:
    edit = edited(record, "Q-2041", "note", lambda job: replace(job, note=text))
    make_edit(record, "Q-2041", edit, ESTIMATOR, LATER)


def test_a_full_disk_saves_nothing_and_says_so(path: Path) -> None:
    with open_record(path, LATER) as record:
        note(record, "before")
        with record.database.engine.connect() as connection:  # the pool hands out this one again
            pages = connection.exec_driver_sql("pragma page_count").scalar()
            connection.exec_driver_sql(f"pragma max_page_count = {pages}")
        with pytest.raises(NotWritten) as caught:
            note(record, "after " * 50_000)
        assert caught.value.message == "Not saved: the disk is full."
        assert open_draft(record, "Q-2041").job.note == "before"
        with record.database.engine.connect() as connection:
            connection.exec_driver_sql("pragma max_page_count = 1000000")
        note(record, "after")  # there is room again
        assert open_draft(record, "Q-2041").job.note == "after"
        assert examine_record(record) == ()


@pytest.mark.skipif(sys.platform == "win32", reason="limits of a process are another thing there")
def test_a_write_that_fails_half_way_leaves_the_record_whole(path: Path) -> None:
    """A process that may not let files grow, as where a quota is used up."""
    size = path.stat().st_size
    script = (
        "import resource\n"
        "from pathlib import Path\n"
        "from estimator.services.errors import ServiceError\n"
        "from estimator.services.open_record import open_record\n"
        "from tests.acts.test_damage import note\n"
        "from tests.acts.workshop import LATER\n"
        f"with open_record(Path({str(path)!r}), LATER) as record:\n"
        f"    resource.setrlimit(resource.RLIMIT_FSIZE, ({size}, {size}))\n"
        "    try:\n"
        "        note(record, 'after ' * 200_000)\n"
        "    except ServiceError as error:\n"
        "        print(type(error).__name__, error.message)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=False, cwd=ROOT,
        env={"PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert done.stdout.startswith("NotWritten Not saved: "), done.stderr
    with open_record(path, LATER) as record:
        assert open_draft(record, "Q-2041").job.note == ""
        assert examine_record(record) == ()


@contextmanager
def without_the_right_to_write(path: Path) -> Iterator[None]:
    path.chmod(0o444)
    path.parent.chmod(0o555)
    try:
        yield
    finally:
        path.parent.chmod(0o755)
        path.chmod(0o644)


@pytest.mark.skipif(sys.platform == "win32", reason="rights are another thing there")
def test_a_read_only_folder_is_said(path: Path) -> None:
    script = (
        "import os, sys\n"
        "from pathlib import Path\n"
        "from estimator.services.errors import ServiceError\n"
        "from estimator.services.open_record import open_record\n"
        "from tests.acts.test_damage import note\n"
        "from tests.acts.workshop import LATER\n"
        "if os.getuid() == 0:\n"
        "    os.setuid(65534)\n"  # to whom everything is allowed, nothing is read-only
        "try:\n"
        f"    with open_record(Path({str(path)!r}), LATER) as record:\n"
        "        note(record, 'after')\n"
        "except ServiceError as error:\n"
        "    print(type(error).__name__, error.message)\n"
    )
    for folder in path.parents:  # the other user must come as far as the folder
        if os.getuid() == 0 and folder.owner() == "root" and folder.parent != folder:
            folder.chmod(folder.stat().st_mode | 0o055)
    with without_the_right_to_write(path):
        done = subprocess.run(
            [sys.executable, "-c", script], capture_output=True, text=True, check=False, cwd=ROOT,
            env={"PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"},
        )  # fmt: skip
    assert done.stdout.startswith("Not"), done.stderr
    assert "read-only" in done.stdout or "cannot be opened" in done.stdout
    with open_record(path, LATER) as record:
        assert open_draft(record, "Q-2041").job.note == ""


def test_a_second_instance_that_writes_is_waited_for(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(storage, "WAIT_SECONDS", 0.1)
    with open_record(path, LATER) as record, closing(sqlite3.connect(path)) as other:
        other.isolation_level = None
        other.execute("begin immediate")
        with pytest.raises(Conflict) as caught:
            note(record, "mine")
        assert caught.value.message == "Another program is writing to the record."
        assert open_draft(record, "Q-2041").job.note == ""  # reading goes on
        other.execute("rollback")
        note(record, "mine")
        assert open_draft(record, "Q-2041").job.note == "mine"


def test_two_instances_take_turns(path: Path) -> None:
    failures: list[BaseException] = []

    def write(code: str) -> None:
        try:
            with open_record(path, LATER) as record:
                for count in range(10):
                    edit = edited(
                        record, "Q-2041", "note",
                        lambda job, count=count: replace(job, findings=tuple(
                            replace(f, note=f"{code} {count}") if f.id == code else f
                            for f in job.findings)),
                    )  # fmt: skip
                    make_edit(record, "Q-2041", edit, ESTIMATOR, LATER)
        except BaseException as error:
            failures.append(error)

    threads = [threading.Thread(target=write, args=(code,)) for code in ("I03", "I04")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failures == []
    with open_record(path, LATER) as record:
        notes = {f.id: f.note for f in open_draft(record, "Q-2041").job.findings}
        assert (notes["I03"], notes["I04"]) == ("I03 9", "I04 9")
        assert open_draft(record, "Q-2041").version == 21


def flip(path: Path, at: int) -> None:
    data = bytearray(path.read_bytes())
    data[at] ^= 0xFF
    path.write_bytes(data)


@pytest.mark.parametrize(
    ("at", "said"),
    [
        (3, "is no record: it is not a database"),
        (100, "is damaged"),  # kind of the first page
        (103, "is damaged"),  # number of its cells
    ],
)
def test_a_flipped_byte_in_the_head_is_noticed_at_once(path: Path, at: int, said: str) -> None:
    flip(path, at)
    before = path.read_bytes()
    with pytest.raises(NotOpened, match=said):
        record_at(path, LATER)
    assert path.read_bytes() == before


def test_a_flipped_byte_further_in_is_found_by_examining(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        (root,) = connection.execute(
            "select rootpage from sqlite_master where name = 'finding'"
        ).fetchone()
        (size,) = connection.execute("pragma page_size").fetchone()
    flip(path, (root - 1) * size)
    with open_record(path, LATER) as record:
        assert examine_record(record) != ()
        with pytest.raises(ServiceError) as caught:
            open_draft(record, "Q-2041")
        assert isinstance(caught.value, NotOpened)
        assert caught.value.message.startswith("The record is damaged")
        with pytest.raises(ServiceError, match="damaged"):
            note(record, "more")


def test_no_flipped_byte_brings_a_traceback(path: Path) -> None:
    """Either nothing is noticed, or it is said as a service says things."""
    whole = path.read_bytes()
    said = 0
    for at in [*range(16, 110, 7), *range(200, len(whole), len(whole) // 60)]:
        path.write_bytes(whole)
        for rest in path.parent.glob("record.db-*"):
            rest.unlink()
        flip(path, at)
        try:
            with open_record(path, LATER) as record:
                examine_record(record)
                open_draft(record, "Q-2041")
        except ServiceError as error:
            assert error.message
            assert error.remedy
            said += 1
    assert said > 5


def test_a_newer_record_and_a_place_that_is_none(path: Path, tmp_path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("update alembic_version set version_num = '9999'")
        connection.commit()
    with pytest.raises(NotOpened, match="newer version of this program") as caught:
        record_at(path, LATER)
    assert caught.value.remedy == "Use that version; the record was left as it is."
    with pytest.raises(NotOpened, match="cannot be opened"):
        record_at(tmp_path, LATER)  # a folder
    (tmp_path / "file").write_text("")
    with pytest.raises(NotOpened, match="cannot be made"):
        record_at(tmp_path / "file" / "record.db", LATER)
