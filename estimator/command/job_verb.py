"""What every verb on a job folder shares: its arguments, and the job priced."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any

from estimator.command.answer import Options, add_verb, progress
from estimator.domain.catalogue.rows import JOB_LEVELS
from estimator.domain.priced_job import PricedJob
from estimator.services.open_catalogue import open_catalogue
from estimator.services.price_job import price_job


def job_verb(
    verbs: Any,
    name: str,
    run: Callable[[Options], int | None],
    text: str,
    *,
    overrides: bool = True,
) -> argparse.ArgumentParser:
    """Add one verb on a job folder; with `overrides` it may be told another level or confidence."""
    one = add_verb(verbs, name, run, text)
    one.add_argument("job", type=Path, metavar="JOB", help="job folder")
    if overrides:  # a quote goes out as the job states it: one number, one price
        one.add_argument("--level", choices=JOB_LEVELS, help="rebuild level instead of the job's")
        one.add_argument("--confidence", type=_share, help="share of outcomes covered, 0.5 to 0.99")
    else:
        one.set_defaults(level=None, confidence=None)
    one.add_argument("--quiet", action="store_true", help="no progress on stderr")
    return one


def priced_job(options: Options) -> PricedJob:
    """The job that a verb names, priced. Raises Refused, NotReckoned."""
    catalogue = open_catalogue(options.catalogue)
    return price_job(
        options.job,
        catalogue,
        level=options.level,
        confidence=options.confidence,
        progress=progress(options),
    )


def _share(text: str) -> Decimal:
    try:
        share = Decimal(text)
    except InvalidOperation:
        raise argparse.ArgumentTypeError(f"{text!r} is not a number such as 0.8") from None
    if share > 1:
        raise argparse.ArgumentTypeError(f"{text} is no share; did you mean {share / 100}?")
    return share
