"""The verbs: what each takes, and which service it calls."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from estimator.command import data_output, exposure_verbs, text_output
from estimator.command.answer import Options, add_verb, answer, say_warnings
from estimator.command.job_verb import job_verb, priced_job
from estimator.domain.catalogue.check_names import name_faults
from estimator.domain.catalogue.check_work import work_problems
from estimator.domain.catalogue.rows import MachineClass
from estimator.domain.language import language_of
from estimator.domain.priced_job import PricedJob
from estimator.domain.problem import errors_in
from estimator.services.compare_options import compare_levels, compare_ways, offer_teardown
from estimator.services.errors import NotWritten, Refused
from estimator.services.explain_figure import explain_as_data, explain_as_text, figure_names
from estimator.services.open_catalogue import catalogue_folder, open_catalogue
from estimator.services.open_job import check_jobs
from estimator.services.open_sample import FIRST_SAMPLE, sample_folder

TEXT_DEPTH = 2  # levels of a why shown unless more are asked for
MOST_INPUTS = 12  # inputs of one figure shown unless a depth is asked for


def add_to(verbs: Any) -> None:
    """Add every verb to the command line."""
    check = add_verb(verbs, "check-catalogue", check_catalogue, "check the price catalogue")
    check.add_argument(
        "--strict",
        action="store_true",
        help="fault also work done twice, removal without refit, rows nothing reaches",
    )
    check.set_defaults(job=None)
    jobs = add_verb(verbs, "check", check_job_folders, "check job folders, without pricing them")
    jobs.add_argument("jobs", nargs="+", type=Path, metavar="JOB", help="job folder")
    job_verb(verbs, "price", show_price, "price a job: lines, subtotals, contingency, tax")
    job_verb(verbs, "scope", show_scope, "list a job's lines, each with why it is there")
    exposure_verbs.add_to(verbs)
    job_verb(verbs, "dates", show_dates, "the programme and the finish date with its confidence")
    options = job_verb(verbs, "options", show_options, "rebuild levels, or ways of one part")
    options.add_argument("--part", help="show the ways of putting this part right instead")
    job_verb(verbs, "teardown", show_teardown, "strip and report only, as a priced alternative")
    why = job_verb(verbs, "why", show_why, "why a figure is what it is")
    why.add_argument("figure", help="name of the figure, such as net, line/P-TCK or rate/HF")
    why.add_argument("--depth", type=int, help="levels down (default: 2 as text, all as JSON)")
    names = job_verb(verbs, "figures", show_figures, "names of the figures that can be asked")
    names.add_argument("start", nargs="?", default="", help="only names that start like this")
    quote = job_verb(verbs, "quote", write_quote, "write the quote as PDF", overrides=False)
    _add_print_options(quote)
    demo = add_verb(verbs, "demo", run_demo, "price the sample job and write its quote")
    demo.add_argument("--sample", default=FIRST_SAMPLE, help="which sample job")
    _add_print_options(demo)


def _add_print_options(one: argparse.ArgumentParser) -> None:
    one.add_argument("--to", type=Path, help="PDF to write (default: quotes/NUMBER-REVISION.pdf)")
    one.add_argument("--replace", action="store_true", help="replace a file that is there")
    one.add_argument("--locale", default="en_GB", help="how numbers and dates are written")


def check_catalogue(options: Options) -> None:
    """Check the price catalogue."""
    catalogue = open_catalogue(options.catalogue)
    counts = {name: len(rows) for name, rows in catalogue.tables.items()}
    classes = [row.id for row in catalogue.table("classes", MachineClass)]
    data = {
        "version": catalogue.version,
        "fingerprint": catalogue.fingerprint,
        "folder": str(catalogue_folder(options.catalogue)),
        "classes": classes,
        "rows": counts,
    }
    text = (
        f"Catalogue {catalogue.version} is sound: {sum(counts.values()):,} rows in "
        f"{len(counts)} tables, classes {', '.join(classes)}.\n"
        f"Edition {catalogue.fingerprint[:12]}, read from {data['folder']}."
    )
    work = work_problems(catalogue)
    if options.strict and work:
        raise Refused("Work in the catalogue", work)
    # Beside the work, what a language lacks and what was reworded since.
    say_warnings([*work, *name_faults(catalogue)])
    answer(options, data, text)


def check_job_folders(options: Options) -> int:
    """Check job folders; the exit code is 1 if any has a fault."""
    found = check_jobs(options.jobs, open_catalogue(options.catalogue))
    problems = [problem for faults in found.values() for problem in faults]
    if errors_in(problems):
        raise Refused("Jobs", errors_in(problems))
    say_warnings(problems)
    answer(options, {str(f): "sound" for f in found}, "\n".join(f"{f}: sound" for f in found))
    return 0


def show_price(options: Options) -> None:
    """Price a job."""
    priced = priced_job(options)
    answer(options, data_output.price_data(priced), text_output.price_text(priced))


def show_scope(options: Options) -> None:
    """List a job's lines."""
    priced = priced_job(options)
    answer(options, data_output.scope_data(priced), text_output.scope_text(priced))


def show_dates(options: Options) -> None:
    """The programme and the finish date."""
    priced = priced_job(options)
    answer(options, data_output.dates_data(priced), text_output.dates_text(priced))


def show_options(options: Options) -> None:
    """Rebuild levels, or the ways of one part, side by side."""
    priced = priced_job(options)
    if options.part:
        ways = compare_ways(priced, options.part)
        answer(options, data_output.ways_data(ways), text_output.ways_text(priced, ways))
        return
    levels = compare_levels(priced)
    answer(options, data_output.levels_data(levels), text_output.levels_text(levels))


def show_teardown(options: Options) -> None:
    """Strip and report only."""
    priced = priced_job(options)
    offer = offer_teardown(priced)
    answer(options, data_output.teardown_data(offer), text_output.teardown_text(offer))


def show_why(options: Options) -> None:
    """Why a figure is what it is."""
    priced = priced_job(options)
    if options.figure.startswith("teardown/"):
        offer_teardown(priced)
    if options.json:
        answer(options, explain_as_data(priced, options.figure, options.depth), "")
    else:
        depth = TEXT_DEPTH if options.depth is None else options.depth
        most = MOST_INPUTS if options.depth is None else None
        print(explain_as_text(priced, options.figure, depth, most))


def show_figures(options: Options) -> None:
    """Names of the figures that can be asked."""
    priced = priced_job(options)
    offer_teardown(priced)
    names = figure_names(priced, options.start)
    answer(options, list(names), "\n".join(names))


def write_quote(options: Options) -> None:
    """Write the quote as PDF."""
    _check_print(options)
    priced = priced_job(options)
    say_warnings(priced.warnings)
    path = _print(options, priced)
    data = {"pdf": str(path), "warnings": [data_output.problem_data(w) for w in priced.warnings]}
    answer(options, data, f"The quote is in {path}")


def run_demo(options: Options) -> None:
    """Price the sample job, show its summary, and write its quote."""
    options.job = sample_folder(options.sample)
    options.level = options.confidence = None
    options.quiet = False
    _check_print(options)
    priced = priced_job(options)
    options.replace = True if options.to is None else options.replace
    path = _print(options, priced)
    data = {**data_output.summary_data(priced), "pdf": str(path)}
    answer(options, data, f"{text_output.summary_text(priced)}\n\nThe quote is in {path}")


def _check_print(options: Options) -> None:
    """Before the work begins: a misspelt locale or a wrong name should not cost the wait."""
    from estimator.services.print_quote import known_locale

    if options.to is not None and options.to.suffix.lower() != ".pdf":
        raise NotWritten(f"{options.to} is no name of a PDF.", "End it in .pdf.")
    options.locale = known_locale(options.locale)


def _print(options: Options, priced: PricedJob) -> Path:
    from estimator.services.print_quote import make_quote, print_quote

    job = priced.job
    default = Path("quotes") / f"{job.number}-{job.revision}.pdf"
    path = (options.to or default).absolute()
    language = language_of(options.locale)
    return print_quote(
        make_quote(priced, language), path, locale=options.locale, replace=options.replace
    )
