"""A file as text, or plainly why it is none."""

from __future__ import annotations

from pathlib import Path

import pytest

from estimator.intake import text_file
from estimator.intake.text_file import read_text


def fault_of(path: Path) -> tuple[str, str]:
    text, problems = read_text(path)
    assert text == ""
    assert len(problems) == 1
    assert problems[0].place.file == path.name
    return problems[0].code, str(problems[0])


def test_plain_text_is_read_and_its_byte_order_mark_dropped(tmp_path):
    path = tmp_path / "a.csv"
    path.write_bytes(b"\xef\xbb\xbfid,name\r\n\xc3\xa9,\xe2\x82\xac\r\n")
    assert read_text(path) == ("id,name\r\né,€\r\n", [])


def test_an_empty_file_is_empty_text(tmp_path):
    path = tmp_path / "a.csv"
    path.write_bytes(b"")
    assert read_text(path) == ("", [])


def test_a_missing_file_says_where_it_was_looked_for(tmp_path):
    code, text = fault_of(tmp_path / "lost.csv")
    assert code == "file-missing"
    assert str(tmp_path / "lost.csv") in text


def test_a_folder_in_the_place_of_a_file_is_said(tmp_path):
    (tmp_path / "a.csv").mkdir()
    assert fault_of(tmp_path / "a.csv")[0] == "file-unreadable"


def test_a_file_within_a_file_is_said(tmp_path):
    (tmp_path / "a").write_text("x")
    _, problems = read_text(tmp_path / "a" / "b.csv")
    assert [one.code for one in problems] == ["file-unreadable"]


@pytest.mark.parametrize(
    "raw",
    [
        b"id\x00name",
        "id,name\n".encode("utf-16"),
        "id,name\n".encode("utf-32"),
        b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR",
        b"PK\x03\x04\x14\x00\x06\x00",
    ],
    ids=["nul", "utf-16", "utf-32", "image", "spreadsheet"],
)
def test_what_is_no_text_is_said_with_what_to_save_it_as(tmp_path, raw):
    path = tmp_path / "a.csv"
    path.write_bytes(raw)
    code, text = fault_of(path)
    assert code == "not-text"
    assert "UTF-8" in text


@pytest.mark.parametrize(
    "raw", [b"id\nJos\xe9\n", b"id\n\xff\xd8\xff\xe0\n", b"id\n\xed\xa0\x80\n", b"id\n\x80"]
)
def test_another_encoding_is_said_with_its_line(tmp_path, raw):
    path = tmp_path / "a.csv"
    path.write_bytes(raw)
    _, problems = read_text(path)
    assert problems[0].code == "not-utf8"
    assert problems[0].place.row == 2


def test_a_file_too_large_is_not_read(tmp_path, monkeypatch):
    monkeypatch.setattr(text_file, "LARGEST_FILE", 100)
    path = tmp_path / "a.csv"
    path.write_bytes(b"x" * 101)
    assert fault_of(path)[0] == "file-too-large"
    path.write_bytes(b"x" * 100)
    assert read_text(path)[1] == []
