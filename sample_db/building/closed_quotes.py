"""Writes `workshop/closed_quotes.csv`: what the later closed jobs of the sample were quoted, and
what they came to. Run by hand, from the folder that holds `sample_db`:

    python -m sample_db.building.closed_quotes

The machines are the sample's own strips, inspected from outside, priced by the program with the
catalogue of that moment and opened by `true_cost`. It takes some ten seconds, so the sample is
built from the table. The table is history: it need not follow when the catalogue moves on.
"""

from __future__ import annotations

import csv
import datetime
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, replace
from decimal import Decimal
from pathlib import Path
from random import Random
from typing import Any

from estimator.domain.past_work import ClosedJob
from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_workshop import open_workshop
from estimator.services.work_out import class_catalogue, faults_of

from .past import CLOSED_JOBS, strips
from .scenario import FIRST_CLOSED_NUMBER, FIRST_STRIP, LAST_STRIP, SEED
from .true_cost import QuotedAndFinal, job_of, quoted_and_final
from .wear_path import read_processes

FLAT_UNTIL = 16  # so many closed jobs were quoted with a flat percentage; those after are here
BEFORE_STRIP = datetime.timedelta(days=45)
TABLE = Path(__file__).parent.parent / "workshop" / "closed_quotes.csv"


@dataclass(frozen=True, slots=True)
class ClosedQuote:
    """What a closed job was quoted and came to, in whole units of its currency before tax."""

    number: str
    quoted_base: Decimal
    quoted_contingency: Decimal
    final_less_requests: Decimal
    p10: Decimal
    p50: Decimal
    p80: Decimal
    p90: Decimal
    mean: Decimal


NAMES = tuple(one.name for one in fields(ClosedQuote))


def read_closed_quotes(path: Path = TABLE) -> Mapping[str, ClosedQuote]:
    """The table by number of the job."""
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return {
        row["number"]: ClosedQuote(row["number"], *(Decimal(row[name]) for name in NAMES[1:]))
        for row in rows
    }


def as_quoted(closed: ClosedJob, quotes: Mapping[str, ClosedQuote]) -> ClosedJob:
    """A closed job with the sums of the table, where it has some."""
    quote = quotes.get(closed.number)
    if quote is None:
        return closed
    sums: dict[str, Any] = {name: getattr(quote, name) for name in NAMES[1:]}
    return replace(closed, **sums)


def reckoned() -> Iterator[ClosedQuote]:
    """Every row anew. Raises ValueError where a job of them cannot be priced."""
    catalogue, defaults = open_catalogue(), open_workshop()
    processes = read_processes(TABLE.with_name("wear_process.csv"))
    classes = {one: class_catalogue(catalogue, one) for one in catalogue.classes}
    found = strips(
        {name: cat for name, cat in classes.items() if cat is not None},
        processes, FIRST_STRIP, LAST_STRIP, SEED,
    )  # fmt: skip
    for place in range(FLAT_UNTIL, CLOSED_JOBS):
        strip, number = found[place], f"Q-{FIRST_CLOSED_NUMBER + place}"
        random = Random(f"{SEED}/quoted {number}")
        day = strip.day - BEFORE_STRIP
        job = job_of(strip.seen, strip.level, (), number, day, defaults, random)
        if faults := faults_of(job, catalogue):
            raise ValueError(f"{number} cannot be priced: {faults[0]}")
        yield _rounded(number, quoted_and_final(strip.seen, job, random))


def _rounded(number: str, one: QuotedAndFinal) -> ClosedQuote:
    sums = (one.base, one.contingency, one.final,
            *(one.percentiles[share] for share in (0.1, 0.5, 0.8, 0.9)), one.mean)  # fmt: skip
    return ClosedQuote(number, *(Decimal(round(amount)) for amount in sums))


def write(path: Path = TABLE) -> None:
    """Write the table anew."""
    rows = list(reckoned())
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(NAMES)
        writer.writerows([getattr(row, name) for name in NAMES] for row in rows)


if __name__ == "__main__":
    write()
