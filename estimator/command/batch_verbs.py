"""The verb that prints documents of many jobs in one go, without a screen."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING, Any

from estimator.command.acting import now, record_verb
from estimator.command.answer import Options, answer, progress
from estimator.command.catalogue_verbs import working

if TYPE_CHECKING:
    from estimator.services.print_batch import Printed

SOME_FAILED = 10  # the exit code where a document of a batch could not be written


def add_to(verbs: Any) -> None:
    """Add the verb to the command line."""
    one = record_verb(
        verbs, "print-batch", print_batch, "print documents of many jobs into a folder", acts=False
    )
    one.add_argument("numbers", nargs="+", metavar="NUMBER", help="number of a job")
    kinds = "documents, parted by commas; 'papers NUMBER' lists them"
    one.add_argument("--papers", required=True, metavar="KINDS", help=kinds)
    one.add_argument("--to", type=Path, required=True, metavar="FOLDER", help="where they go")
    one.add_argument("--locale", default="en_GB", help="how they are written, such as de_DE")
    one.add_argument(
        "--paper", choices=("A4", "Letter"), default="", help="against the house style"
    )
    one.add_argument("--replace", action="store_true", help="replace files that are there")
    one.add_argument("--quiet", action="store_true", help="no progress on stderr")


def print_batch(options: Options) -> int:
    """Print them; the exit code is SOME_FAILED where any could not be written."""
    from estimator.services import print_batch as service
    from estimator.services.open_record import open_record

    kinds = [one.strip() for one in options.papers.split(",") if one.strip()]
    with open_record(options.record, now()) as record:
        batch = service.Batch(
            kinds=kinds,
            folder=options.to.absolute(),
            catalogue=lambda: working(record, options),
            locale=options.locale,
            paper=options.paper,
            replace=options.replace,
        )
        made = list(service.print_batch(record, options.numbers, batch, progress(options)))
    counts = Counter(one.state for one in made)
    data = {
        "folder": str(batch.folder),
        "written": counts[service.WRITTEN],
        "kept": counts[service.KEPT],
        "failed": counts[service.FAILED],
        "papers": [_data(one) for one in made],
    }
    told = f"{counts[service.WRITTEN]} written, {counts[service.KEPT]} kept, " \
           f"{counts[service.FAILED]} failed."  # fmt: skip
    answer(options, data, "\n".join([*map(_line, made), told]))
    return SOME_FAILED if counts[service.FAILED] else 0


def _data(one: Printed) -> dict[str, str | None]:
    return {
        "job": one.number,
        "kind": one.kind,
        "which": one.which,
        "state": one.state,
        "pdf": None if one.path is None else str(one.path),
        "error": one.code or None,
        "message": str(one.message) or None,
        "remedy": str(one.remedy) or None,
    }


def _line(one: Printed) -> str:
    name = " ".join(filter(None, (one.number, one.kind, one.which)))
    if one.path is None:
        return f"Failed: {name}: {one.message} {one.remedy}".rstrip()
    if one.state == "kept":
        return f"Kept: {one.path} is there already; --replace makes it again."
    return f"Written: {one.path}"
