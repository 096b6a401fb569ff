"""Print a job's exposure for the workshop itself, and put it where the user wants it."""

from __future__ import annotations

from pathlib import Path

from estimator.documents.internal.exposure_sheet import exposure_pdf
from estimator.domain.exposure_sheet import ExposureSheet, SheetLook, build_exposure_sheet
from estimator.domain.in_language import in_language
from estimator.domain.language import language_of
from estimator.domain.priced_job import PricedJob, Progress
from estimator.domain.wording import worded
from estimator.services.errors import NotWritten
from estimator.services.price_job import quiet
from estimator.services.print_quote import known_locale
from estimator.services.show_forms import show_forms
from estimator.services.show_open_first import LookRow, show_open_first
from estimator.services.write_file import write_whole


def make_exposure_sheet(priced: PricedJob, progress: Progress = quiet) -> ExposureSheet:
    """All of a priced job's exposure: with the looks still possible, which take some seconds, and
    the commercial forms. `progress` is told each step; what it raises passes through."""

    def looked(_done: int, _of: int) -> None:
        progress("open first")

    looks = show_open_first(priced, looked).rows
    progress("commercial forms")
    forms = show_forms(priced)
    progress("exposure sheet")
    return build_exposure_sheet(priced, map(_look, looks), forms)


def _look(row: LookRow) -> SheetLook:
    return SheetLook(
        id=row.id,
        kind=row.kind,
        name=row.name,
        on=row.on,
        cost=row.cost,
        hours=row.hours,
        days=row.days,
        detects=row.detects,
        fall=row.fall,
        changes_disposition=row.changes_disposition,
        changes_decision=row.changes_decision,
        cautions=tuple(caution.hazard for caution in row.cautions),
        added=row.added,
    )


def exposure_bytes(priced: PricedJob, locale: str = "en_GB", progress: Progress = quiet) -> bytes:
    """The internal sheet as PDF: the same job gives the same bytes. Raises NotFound for a locale
    whose formats are not known."""
    known = known_locale(locale)
    sheet = make_exposure_sheet(in_language(priced, language_of(known)), progress)
    progress("print")
    return exposure_pdf(sheet, known)


def print_exposure(
    priced: PricedJob,
    path: Path,
    *,
    locale: str = "en_GB",
    replace: bool = False,
    progress: Progress = quiet,
) -> Path:
    """Write the internal sheet as PDF to `path` and return the path. Raises NotFound, NotWritten.

    A file that exists is kept unless `replace` is true; none is left half-written.
    """
    if path.exists() and not replace:
        raise NotWritten(
            worded("{path} is there already.", path=str(path)),
            worded("Choose another name, or say --replace."),
        )
    return write_whole(path, exposure_bytes(priced, locale, progress))
