"""An issued quote made again: identical, also in another process, time zone and hash seed, and its
data readable."""

from __future__ import annotations

import json
import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from estimator.domain.house_style import HouseStyle, Signature
from estimator.services.errors import NotFound
from estimator.services.house_style import keep_house_style, take_drawing
from estimator.services.issue_quote import issue_quote
from estimator.services.open_record import open_record
from estimator.services.remake_quote import remake_issued, remake_quote
from tests.acts.workshop import ESTIMATOR, MANAGER, NOW, keep_golden

ROOT = Path(__file__).parent.parent.parent
INK = (
    b'<svg xmlns="http://www.w3.org/2000/svg" width="60" height="20">'
    b'<path d="M2 18 L20 4 L40 16 L58 3" stroke="#123" fill="none"/></svg>'
)


@pytest.fixture(scope="module")
def issued(tmp_path_factory, catalogue):
    """(record's file, its number, the issue): in a house style, signed, told in full."""
    path = tmp_path_factory.mktemp("remade") / "record.db"
    with open_record(path, NOW) as record:
        mark = Signature(MANAGER.name, "service manager", take_drawing("ink.svg", INK))
        style = HouseStyle(footer=("Rebuilt well since 1987",), signatures=(mark,))
        keep_house_style(record, style, MANAGER, NOW, 0)
        number = keep_golden(record)
        one = issue_quote(
            record, number, catalogue, ESTIMATOR, MANAGER, NOW, length="full",
            adopt_why="for the test",
        )  # fmt: skip
    return path, number, one


def test_it_is_identical_in_another_process_zone_and_hash_seed(issued):
    path, number, _ = issued
    done = subprocess.run(
        [sys.executable, "-m", "estimator", "verify", "--remake", "--job", number, "--json",
         "--record", str(path)],
        cwd=ROOT, capture_output=True, text=True, check=False,
        env=os.environ | {"PYTHONPATH": str(ROOT), "TZ": "Asia/Tokyo", "PYTHONHASHSEED": "7",
                          "LANG": "de_DE.UTF-8"},
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    (one,) = json.loads(done.stdout)["remade"]
    assert (one["identical"], one["differs"]) == (True, [])
    assert one["made_with"] == one["made_with_now"]
    assert one["made_with"]["reportlab"]


def test_what_differs_is_told_with_the_versions_that_changed(issued, tmp_path):
    path, number, one = issued
    copy = tmp_path / "record.db"
    copy.write_bytes(path.read_bytes())
    inputs = json.loads(one.inputs)
    assert inputs["print"]["attached"] == [f"{number}-A.xml"]
    inputs["print"] |= {"attached": [], "made_with": {"reportlab": "1.0"}}
    with closing(sqlite3.connect(copy)) as connection:
        connection.execute("update issued_quote set inputs = ?", (json.dumps(inputs),))
        connection.commit()
    with open_record(copy, NOW) as record:
        found = remake_quote(record, number, "A")
        assert not found.identical
        assert "the attached data" in found.differs
        assert not any(part.startswith("page") for part in found.differs)
        assert found.changed_since[0].startswith("reportlab 1.0 now ")
        with pytest.raises(NotFound, match="no issued revision Z"):
            remake_quote(record, number, "Z")
        with pytest.raises(NotFound, match="issued yet"):
            list(remake_issued(record, "Q-none"))


def test_sums_that_no_longer_come_out_are_told_and_not_raised(issued, tmp_path):
    path, number, _ = issued
    copy = tmp_path / "record.db"
    copy.write_bytes(path.read_bytes())
    with closing(sqlite3.connect(copy)) as connection:
        connection.execute("update issued_quote set gross = gross + 1")
        connection.commit()
    with open_record(copy, NOW) as record:
        (said,) = remake_quote(record, number, "A").differs
    assert "was issued at" in said
