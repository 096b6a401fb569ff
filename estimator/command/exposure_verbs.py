"""The verbs of a job's exposure: told or as data, and printed for the workshop itself."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from estimator.command.answer import Options, answer, progress
from estimator.command.job_verb import job_verb, priced_job
from estimator.services.errors import NotWritten


def add_to(verbs: Any) -> None:
    """Add the verbs to the command line."""
    job_verb(
        verbs,
        "exposure",
        show_exposure,
        "what may be found worn, and the contingency; with --json every input and result",
    )
    printing = job_verb(
        verbs, "print-exposure", print_exposure, "write the internal sheet of a job's exposure"
    )
    printing.add_argument("to", type=Path, metavar="FILE", help="PDF to write")
    printing.add_argument("--replace", action="store_true", help="replace a file that is there")
    printing.add_argument("--locale", default="en_GB", help="how numbers and dates are written")


def show_exposure(options: Options) -> None:
    """What may be found worn."""
    from estimator.command.exposure_data import exposure_data
    from estimator.command.exposure_text import exposure_text

    priced = priced_job(options)
    if not options.json:
        print(exposure_text(priced))
        return
    from estimator.services.print_exposure import make_exposure_sheet

    answer(options, exposure_data(make_exposure_sheet(priced, progress(options))), "")


def print_exposure(options: Options) -> None:
    """Write the internal sheet."""
    from estimator.services import print_exposure as service
    from estimator.services.print_quote import known_locale

    if options.to.suffix.lower() != ".pdf":
        raise NotWritten(f"{options.to} is no name of a PDF.", "End it in .pdf.")
    locale = known_locale(options.locale)
    path = service.print_exposure(
        priced_job(options),
        options.to.absolute(),
        locale=locale,
        replace=options.replace,
        progress=progress(options),
    )
    answer(options, {"pdf": str(path)}, f"The internal sheet is in {path}")
