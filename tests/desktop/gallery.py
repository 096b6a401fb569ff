"""Draws every painted part in one theme: python -m tests.desktop.gallery FOLDER [light|dark].

Set QT_SCALE_FACTOR=1.5 to see it as on a screen at 150 %.
"""

from __future__ import annotations

import math
import os
import sys
from decimal import Decimal
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QImage, QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QApplication,
    QCheckBox,
    QComboBox,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QLineEdit,
    QRadioButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.drawing import cell_painters as cells
from estimator.desktop.drawing.bars import CertaintyParts, RangeValues, Share
from estimator.desktop.drawing.curve_scale import CostCurveData, Flag, amount_at
from estimator.desktop.drawing.gauge import GaugeWords, Reading
from estimator.desktop.drawing.histogram import Week
from estimator.desktop.drawing.marks import Mark
from estimator.desktop.drawing.programme_chart import (
    BarKind,
    DayWords,
    ProgrammeBar,
    ProgrammeData,
    ProgrammeRow,
)
from estimator.desktop.drawing.share_rows import Contribution
from estimator.desktop.theme import ThemeName, apply_theme, current_theme, load_theme
from estimator.desktop.widgets.certainty_bar import CertaintyBar
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.widgets.contribution_bars import ContributionBars
from estimator.desktop.widgets.cost_curve import CostCurve
from estimator.desktop.widgets.field_frame import FieldFrame
from estimator.desktop.widgets.finish_histogram import FinishHistogram
from estimator.desktop.widgets.key_cap import KeyCap
from estimator.desktop.widgets.mark import MarkLabel
from estimator.desktop.widgets.photo_strip import Photo, PhotoStrip
from estimator.desktop.widgets.programme_view import ProgrammeView
from estimator.desktop.widgets.range_strip import RangeStrip
from estimator.desktop.widgets.segmented import Segmented
from estimator.desktop.widgets.small_path import SmallPath
from estimator.desktop.widgets.wear_gauge import WearGauge


def money(amount: int) -> str:
    """Whole pounds of an amount in pence."""
    return f"£{amount // 100:,}"


def curve_data(confidence: Decimal = Decimal("0.80")) -> CostCurveData:
    """An invented curve: normal around 3,066 hundred pounds."""
    points = [
        (amount, 0.5 * (1 + math.erf((amount - 30_660_000) / (1_450_000 * math.sqrt(2)))))
        for amount in range(26_800_000, 34_600_000, 100_000)
    ]

    def flag(chance: str, name: str) -> Flag:
        amount = round(amount_at(points, float(chance)))
        return Flag(Decimal(chance), amount, name, money(amount))

    return CostCurveData(
        points=points,
        confidence=confidence,
        base=28_404_800,
        base_words=(
            "Priced work",
            "£284,048",
            "provisional lines may fall:",
            "the curve starts left of it",
        ),
        flags=(
            flag("0.5", "P50, 5 in 10"),
            flag("0.8", "P80, 8 in 10"),
            flag("0.9", "P90, 9 in 10"),
        ),
        amount_words=money,
        chance_words=lambda chance: f"{chance * 100:.0f} %",
        handle_words=lambda chance: (
            f"P{chance * 100:.0f}  {money(round(amount_at(points, float(chance))))}"
        ),
        mean=30_660_100,
        mean_words="mean £306,601",
    )


def programme_data(rows: int = 0) -> ProgrammeData:
    """An invented programme; `rows` more activities follow the drawn ones."""
    shop, out = BarKind.SHOP, BarKind.OUTWORK
    drawn = (
        ProgrammeRow(
            "A1", "Receive, wash, strip", "bay 3, 2 fitters", True, (ProgrammeBar(0, 11),), 12
        ),
        ProgrammeRow(
            "A2",
            "Measure, report, findings agreed",
            "inspector",
            True,
            (ProgrammeBar(9, 16),),
            18,
            note="hold point",
        ),
        ProgrammeRow(
            "A3",
            "Converter housing, bore repair",
            "outwork OW-124",
            True,
            (ProgrammeBar(16, 39, out, "outwork"),),
            45,
        ),
        ProgrammeRow(
            "A4",
            "Transmission and converter",
            "bench 2, 1 fitter",
            True,
            (ProgrammeBar(39, 52),),
            56,
        ),
        ProgrammeRow(
            "A5", "Clutch plates, bearings", "parts, 3 weeks", lead=(1, 22), note="in 29 Dec"
        ),
        ProgrammeRow(
            "A6",
            "Engine, block and head",
            "bench 1, 2 fitters",
            False,
            (ProgrammeBar(16, 17), ProgrammeBar(18, 32, out, "outwork"), ProgrammeBar(42, 51)),
            56,
        ),
        ProgrammeRow(
            "A7",
            "Zylinderkopfdichtflächenüberarbeitung und Druckprüfung",
            "Werkbank 1",
            False,
            (ProgrammeBar(16, 19, out, "out"), ProgrammeBar(28, 36)),
            39,
        ),
        ProgrammeRow("A8", "Build up", "bay 3, 2 fitters", True, (ProgrammeBar(52, 66),), 69),
    )
    more = tuple(
        ProgrammeRow(
            f"M{place}",
            f"Activity {place}",
            "bench",
            False,
            (ProgrammeBar(place % 60, place % 60 + 9, shop),),
            place % 60 + 12,
        )
        for place in range(rows)
    )
    weeks = tuple(
        DayWords(day, words)
        for day, words in (
            (0, "7 Dec"),
            (7, ""),
            (14, "21 Dec"),
            (21, ""),
            (28, "4 Jan"),
            (35, ""),
            (42, "18 Jan"),
            (49, ""),
            (56, "1 Feb"),
            (63, ""),
            (70, "15 Feb"),
            (77, ""),
            (84, "1 Mar"),
            (91, ""),
        )
    )
    return ProgrammeData(
        rows=drawn + more,
        first=0,
        last=98,
        weeks=weeks,
        months=(
            DayWords(0, "Dec 2026"),
            DayWords(25, "Jan 2027"),
            DayWords(56, "Feb"),
            DayWords(84, "Mar"),
        ),
        closures=((18, 22), (25, 26)),
        links=((1, 2), (2, 3), (3, 7)),
        finish_50=DayWords(74, "50 %  Fri 19 Feb"),
        finish_80=DayWords(88, "80 %  Fri 5 Mar"),
        names_head="Activity, and who or where",
    )


class CellBoard(QWidget):
    """Cells as a table's delegate would paint them."""

    def __init__(self) -> None:
        super().__init__()
        self.setFixedSize(620, 8 * 36)

    def paintEvent(self, _event: QPaintEvent) -> None:  # noqa: N802 - Qt's name
        painter, theme = QPainter(self), current_theme()
        for row in range(8):
            for column, (left, wide) in enumerate(((0, 150), (150, 150), (300, 160), (460, 160))):
                rect = QRectF(left, row * 36, wide, 36)
                cells.paint_row_ground(
                    painter, rect, theme, row == 2, row == 3, row == 4, column == 0
                )
                self._paint(painter, rect, row, column)

    def _paint(self, painter: QPainter, rect: QRectF, row: int, column: int) -> None:
        theme = current_theme()
        if column == 0:
            cells.paint_two_lines(
                painter,
                rect,
                "Lift arm L, lower pin bore",
                "Pin seized",
                theme,
                row == 2,
                theme.colours.exp_text if row % 2 else None,
            )
        elif column == 1 and row % 2:
            cells.paint_gauge_cell(painter, rect, READINGS[row % 3], theme)
        elif column == 1:
            cells.paint_certainty_cell(
                painter, rect, CertaintyParts(800 >> row, 300 >> row, 90 >> row, full=1300), theme
            )
        elif column == 2 and row % 2:
            cells.paint_range_cell(painter, rect, RangeValues(2 * row, 4 * row, 9 * row, 80), theme)
        elif column == 2:
            cells.paint_path_cell(painter, rect, row, 7, "Inspection", theme)
        elif row % 2:
            cells.paint_mark_cell(
                painter,
                rect,
                tuple(Mark)[row - 1 if row < 7 else 5],
                "expired 2 d ago",
                theme,
                ground=theme.colours.hover if row == 3 else None,
            )
        else:
            cells.paint_figure(
                painter, rect, "13,976", theme, row == 2, "12,840" if row == 4 else "", row == 6
            )
        if row == 2 and column == 3:
            cells.paint_cell_focus(painter, rect, theme)


READINGS = (
    Reading(Decimal(120), Decimal("121.2"), Decimal("120.5"), Decimal("121.06")),
    Reading(Decimal(120), Decimal("121.2"), Decimal("120.5"), Decimal("121.34")),
    Reading(Decimal(120), Decimal("121.2"), Decimal("120.5")),
)
WORDS = (
    GaugeWords("121.06  88 % worn", "new 120.00", "rebuild 120.50", "service 121.20"),
    GaugeWords("121.34  112 % worn", "new 120.00", "rebuild 120.50", "service 121.20"),
    GaugeWords("", "neu 120,00", "Instandsetzungsgrenze 120,50", "Betriebsgrenze 121,20"),
)


def _head(text: str) -> QLabel:
    label = QLabel(text)
    label.setProperty("tone", "section")
    return label


def _left() -> QVBoxLayout:
    column = QVBoxLayout()
    column.addWidget(_head("Buttons and fields"))
    for primary in (True, False):
        row = QHBoxLayout()
        for state in ("rest", "down", "not now", "key"):
            button = CommandButton(
                "Release" if primary else "Remind", "Ctrl+Enter" if state == "key" else "", primary
            )
            if state == "down":
                button.setDown(True)
            if state == "not now":
                button.set_available("2 prices expired")
            row.addWidget(button)
        row.addStretch()
        column.addLayout(row)
    fields = QGridLayout()
    good = FieldFrame("Pin bore, lower", QLineEdit("120.74"), "as read", "mm")
    bad = FieldFrame("Pin bore, upper", QLineEdit("12l.3"), unit="mm")
    bad.mark_invalid("Not a size: write figures, such as 121.3.")
    locked = QLineEdit("4,576")
    locked.setReadOnly(True)
    choice = QComboBox()
    choice.addItems(["Recondition", "Replace"])
    for place, frame in enumerate(
        (good, bad, FieldFrame("Worked out", locked), FieldFrame("Do", choice, "rule R-31"))
    ):
        fields.addWidget(frame, place // 2, place % 2, Qt.AlignmentFlag.AlignTop)
    column.addLayout(fields)
    _add_small_parts(column)
    column.addWidget(CellBoard())
    column.addStretch()
    return column


def _add_small_parts(column: QVBoxLayout) -> None:
    row = QHBoxLayout()
    row.addWidget(Segmented(("Price", "Cost"), "View"))
    tick, ring = QCheckBox("Oil below 50 °C"), QRadioButton("Exchange")
    tick.setChecked(True)
    ring.setChecked(True)
    row.addWidget(tick)
    row.addWidget(ring)
    column.addLayout(row)
    column.addWidget(_head("Marks"))
    marks = QGridLayout()
    for place, mark in enumerate(Mark):
        marks.addWidget(MarkLabel(mark, mark.replace("_", " ")), place // 3, place % 3)
    column.addLayout(marks)
    column.addWidget(SmallPath(4, 12))
    row = QHBoxLayout()
    for key, does in (("F2", "edit"), ("Shift+F9", "pin why"), ("Ctrl+Z", "undo reading of I03")):
        row.addWidget(KeyCap(key, does))
    row.addStretch()
    column.addLayout(row)
    strip = PhotoStrip("Drop photos here", "or Ctrl+V")
    picture = QImage(300, 200, QImage.Format.Format_RGB32)
    picture.fill(Qt.GlobalColor.darkGray)
    strip.set_photos([Photo(1, "lower bore", picture), Photo(2, "being read")])
    column.addWidget(strip)


def _middle() -> QVBoxLayout:
    column = QVBoxLayout()
    column.addWidget(_head("Certainty through one job"))
    for high, parts in (
        (20, CertaintyParts(210_505, 73_543, 34_328, likely=306_601)),
        (14, CertaintyParts(130, 160, 120, full=440)),
        (14, CertaintyParts(320, 75, 18, 12, full=440)),
        (14, CertaintyParts(340, 60, 25, full=440, ghost=420)),
        (14, CertaintyParts(410, 0, 0, 15, full=440)),
        (14, CertaintyParts(200, 50, 60, 60, full=440, unpriced=(10, 40, 90))),
        (10, CertaintyParts(6, 2, 1, full=440)),
    ):
        bar = CertaintyBar(high)
        bar.set_parts(parts)
        column.addWidget(bar)
    column.addWidget(_head("Range strips"))
    for values in (
        RangeValues(20, 35, 65, 100),
        RangeValues(31, 35, 38, 100),
        RangeValues(2, 41, 97, 100),
    ):
        strip = RangeStrip()
        strip.set_values(values)
        column.addWidget(strip)
    column.addWidget(_head("Wear gauge"))
    for reading, words in zip(READINGS, WORDS, strict=True):
        row = QHBoxLayout()
        large, small = WearGauge(), WearGauge(small=True)
        large.set_reading(reading, words)
        small.set_reading(reading)
        row.addWidget(large)
        row.addWidget(small)
        column.addLayout(row)
    column.addWidget(_head("What makes up the contingency"))
    bars = ContributionBars()
    bars.set_rows(
        [
            Contribution(name, name, figure, Share(share, alone, 12000, ghost))
            for name, figure, share, alone, ghost in (
                ("Engine", "9,181", 9181, 11800, None),
                ("Transmission and converter", "6,371", 6371, 8000, 7000),
                ("Getriebegehäuse und Drehmomentwandler", "5,560", 5560, 6200, None),
                ("Cooling and fans", "549", 549, 1500, None),
            )
        ]
    )
    column.addWidget(bars)
    column.addWidget(_head("When it finishes"))
    weeks = FinishHistogram()
    weeks.set_weeks(
        [
            Week(high, str(high), foot, within)
            for high, foot, within in (
                (2, "1 Feb", True),
                (16, "", True),
                (34, "15 Feb", True),
                (19, "", True),
                (11, "1 Mar", True),
                (9, "", False),
                (6, "15 Mar", False),
                (3, "", False),
            )
        ]
    )
    column.addWidget(weeks)
    column.addStretch()
    return column


def _right() -> QVBoxLayout:
    column = QVBoxLayout()
    column.addWidget(_head("Final cost to the customer"))
    curve = CostCurve()
    curve.set_data(curve_data())
    curve.setFixedHeight(300)
    column.addWidget(curve)
    view = ProgrammeView()
    view.set_data(programme_data())
    view.choose("A3")
    view.setFixedHeight(36 + 28 + 8 * 36)
    column.addWidget(view)
    table = QTableWidget(3, 3)
    table.setHorizontalHeaderLabels(["Scope", "Hours", "Amount, £"])
    table.verticalHeader().hide()
    table.verticalHeader().setDefaultSectionSize(24)
    table.setShowGrid(False)
    table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
    for place, text in enumerate(
        ("Engine", "168", "44,424", "Turbo", "30", "10,620", "Cab", "118", "18,854")
    ):
        table.setItem(place // 3, place % 3, QTableWidgetItem(text))
    table.selectRow(1)
    table.setFixedHeight(28 + 3 * 24 + 2)
    column.addWidget(table)
    column.addStretch()
    return column


def make_board() -> QWidget:
    """All parts side by side."""
    board = QFrame()
    board.setObjectName("board")
    board.setAutoFillBackground(True)
    row = QHBoxLayout(board)
    row.setContentsMargins(24, 20, 24, 20)
    row.setSpacing(28)
    for column, stretch in ((_left(), 0), (_middle(), 0), (_right(), 1)):
        column.setSpacing(9)
        row.addLayout(column, stretch)
    board.resize(1960, 960)
    return board


def main(folder: Path, names: tuple[ThemeName, ...] = ("light", "dark")) -> None:
    """Save one picture a theme."""
    application = QApplication.instance() or QApplication([])
    assert isinstance(application, QApplication)
    application.setStyle("Fusion")
    for name in names:
        apply_theme(application, load_theme(name))
        board = make_board()
        board.show()
        application.processEvents()
        board.grab().save(str(folder / f"gallery-{name}-{board.devicePixelRatioF():g}.png"))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
