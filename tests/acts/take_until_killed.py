"""Takes a price list in and undoes it again until somebody kills it, and tells each act that the
record confirmed.

Run by test_price_lists.py: `python take_until_killed.py RECORD FILE`.
"""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from pathlib import Path

from estimator.domain.people import Person
from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_record import open_record
from estimator.services.preview_price_list import ListWish, open_list_file, preview_price_list
from estimator.services.take_price_list import take_price_list, undo_price_list

WHO = Person("2", "P. Holt", "estimator", True)


def main(path: str, file: str) -> None:
    now = datetime.now(UTC)
    catalogue = open_catalogue()
    with open_record(Path(path), now) as record:
        for _time in range(100):
            preview = preview_price_list(
                record, catalogue, open_list_file(Path(file)), ListWish("S1"), now.date()
            )
            number = take_price_list(record, preview, None, WHO, now)
            print("taken", number.taken.number, flush=True)  # only now is it confirmed
            undo_price_list(record, number.taken.number, WHO, now)
            print("undone", number.taken.number, flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
