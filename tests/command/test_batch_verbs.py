"""Documents of many jobs in one go, without a screen."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from estimator.services import print_batch
from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_record import open_record
from estimator.services.print_papers import paper_of
from tests.acts.contracts import issue_golden

GOLDEN = Path(__file__).parent.parent / "golden"


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> str:
    path = tmp_path_factory.mktemp("shop") / "record.db"
    with open_record(path, datetime(2026, 11, 25, tzinfo=UTC)) as record:
        issue_golden(record, open_catalogue(GOLDEN / "catalogue"))
    return str(path)


def test_one_that_fails_does_not_stop_the_others(run: Callable, shop: str, tmp_path: Path) -> None:
    to = tmp_path / "papers"
    words = ("print-batch", "Q-9", "Q-2041", "--papers", "revision,parts,outwork", "--to", str(to),
             "--locale", "de-DE", "--record", shop, "--json")  # fmt: skip
    done = run(*words)
    assert done.code == 10
    data = json.loads(done.out)
    states = [(one["job"], one["kind"], one["state"]) for one in data["papers"]]
    assert states[:4] == [
        ("Q-9", "revision", "failed"),
        ("Q-9", "parts", "failed"),
        ("Q-9", "outwork", "failed"),
        ("Q-2041", "revision", "failed"),
    ]
    assert data["papers"][0]["error"] == "not-found"
    assert "No revision was issued before it." in data["papers"][3]["message"]
    rest = data["papers"][4:]
    assert {one["state"] for one in rest} == {"written"}
    # one request to each supplier, each by a name of its own
    assert [one["kind"] for one in rest] == ["parts", *["outwork"] * (len(rest) - 1)]
    assert len(rest) > 2
    assert (to / "Q-2041-A-parts-de_DE.pdf").exists()
    assert sorted(map(str, to.iterdir())) == sorted(one["pdf"] for one in rest)
    for one in rest:
        first = PdfReader(BytesIO(Path(one["pdf"]).read_bytes())).pages[0].extract_text()
        assert "Q-2041" in first
    assert (data["written"], data["kept"], data["failed"]) == (len(rest), 0, 4)


def test_what_is_there_is_kept_unless_replaced(run: Callable, shop: str, tmp_path: Path) -> None:
    words = ("print-batch", "Q-2041", "Q-2041", "--papers", "parts, parts", "--to", str(tmp_path),
             "--record", shop, "--paper", "Letter")  # fmt: skip
    path = tmp_path / "Q-2041-A-parts-en_GB-Letter.pdf"
    done = run(*words)
    assert (done.code, done.out) == (0, f"Written: {path}\n1 written, 0 kept, 0 failed.\n")
    with open_record(Path(shop), datetime(2026, 11, 26, tzinfo=UTC)) as record:
        assert path.read_bytes() == paper_of(record, "Q-2041", "parts", paper="Letter")
    path.write_bytes(b"mine")
    done = run(*words)
    assert (done.code, done.out.split(":")[0]) == (0, "Kept")
    assert path.read_bytes() == b"mine"
    assert run(*words, "--replace").code == 0
    assert path.read_bytes().startswith(b"%PDF")


def test_what_is_asked_wrongly_is_told_before_anything_is_written(
    run: Callable, shop: str, tmp_path: Path
) -> None:
    start = ("print-batch", "Q-2041", "--record", shop)
    to = ("--to", str(tmp_path / "out"))
    assert run(*start, *to, "--papers", "parts,nonsense").code == 3
    assert run(*start, *to, "--papers", "parts", "--locale", "xx_XX").code == 3
    (tmp_path / "file").write_text("here")
    assert run(*start, "--papers", "parts", "--to", str(tmp_path / "file")).code == 4
    assert not (tmp_path / "out").exists()


def test_an_error_nobody_foresaw_ends_one_document(
    run: Callable, shop: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = print_batch.made_of

    def breaks(source: object, kind: print_batch.PaperKind) -> bytes:
        if kind.key == "parts":
            raise ZeroDivisionError
        return made(source, kind)  # type: ignore[arg-type]

    monkeypatch.setattr(print_batch, "made_of", breaks)
    monkeypatch.setattr(print_batch, "note_unexpected", lambda error: type(error).__name__)
    done = run("print-batch", "Q-2041", "--papers", "parts,inspection-sheet", "--to",
               str(tmp_path), "--record", shop)  # fmt: skip
    assert done.code == 10
    assert "Failed: Q-2041 parts: ZeroDivisionError" in done.out
    assert "1 written, 0 kept, 1 failed." in done.out
