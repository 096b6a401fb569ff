"""Photographs of findings: put in, taken out, undone; refused in plain words."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import Image

from estimator.services.edit_job import open_draft, redo_edit, undo_edit
from estimator.services.errors import NotAllowed, NotFound, Refused
from estimator.services.list_jobs import find_anywhere
from estimator.services.open_record import Record, open_record
from estimator.services.photographs import (
    add_photograph,
    photographs_of,
    picture_of,
    remove_photograph,
    write_caption,
)
from tests.acts.workshop import ESTIMATOR, INSPECTOR, LATER, NOW, VIEWER, keep_golden


def picture(colour: str = "red", size: tuple[int, int] = (400, 300)) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", size, colour).save(out, "PNG")
    return out.getvalue()


@pytest.fixture
def number(record: Record) -> str:
    return keep_golden(record)


def names(record: Record, number: str) -> list[str]:
    return [one.name for one in photographs_of(record, number)]


def test_a_photograph_is_an_edit_of_its_finding(record: Record, number: str) -> None:
    for name in ("C:\\pictures\\crank case.JPG", "=SUM(1)\u202e.png"):
        draft = add_photograph(record, number, "I03", name, picture(), INSPECTOR, NOW)
    assert draft.undo == "photograph of I03"
    assert next(f for f in draft.job.findings if f.id == "I03").photo == ("I03-1", "I03-2")
    first, second = photographs_of(record, number, "I03")
    assert (first.caption, second.caption) == ("crank case", "=SUM(1)")
    assert (first.width, first.height) == (400, 300)
    assert Image.open(io.BytesIO(picture_of(record, first))).format == "JPEG"
    assert Image.open(io.BytesIO(first.thumbnail)).size == (256, 192)
    assert names(record, number) == ["I03-1", "I03-2"]
    assert photographs_of(record, number, "I04") == []


def test_taking_out_and_undoing(record: Record, number: str) -> None:
    for _ in range(2):
        add_photograph(record, number, "I03", "a.png", picture(), INSPECTOR, NOW)
    remove_photograph(record, number, "I03", "I03-1", INSPECTOR, NOW)
    assert names(record, number) == ["I03-2"]
    undo_edit(record, number, INSPECTOR, NOW)
    assert names(record, number) == ["I03-1", "I03-2"]
    undo_edit(record, number, INSPECTOR, NOW)
    assert names(record, number) == ["I03-1"]
    redo_edit(record, number, INSPECTOR, NOW)
    assert names(record, number) == ["I03-1", "I03-2"]
    remove_photograph(record, number, "I03", "I03-2", INSPECTOR, NOW)
    add_photograph(record, number, "I03", "a.png", picture(), INSPECTOR, NOW)
    assert names(record, number) == ["I03-1", "I03-3"]  # a name is never given twice
    with pytest.raises(NotFound):
        remove_photograph(record, number, "I03", "I03-2", INSPECTOR, NOW)


def test_a_caption_is_found(record: Record, number: str) -> None:
    add_photograph(record, number, "I03", "a.png", picture(), INSPECTOR, NOW)
    write_caption(record, number, "I03", "I03-1", "Zylinderkopf gerissen", INSPECTOR, LATER)
    (hit,) = find_anywhere(record, "zylinderk geris")
    assert (hit.kind, hit.number, hit.place) == ("photograph", number, "I03")
    assert hit.words == "I03-1 Zylinderkopf gerissen"
    remove_photograph(record, number, "I03", "I03-1", INSPECTOR, LATER)
    assert find_anywhere(record, "zylinderk") == []
    undo_edit(record, number, INSPECTOR, LATER)
    assert len(find_anywhere(record, "zylinderk")) == 1
    with pytest.raises(Refused):
        write_caption(record, number, "I03", "I03-1", "a\0b", INSPECTOR, LATER)
    with pytest.raises(Refused):
        write_caption(record, number, "I03", "I03-1", "x" * 201, INSPECTOR, LATER)


def test_what_is_no_photograph_leaves_nothing(record: Record, number: str) -> None:
    before = open_draft(record, number)
    with pytest.raises(Refused) as caught:
        add_photograph(record, number, "I03", "notes.jpg", b"no picture", INSPECTOR, NOW)
    (fault,) = caught.value.problems
    assert str(fault) == (
        "notes.jpg: it is no image of a kind that can be read. Choose another picture."
    )
    with pytest.raises(NotFound, match="has no finding 'I98'"):
        add_photograph(record, number, "I98", "a.png", picture(), INSPECTOR, NOW)
    with pytest.raises(NotAllowed):
        add_photograph(record, number, "I03", "a.png", picture(), VIEWER, NOW)
    assert open_draft(record, number) == before
    assert names(record, number) == []


def test_photographs_survive_a_restart(tmp_path: Path) -> None:
    path = tmp_path / "record.db"
    with open_record(path, NOW) as record:
        number = keep_golden(record)
        add_photograph(record, number, "I03", "a.png", picture("blue"), ESTIMATOR, NOW)
        before = photographs_of(record, number)
    with open_record(path, LATER) as record:
        assert photographs_of(record, number) == before
