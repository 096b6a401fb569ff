"""The verbs of past work: outcomes of teardowns and closed jobs, in from tables and out again."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from dataclasses import fields
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from estimator.command.acting import now, record_verb, who_acts
from estimator.command.answer import Options, answer
from estimator.command.columns import table
from estimator.domain.past_work import ClosedJob, TeardownOutcome


def add_to(verbs: Any) -> None:
    """Add the verbs to the command line."""
    for name, run, kind, text in (
        ("add-outcomes", add_outcomes, TeardownOutcome, "add teardown outcomes from a table"),
        ("add-closed", add_closed, ClosedJob, "add closed jobs from a table"),
    ):
        adding = record_verb(verbs, name, run, text)
        adding.add_argument("file", type=Path, help="CSV file, UTF-8, its first line the columns")
        adding.formatter_class = argparse.RawDescriptionHelpFormatter
        adding.epilog = _columns(kind)
    for name, run, text in (
        ("outcomes", outcomes, "list teardown outcomes, or write them as a table"),
        ("closed-jobs", closed_jobs, "list closed jobs, or write them as a table"),
    ):
        listing = record_verb(verbs, name, run, text, acts=False)
        listing.add_argument("--most", type=int, default=200, help="list no more than so many")
        listing.add_argument("--to", type=Path, help="write all of them to this CSV file instead")
        listing.add_argument("--replace", action="store_true", help="write over a file there is")
    text = "say how often closed jobs stayed inside what was quoted"
    record_verb(verbs, "calibration", calibration, text, acts=False)


def _columns(kind: type[Any]) -> str:
    """The columns of a table, for the help."""
    lines = ["columns:"]
    for one in fields(kind):
        if limits := one.metadata.get("limits"):
            choices = f" ({', '.join(limits.choices)})" if limits.choices else ""
            lines.append(f"  {one.name:<20} {limits.what}{choices}")
    return "\n".join(lines)


def add_outcomes(options: Options) -> None:
    """Add teardown outcomes."""
    from estimator.services.past_work import import_outcomes

    _add(options, import_outcomes, "teardown outcomes")


def add_closed(options: Options) -> None:
    """Add closed jobs."""
    from estimator.services.past_work import import_closed_jobs

    _add(options, import_closed_jobs, "closed jobs")


def _add(options: Options, service: Callable[..., int], what: str) -> None:
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        count = service(record, options.file, who_acts(record, options), now())
    answer(options, {"added": count}, f"{count} {what} are added.")


def outcomes(options: Options) -> None:
    """List teardown outcomes."""
    from estimator.services.past_work import export_outcomes
    from estimator.services.past_work import outcomes as service

    _show(options, TeardownOutcome, service, export_outcomes)


def closed_jobs(options: Options) -> None:
    """List closed jobs."""
    from estimator.services.past_work import closed_jobs as service
    from estimator.services.past_work import export_closed_jobs

    _show(options, ClosedJob, service, export_closed_jobs)


def calibration(options: Options) -> None:
    """Say how quotes held."""
    from estimator.command.calibration_output import calibration_data, calibration_text
    from estimator.services.open_record import open_record
    from estimator.services.show_calibration import show_calibration

    with open_record(options.record, now()) as record:
        shown = show_calibration(record)
    answer(options, calibration_data(shown), calibration_text(shown))


def _show(
    options: Options,
    kind: type[Any],
    service: Callable[..., Sequence[Any]],
    export: Callable[..., Path],
) -> None:
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        if options.to:
            path = export(record, options.to.absolute(), replace_file=options.replace)
            answer(options, {"file": str(path)}, f"Written: {path}")
            return
        found = [kept.row for kept in service(record, max(options.most, 0))]
    names = [one.name for one in fields(kind) if one.name != "place"]
    data = [{name: _plain(getattr(row, name)) for name in names} for row in found]
    rows = [tuple(_shown(getattr(row, name)) for name in names) for row in found]
    answer(options, data, table(tuple(names), rows) if rows else "There are none.")


def _plain(value: object) -> object:
    return str(value) if isinstance(value, Decimal | date) else value


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else str(_plain(value))
