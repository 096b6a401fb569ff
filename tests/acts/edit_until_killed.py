"""Makes edits on a record until somebody kills it, and tells each that the record confirmed.

Run by test_crash.py: `python edit_until_killed.py RECORD NUMBER FIRST`.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from estimator.domain.job_edit import edit_between
from estimator.domain.people import Person
from estimator.services.edit_job import make_edit, open_draft
from estimator.services.open_record import open_record

WHO = Person("2", "P. Holt", "estimator", True)


def main(path: str, number: str, first: int) -> None:
    with open_record(Path(path), datetime.now(UTC)) as record:
        draft = open_draft(record, number)
        for count in range(first, first + 200):
            finding = replace(draft.job.findings[count % 20], note=f"edit {count}")
            rows = tuple(finding if f.id == finding.id else f for f in draft.job.findings)
            after = replace(draft.job, note=f"edit {count}", findings=rows)
            edit = edit_between(draft.job, after, f"edit {count}")
            draft = make_edit(record, number, edit, WHO, datetime.now(UTC))
            print(count, flush=True)  # only now is it confirmed


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], int(sys.argv[3]))
