"""From a cell of the price to totals painted, at 5,000 lines: `python tests/bench/price_grid.py`.

The edit sets new rows (one line, its group and the totals differ) and paints what that touches; the
floor is a bare repaint of the whole grid as it stands. Both go through Qt's event loop, off screen,
garbage collection off; the minimum of each counts. Nothing here fails a build.
"""

from __future__ import annotations

import gc
import os
import sys
import time
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

os.environ["QT_QPA_PLATFORM"] = "offscreen"
os.environ.setdefault("LANG", "C.UTF-8")
ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget  # noqa: E402

from estimator.desktop.formats import Formats  # noqa: E402
from estimator.desktop.screens.price.columns import PriceColumns  # noqa: E402
from estimator.desktop.screens.price.totals import TotalsGrid  # noqa: E402
from estimator.desktop.theme import apply_theme, load_theme  # noqa: E402
from estimator.desktop.widgets.grid import Grid  # noqa: E402
from estimator.desktop.widgets.row_model import RowModel, Section  # noqa: E402
from estimator.domain.money import Money, money_sum  # noqa: E402
from estimator.services.show_price import (  # noqa: E402
    GroupRow,
    PriceRow,
    PriceTable,
    Rests,
    TotalRow,
    with_same_rows,
)

LINES, GROUPS, REPEATS = 5000, 18, 15
FRAME = 1000 / 60  # ms
NOTHING = Money(0, "GBP")


def made_row(number: int) -> PriceRow:
    """A line as a large job has it; every fourth may still move."""
    amount = Money(10_000 + 700 * (number % 97), "GBP")
    moves = number % 4 == 0
    return PriceRow(
        figure=f"line/L{number:04d}",
        id=f"L{number:04d}",
        group=f"G{number % GROUPS:02d}",
        kind="labour",
        name=f"Strip, clean and measure assembly {number}",
        certainty="provisional" if moves else "firm",
        quantity=Decimal(number % 40 + 1),
        unit="h",
        labour=amount,
        parts=None,
        outwork=None,
        amount=amount,
        contingency=Money(500, "GBP") if moves else None,
        rests=Rests("finding", (f"I{number % 90:02d}",), "measure"),
        full=5_000_000,
        low=amount.minor // 2 if moves else 0,
        likely=amount.minor if moves else 0,
        high=amount.minor * 2 if moves else 0,
        range_full=200_000,
    )


def made_table(rows: list[PriceRow]) -> PriceTable:
    """Groups and totals over rows."""
    sections = []
    for number in range(GROUPS):
        code = f"G{number:02d}"
        own = tuple(row for row in rows if row.group == code)
        amount = money_sum((row.amount for row in own if row.amount), "GBP")
        head = GroupRow(
            f"group/{code}", code, f"Group {number}", sum(r.quantity or Decimal(0) for r in own),
            amount, NOTHING, NOTHING, amount, amount, NOTHING, NOTHING, 0, 0, 5_000_000, NOTHING,
            amount, None,
        )  # fmt: skip
        sections.append((head, own))
    whole = money_sum((head.amount for head, _rows in sections), "GBP")
    totals = (TotalRow("priced_work", "work", whole), TotalRow("net", "net", whole))
    return PriceTable(tuple(sections), totals, "GBP", Money(200_000, "GBP"), True)


class Stage(QWidget):
    """The price's grid over its totals, as the page has them."""

    def __init__(self) -> None:
        super().__init__()
        say = Formats("en_GB")
        self.model = RowModel(PriceColumns(say, "GBP").price(), lambda row: row.figure)
        self.grid, self.totals = Grid(self.model, "Lines"), TotalsGrid(say)
        self.grid.set_widths(0)
        self.totals.follow(self.grid)
        column = QVBoxLayout(self)
        column.addWidget(self.grid, 1)
        column.addWidget(self.totals)
        self.resize(1100, 800)

    def show_table(self, table: PriceTable) -> None:
        """Set the rows of a table, as the page does."""
        self.model.set_sections([Section(head, rows) for head, rows in table.sections])
        self.totals.set_table(table)


def painted(application: QApplication) -> None:
    """Let everything asked for be painted."""
    application.processEvents()
    application.sendPostedEvents()
    application.processEvents()


def main() -> None:
    """Measure and print."""
    application = QApplication.instance() or QApplication([])
    assert isinstance(application, QApplication)
    application.setStyle("Fusion")
    apply_theme(application, load_theme("light"))
    rows = [made_row(number) for number in range(LINES)]
    stage = Stage()
    table = made_table(rows)
    stage.show_table(table)
    stage.show()
    painted(application)
    edits, repaints, makes = [], [], []
    gc.disable()
    for turn in range(REPEATS):
        amount = Money(20_000 + turn, "GBP")
        rows[0] = replace(rows[0], labour=amount, amount=amount, quantity=Decimal(turn + 50))
        start = time.perf_counter()
        after = with_same_rows(table, made_table(rows))
        makes.append(time.perf_counter() - start)
        start = time.perf_counter()
        stage.show_table(after)
        painted(application)
        edits.append(time.perf_counter() - start)
        table = after
        start = time.perf_counter()
        stage.grid.viewport().update()
        painted(application)
        repaints.append(time.perf_counter() - start)
        gc.collect()
    gc.enable()
    edit, repaint, make = (1000 * min(times) for times in (edits, repaints, makes))
    print(f"rows made beside the window's thread  {make:7.1f} ms")
    print(f"edit to totals painted                {edit:7.1f} ms   ({edit / FRAME:.2f} frames)")
    print(f"bare repaint of the grid              {repaint:7.1f} ms")
    print(f"ratio                                 {edit / repaint:7.2f}")


if __name__ == "__main__":
    main()
