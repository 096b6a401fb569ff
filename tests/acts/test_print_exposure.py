"""The internal sheet as a file, whole or not at all."""

from __future__ import annotations

from pathlib import Path

import pytest

from estimator.domain.priced_job import PricedJob
from estimator.services.errors import NotFound, NotWritten
from estimator.services.print_exposure import (
    exposure_bytes,
    make_exposure_sheet,
    print_exposure,
)


def test_it_is_written_as_pdf_and_kept_unless_told(priced: PricedJob, tmp_path: Path) -> None:
    path = print_exposure(priced, tmp_path / "new folder" / "sheet.pdf")
    data = path.read_bytes()
    assert data.startswith(b"%PDF-")
    assert data == exposure_bytes(priced)
    path.write_text("older")
    with pytest.raises(NotWritten, match="is there already"):
        print_exposure(priced, path)
    assert path.read_text() == "older"
    assert print_exposure(priced, path, replace=True).read_bytes() == data


def test_looks_and_forms_are_in_it(priced: PricedJob) -> None:
    steps: list[str] = []
    sheet = make_exposure_sheet(priced, steps.append)
    assert len(sheet.looks) > 40
    assert [one.form for one in sheet.forms if one.chosen] == [priced.job.terms.commercial_form]
    assert list(dict.fromkeys(steps)) == ["open first", "commercial forms", "exposure sheet"]


def test_what_progress_raises_ends_it(priced: PricedJob) -> None:
    class Cancelled(Exception):
        pass

    def cancel(_: str) -> None:
        raise Cancelled

    with pytest.raises(Cancelled):
        make_exposure_sheet(priced, cancel)


def test_an_unknown_locale_is_refused(priced: PricedJob) -> None:
    with pytest.raises(NotFound, match="no number and date formats"):
        exposure_bytes(priced, "xx")
