"""The papers of inspection and workshop from the record, without a screen."""

from __future__ import annotations

import io
from datetime import UTC, datetime
from pathlib import Path

import pytest
import sqlalchemy as sa
from PIL import Image

from estimator.command.main import main
from estimator.services import photographs
from estimator.services.errors import NotFound
from estimator.services.open_record import open_record
from estimator.services.paper_kinds import Source
from estimator.services.print_papers import paper_of
from estimator.services.workshop_papers import WORKSHOP_PAPERS, card_trades, outwork_suppliers
from estimator.storage.photograph_record import PHOTOGRAPHS
from tests.acts.contracts import accept_golden
from tests.acts.workshop import INSPECTOR, NOW, keep_golden
from tests.documents.read_back import read_back


def jpeg() -> bytes:
    out = io.BytesIO()
    Image.effect_noise((320, 240), 60).convert("RGB").save(out, "JPEG")
    return out.getvalue()


@pytest.fixture
def record(tmp_path: Path):
    with open_record(tmp_path / "record.db", datetime(2026, 11, 25, tzinfo=UTC)) as found:
        yield found


def first_of(record, number, kind, catalogue) -> str:
    source = Source(record, number, lambda: catalogue)
    chosen = {"outwork": outwork_suppliers, "job-card": card_trades}.get(kind)
    return chosen(source)[0][0] if chosen else ""


@pytest.mark.parametrize("kind", [one.key for one in WORKSHOP_PAPERS])
def test_every_kind_is_made_and_made_again_the_same(record, catalogue, kind):
    number = keep_golden(record)
    which = first_of(record, number, kind, catalogue)
    made = [paper_of(record, number, kind, catalogue=lambda: catalogue, which=which)
            for _ in range(2)]  # fmt: skip
    assert made[0] == made[1]
    assert read_back(made[0]).pages


@pytest.mark.parametrize("kind", ["outwork", "job-card"])
def test_what_there_is_to_choose_is_named(record, catalogue, kind):
    number = keep_golden(record)
    for which in ("", "nobody"):
        with pytest.raises(NotFound) as told:
            paper_of(record, number, kind, catalogue=lambda: catalogue, which=which)
        assert first_of(record, number, kind, catalogue) in str(told.value.remedy)


def test_the_card_of_an_accepted_job_may_begin(record, catalogue):
    number = accept_golden(record, catalogue)
    text = read_back(
        paper_of(record, number, "job-card", catalogue=lambda: catalogue, which="HF")
    ).text
    assert "This work is not ordered" not in text


def test_photographs_that_are_gone_or_damaged_are_said(record, catalogue):
    number = keep_golden(record)
    for _ in range(3):
        photographs.add_photograph(record, number, "I09", "bore 4.jpg", jpeg(), INSPECTOR, NOW)
    before = {one.name for one in photographs.photographs_of(record, number, "I09")}
    first, second, third = sorted(before)
    with record.writing() as session:
        where = PHOTOGRAPHS.c.name
        session.connection().execute(sa.update(PHOTOGRAPHS).where(where == first).values(image=b""))
        session.connection().execute(
            sa.update(PHOTOGRAPHS).where(where == second).values(image=jpeg()[:400])
        )
    found = read_back(paper_of(record, number, "inspection-report", catalogue=lambda: catalogue))
    assert f"{first}: the picture is not in the record" in found.text
    assert f"{second}: the picture is damaged and cannot be shown" in found.text
    assert f"{third}: bore 4" in found.text
    assert sum(len(page.images) for page in found.reader.pages) == 1


def test_a_blank_sheet_is_printed_without_a_job(tmp_path, capsys):
    to = tmp_path / "sheet.pdf"
    assert main(["print-inspection-sheet", "CE36", str(to)]) == 0
    assert "Inspection sheet" in read_back(to.read_bytes()).text
    assert main(["print-inspection-sheet", "CE36", str(to)]) == 4
    assert main(["print-inspection-sheet", "none", str(to), "--replace"]) == 3
    assert "WL28" in capsys.readouterr().err
