"""The verb that lays a recorded job beside a new machine."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from estimator.command.acting import now, record_verb
from estimator.command.answer import Options, answer, progress
from estimator.command.catalogue_verbs import working


def add_to(verbs: Any) -> None:
    """Add the verb to the command line."""
    one = record_verb(
        verbs, "compare-new", compare_new, "lay a job beside a new machine, as a page or as data",
        acts=False,
    )  # fmt: skip
    one.add_argument("number", metavar="JOB", help="number of the job")
    one.add_argument("--to", type=Path, metavar="FILE", help="PDF to write")
    one.add_argument("--replace", action="store_true", help="replace a file that is there")
    one.add_argument("--locale", default="en_GB", help="how numbers and dates are written")
    one.add_argument("--quiet", action="store_true", help="no progress on stderr")


def compare_new(options: Options) -> None:
    """Lay a job beside a new machine."""
    from estimator.command.comparison_output import comparison_data, comparison_text
    from estimator.domain.language import language_of
    from estimator.services import compare_with_new as service
    from estimator.services.errors import NotWritten
    from estimator.services.house_style import in_house_style
    from estimator.services.open_record import open_record
    from estimator.services.print_quote import known_locale

    if options.to is not None and options.to.suffix.lower() != ".pdf":
        raise NotWritten(f"{options.to} is no name of a PDF.", "End it in .pdf.")
    locale = known_locale(options.locale)
    with open_record(options.record, now()) as record:
        catalogue = working(record, options)
        found = service.compare_recorded(
            record, options.number, catalogue, language_of(locale), progress(options)
        )
        data, text = comparison_data(found), comparison_text(found)
        if options.to is not None:
            with in_house_style(record):
                path = service.print_comparison(
                    found, options.to.absolute(), locale=locale, replace=options.replace
                )
            data, text = {**data, "pdf": str(path)}, f"{text}\nThe page is in {path}"
    answer(options, data, text)
