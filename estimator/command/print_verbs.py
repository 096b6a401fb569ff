"""The verb that prints a document of a job before acceptance, and the one that lists them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from estimator.command.acting import now, record_verb
from estimator.command.answer import Options, answer, progress
from estimator.command.catalogue_verbs import working


def add_to(verbs: Any) -> None:
    """Add the verbs to the command line."""
    one = record_verb(
        verbs, "print", print_one, "print a document of a job: quote, budget letter, options ...",
        acts=False,
    )  # fmt: skip
    one.add_argument("number", metavar="NUMBER", help="number of the job")
    one.add_argument("kind", metavar="KIND", help="which document; 'papers NUMBER' lists them")
    one.add_argument("--to", type=Path, metavar="FILE", help="PDF to write "
                     "(default: quotes/NUMBER-REVISION-KIND.pdf)")  # fmt: skip
    one.add_argument("--locale", default="en_GB", help="how it is written")
    one.add_argument(
        "--paper", choices=("A4", "Letter"), default="", help="against the house style"
    )
    one.add_argument("--which", default="", help="which one, where a kind has several")
    one.add_argument("--replace", action="store_true", help="replace a file that is there")
    one.add_argument("--quiet", action="store_true", help="no progress on stderr")
    told = record_verb(verbs, "papers", list_papers, "list the documents of a job", acts=False)
    told.add_argument("number", metavar="NUMBER", help="number of the job")


def print_one(options: Options) -> None:
    """Print one document."""
    from estimator.services.errors import NotWritten
    from estimator.services.open_record import open_record
    from estimator.services.print_papers import paper_kind, print_paper
    from estimator.services.print_quote import known_locale

    if options.to is not None and options.to.suffix.lower() != ".pdf":
        raise NotWritten(f"{options.to} is no name of a PDF.", "End it in .pdf.")
    locale, kind = known_locale(options.locale), paper_kind(options.kind)
    with open_record(options.record, now()) as record:
        path = print_paper(
            record, options.number, kind.key, _path(record, options), locale,
            catalogue=lambda: working(record, options), paper=options.paper,
            which=options.which, replace=options.replace, progress=progress(options),
        )  # fmt: skip
    data = {"pdf": str(path), "kind": kind.key, "for_customer": kind.for_customer}
    said = "" if kind.for_customer else " It is not for the customer."
    answer(options, data, f"Written: {path}.{said}")


def _path(record: Any, options: Options) -> Path:
    from estimator.services.keep_job import recorded_job

    if options.to is not None:
        return Path(options.to).absolute()
    job, _, _ = recorded_job(record, options.number)
    return (Path("quotes") / f"{job.number}-{job.revision}-{options.kind}.pdf").absolute()


def list_papers(options: Options) -> None:
    """List the documents of a job, each with whether it can be made."""
    from estimator.command.columns import table
    from estimator.services.open_record import open_record
    from estimator.services.print_papers import papers_of

    with open_record(options.record, now()) as record:
        found = papers_of(record, options.number, lambda: working(record, options))
    data = [
        {"kind": one.kind.key, "title": one.kind.title, "for_customer": one.kind.for_customer,
         "needs": one.kind.needs, "chooses": one.kind.chooses, "why_not": one.why_not}
        for one in found
    ]  # fmt: skip
    rows = [[one.kind.key, one.kind.title, one.why_not or "-"] for one in found]
    answer(options, data, table(("kind", "document", "why not"), rows, whole=(2,)))
