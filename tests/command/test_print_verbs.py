"""Listing and printing the documents of a job without a screen."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from estimator.services.open_record import open_record
from tests.acts.workshop import keep_golden

CATALOGUE = str(Path(__file__).parent.parent / "golden" / "catalogue")


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> str:
    path = tmp_path_factory.mktemp("shop") / "record.db"
    with open_record(path, datetime(2026, 11, 25, tzinfo=UTC)) as record:
        keep_golden(record, findings=())
    return str(path)


def test_documents_are_listed(run: Callable, shop: str) -> None:
    done = run("papers", "Q-2041", "--record", shop, "--json")
    found = {one["kind"]: one for one in json.loads(done.out)}
    assert (done.code, found["budget"]["why_not"]) == (0, "")
    assert found["revision"]["why_not"]
    assert found["quote"]["for_customer"] is True
    assert "budget" in run("papers", "Q-2041", "--record", shop).out


def test_one_is_printed(run: Callable, shop: str, tmp_path: Path) -> None:
    to = tmp_path / "budget.pdf"
    words = ("print", "Q-2041", "budget", "--to", str(to), "--record", shop,
             "--catalogue", CATALOGUE, "--locale", "de-DE")  # fmt: skip
    done = run(*words)
    assert (done.code, done.out) == (0, f"Written: {to}.\n")
    assert to.read_bytes().startswith(b"%PDF")
    assert run(*words).code == 4
    assert run(*words, "--replace").code == 0


@pytest.mark.parametrize(
    ("kind", "to", "code"),
    [("memo", "a.pdf", 3), ("budget", "a.txt", 4), ("revision", "a.pdf", 8)],
)
def test_what_cannot_be_is_told(
    run: Callable, shop: str, tmp_path: Path, kind: str, to: str, code: int
) -> None:
    path = tmp_path / to
    done = run("print", "Q-2041", kind, "--to", str(path), "--record", shop,
               "--catalogue", CATALOGUE)  # fmt: skip
    assert done.code == code
    assert not path.exists()
