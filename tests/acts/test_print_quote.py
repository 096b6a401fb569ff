"""Writing the quote: whole or not at all."""

from __future__ import annotations

from pathlib import Path

import pytest

from estimator.domain.priced_job import PricedJob
from estimator.domain.quote import Quote
from estimator.services import print_quote as printing
from estimator.services.errors import NotWritten


@pytest.fixture(scope="module")
def quote(priced: PricedJob) -> Quote:
    return printing.make_quote(priced)


def test_the_quote_is_written_as_pdf(quote: Quote, tmp_path: Path) -> None:
    path = printing.print_quote(quote, tmp_path / "new folder" / "quote.pdf")
    assert path.read_bytes().startswith(b"%PDF-")
    assert [one.name for one in path.parent.iterdir()] == ["quote.pdf"]


def test_a_file_that_is_there_is_kept_unless_told(quote: Quote, tmp_path: Path) -> None:
    path = tmp_path / "quote.pdf"
    path.write_text("older")
    with pytest.raises(NotWritten, match="is there already"):
        printing.print_quote(quote, path)
    assert path.read_text() == "older"
    printing.print_quote(quote, path, replace=True)
    assert path.read_bytes().startswith(b"%PDF-")


def test_a_failed_write_leaves_what_was_there(
    quote: Quote, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "quote.pdf"
    path.write_text("older")

    def full_disk(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("estimator.services.write_file.os.fsync", full_disk)
    with pytest.raises(NotWritten, match="No space left"):
        printing.print_quote(quote, path, replace=True)
    assert path.read_text() == "older"
    assert [one.name for one in tmp_path.iterdir()] == ["quote.pdf"]


def test_a_place_that_is_no_folder_is_refused(quote: Quote, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(NotWritten, match="cannot be written"):
        printing.print_quote(quote, tmp_path / "file" / "quote.pdf")
