"""Take past work that was typed in bulk: read as the file of the same columns would be."""

from __future__ import annotations

import csv
import tempfile
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from estimator.domain.past_work import COLUMNS_OF_CLOSED_JOB, COLUMNS_OF_OUTCOME
from estimator.domain.people import Person
from estimator.services.open_record import Record
from estimator.services.past_work import import_closed_jobs, import_outcomes

OUTCOMES, CLOSED = "outcomes", "closed jobs"
COLUMNS = {OUTCOMES: COLUMNS_OF_OUTCOME, CLOSED: COLUMNS_OF_CLOSED_JOB}
_IMPORTS = {OUTCOMES: import_outcomes, CLOSED: import_closed_jobs}
TYPED = "typed rows"


def add_typed(
    record: Record, kind: str, rows: Sequence[Sequence[str]], who: Person, now: datetime
) -> int:
    """Add typed rows (plain texts in the order of COLUMNS[kind], numbers with a point, days as
    2026-11-25), all of them or none; how many.

    Raises NotAllowed, and Refused with every fault by row (the first row typed is row 2, as in the
    file under its header) and column.
    """
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / TYPED
        with path.open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file)
            writer.writerow(COLUMNS[kind])
            writer.writerows(rows)
        return _IMPORTS[kind](record, path, who, now)
