"""Many entries about one job in the log at once. They are not hashed: nothing here proves them."""

from __future__ import annotations

from datetime import datetime, timedelta

from estimator.services.open_record import Record
from estimator.storage.change_log import LOG, head_entry


def add_entries(record: Record, number: str, many: int, since: datetime) -> None:
    """Entries `note 0` to `note many - 1`, a second apart, each changing a note from a to b."""
    with record.writing() as session:
        last, _hash = head_entry(session)
        rows = [
            {
                "number": last + 1 + place, "at": since + timedelta(seconds=place),
                "who": "P. Holt", "act": f"note {place}", "subject": f"job/{number}",
                "before": '{"finding/I03/note": "a"}', "after": '{"finding/I03/note": "b"}',
                "previous_hash": "", "hash": f"{place:064x}",
            }
            for place in range(many)
        ]  # fmt: skip
        session.connection().execute(LOG.insert(), rows)
