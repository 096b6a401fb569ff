"""Speed of taking a price list in, against reading its cells alone:
`python tests/bench/price_list_ratios.py`.

50,000 rows of eight columns, as a workbook and as text: read, checked, compared with what stands
and written. Subject and floor take turns, the minimum of each counts. Ratios are of processor time,
since on a busy machine a long piece of work is interrupted more often than a short one; the time on
the clock stands beside it. Python's collector is on, as it is in the window. Nothing here fails a
build.
"""

from __future__ import annotations

import csv
import gc
import io
import os
import random
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

import xlsxwriter  # noqa: E402
from python_calamine import CalamineWorkbook  # noqa: E402

from estimator.domain.people import Person  # noqa: E402
from estimator.services.link_parts import find_items  # noqa: E402
from estimator.services.open_catalogue import open_catalogue  # noqa: E402
from estimator.services.open_record import Record, record_at  # noqa: E402
from estimator.services.preview_price_list import (  # noqa: E402
    ListFile,
    ListWish,
    preview_price_list,
)
from estimator.services.take_price_list import take_price_list, undo_price_list  # noqa: E402

ROWS, ROUNDS = 50_000, 5
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
WHO = Person("2", "P. Holt", "estimator", True)
WORDS = ("seal", "ring", "bearing", "liner", "piston", "bush", "pin", "hose", "filter", "valve",
         "gasket", "plate", "track", "roller", "shaft", "gear", "pump", "cover")  # fmt: skip
HEAD = ("Part number", "Description", "Price", "Currency", "Unit", "Per", "Lead weeks",
        "Superseded by")  # fmt: skip
Table = list[tuple[object, ...]]


def table(share: float) -> Table:
    """An invented list; `share` of its prices have moved by about three per cent."""
    draw, moved = random.Random(1), random.Random(2)
    rows: Table = [HEAD]
    for number in range(ROWS):
        price = draw.uniform(1, 3000)
        cells = (f"{draw.choice('0123')}{number:06}-{draw.randrange(100):02}",
                 " ".join(draw.choices(WORDS, k=3)))  # fmt: skip
        lead = draw.choice((1, 2, 3, 6))
        price *= moved.uniform(1.02, 1.04) if moved.random() < share else 1
        rows.append((*cells, round(price, 2), "GBP", "EA", 1, lead, ""))
    return rows


def as_workbook(rows: Table) -> bytes:
    """The list as a workbook."""
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    sheet = book.add_worksheet("List")
    for place, row in enumerate(rows):
        sheet.write_row(place, 0, row)
    book.close()
    return out.getvalue()


def as_text(rows: Table) -> bytes:
    """The list as CSV."""
    out = io.StringIO()
    csv.writer(out).writerows(rows)
    return out.getvalue().encode()


def bare_read(data: bytes) -> object:
    """The floor: the cells alone."""
    return CalamineWorkbook.from_filelike(io.BytesIO(data)).get_sheet_by_index(0).to_python()


def bare_text(data: bytes) -> object:
    """The floor of text."""
    return list(csv.reader(io.StringIO(data.decode())))


class Intake:
    """Takes a list into a record over items that stand, and undoes it outside of the clock."""

    catalogue = open_catalogue()

    def __init__(self, record: Record, file: ListFile) -> None:
        self.record, self.file = record, file
        self.number = 0

    def take(self) -> None:
        """All that an estimator waits for."""
        wish = ListWish("S1")
        found = preview_price_list(self.record, self.catalogue, self.file, wish, NOW.date())
        self.number = take_price_list(self.record, found, None, WHO, NOW).taken.number

    def undo(self) -> None:
        """As it was before."""
        undo_price_list(self.record, self.number, WHO, NOW)


def seconds(work: Callable[[], object]) -> tuple[float, float]:
    """How long a piece of work takes: (of the processor, on the clock)."""
    gc.collect()
    cpu, clock = time.process_time(), time.perf_counter()
    work()
    return time.process_time() - cpu, time.perf_counter() - clock


def compare(name: str, intake: Intake, floors: dict[str, Callable[[], object]]) -> None:
    """Print the minima and their ratios."""
    subject: list[tuple[float, float]] = []
    found: dict[str, list[tuple[float, float]]] = {floor: [] for floor in floors}
    for _round in range(ROUNDS):
        for floor, read in floors.items():
            found[floor].append(seconds(read))
        subject.append(seconds(intake.take))
        intake.undo()
    least, clock = min(subject)[0], min(one[1] for one in subject)
    ratios = ", ".join(f"{least / min(times)[0]:.2f} x {floor} ({min(times)[0]:.3f} s)"
                       for floor, times in found.items())  # fmt: skip
    print(f"{name:<40} {least:.3f} s (clock {clock:.3f}) = {ratios}")


def main() -> None:
    """Print every ratio."""
    print(f"{ROWS:,} rows, load {os.getloadavg()[0]:.1f}")
    first = table(0)
    read_book = as_workbook(first)
    floors = {"cells of the workbook": lambda: bare_read(read_book)}
    with tempfile.TemporaryDirectory() as folder:
        record = record_at(Path(folder) / "record.db", NOW)
        new = Intake(record, ListFile("list.xlsx", read_book))
        compare("workbook, all items new", new, floors)
        text = as_text(first)
        both = {**floors, "cells of the text": lambda: bare_text(text)}
        compare("text, all items new", Intake(record, ListFile("list.csv", text)), both)
        new.take()
        for share, words in ((0.1, "a tenth of the prices moved"), (1.0, "every price moved")):
            rows = table(share)
            compare(f"workbook, {words}", Intake(record, ListFile("b.xlsx", as_workbook(rows))),
                    floors)  # fmt: skip
            compare(f"text, {words}", Intake(record, ListFile("b.csv", as_text(rows))), both)
        file = ListFile("list.csv", text)
        second = preview_price_list(record, new.catalogue, file, ListWish("S2"), NOW.date())
        take_price_list(record, second, None, WHO, NOW)
        for words in ("2000", "seal ring", "piston 99 gear", "nothing of it"):
            took = min(seconds(lambda w=words: find_items(record, w)) for _ in range(ROUNDS))
            print(f"search of {2 * ROWS:,} items: {words!r:<20} {took[0] * 1000:.1f} ms")
        record.close()


if __name__ == "__main__":
    main()
