"""The verb that prints a blank inspection sheet for a class of machine, before there is a job."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from estimator.command.acting import now
from estimator.command.answer import Options, add_verb, answer


def add_to(verbs: Any) -> None:
    """Add the verb to the command line."""
    text = "write a blank inspection sheet for a class of machine"
    one = add_verb(verbs, "print-inspection-sheet", print_sheet, text)
    one.add_argument("machine_class", metavar="CLASS", help="class of machine, like WL28")
    one.add_argument("to", type=Path, metavar="FILE", help="PDF to write")
    one.add_argument("--locale", default="en_GB", help="language, numbers and dates")
    one.add_argument("--replace", action="store_true", help="replace a file that is there")


def print_sheet(options: Options) -> None:
    """Write the sheet."""
    from estimator.services.open_catalogue import open_catalogue
    from estimator.services.print_inspection_sheet import print_inspection_sheet

    path = print_inspection_sheet(
        open_catalogue(options.catalogue), options.machine_class, options.to.absolute(),
        now().date(), options.locale, replace=options.replace,
    )  # fmt: skip
    answer(options, {"pdf": str(path)}, f"Written: {path}")
