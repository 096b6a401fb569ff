"""The painted widgets under keyboard, pointer and a screen reader's questions."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from io import BytesIO
from pathlib import Path
from time import perf_counter
from typing import Any

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QAccessible, QColor, QDropEvent, QGuiApplication, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from estimator.desktop.drawing.bars import CertaintyParts, RangeValues, Share
from estimator.desktop.drawing.gauge import GaugeWords
from estimator.desktop.drawing.histogram import Week
from estimator.desktop.drawing.marks import Mark
from estimator.desktop.drawing.share_rows import Contribution
from estimator.desktop.focus_ring import FocusRing
from estimator.desktop.theme import apply_theme, current_theme, load_theme
from estimator.desktop.widgets.certainty_bar import CertaintyBar
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.widgets.contribution_bars import ContributionBars
from estimator.desktop.widgets.cost_curve import CostCurve
from estimator.desktop.widgets.field_frame import FieldFrame
from estimator.desktop.widgets.finish_histogram import FinishHistogram
from estimator.desktop.widgets.key_cap import KeyCap
from estimator.desktop.widgets.mark import MarkLabel
from estimator.desktop.widgets.pdf_pages import PdfPages
from estimator.desktop.widgets.photo_strip import LARGEST_FILE, Photo, PhotoStrip
from estimator.desktop.widgets.programme_view import ProgrammeView
from estimator.desktop.widgets.range_strip import RangeStrip
from estimator.desktop.widgets.segmented import Segmented
from estimator.desktop.widgets.small_path import SmallPath
from estimator.desktop.widgets.wear_gauge import WearGauge
from tests.desktop.gallery import READINGS, WORDS, curve_data, make_board, programme_data


def heard(signal: Any) -> list[object]:
    """Everything that a signal carries from now on."""
    said: list[object] = []
    signal.connect(said.append)
    return said


def pixel(image: QImage, x: float, y: float) -> QColor:
    """The colour at a place in logical pixels, at whatever scale the picture was taken."""
    scale = image.devicePixelRatio()
    return image.pixelColor(int((x + 0.5) * scale), int((y + 0.5) * scale))


def shown(qtbot: QtBot, widget: QWidget, width: int, height: int) -> None:
    qtbot.addWidget(widget)
    widget.resize(width, height)
    widget.show()
    QTest.qWait(1)


@pytest.fixture
def curve(qtbot: QtBot) -> CostCurve:
    widget = CostCurve()
    widget.set_data(curve_data())
    shown(qtbot, widget, 760, 300)
    return widget


def test_dragging_the_handle_changes_the_confidence(curve: CostCurve) -> None:
    said = heard(curve.confidence_changed)
    start = curve.handle_position()
    assert start is not None
    QTest.mousePress(curve, Qt.MouseButton.LeftButton, pos=start.toPoint())
    for step in range(1, 9):
        QTest.mouseMove(curve, start.toPoint() + QPoint(5 * step, 0))
    QTest.mouseRelease(curve, Qt.MouseButton.LeftButton)
    assert said
    assert all(isinstance(value, Decimal) for value in said)
    assert said == sorted(said, key=str)
    assert curve.data is not None
    assert curve.data.confidence == said[-1] > Decimal("0.80")
    end = curve.handle_position()
    assert end is not None
    assert abs(end.x() - (start.x() + 40)) < 8


def test_a_press_beside_the_handle_drags_nothing(curve: CostCurve) -> None:
    said = heard(curve.confidence_changed)
    QTest.mousePress(curve, Qt.MouseButton.LeftButton, pos=QPoint(100, 100))
    QTest.mouseMove(curve, QPoint(300, 100))
    assert not said


@pytest.mark.parametrize(
    ("key", "expected"),
    [
        (Qt.Key.Key_Right, "0.81"),
        (Qt.Key.Key_Up, "0.81"),
        (Qt.Key.Key_Left, "0.79"),
        (Qt.Key.Key_Down, "0.79"),
        (Qt.Key.Key_PageUp, "0.85"),
        (Qt.Key.Key_PageDown, "0.75"),
        (Qt.Key.Key_Home, "0.50"),
        (Qt.Key.Key_End, "0.95"),
    ],
)
def test_keys_change_the_confidence(curve: CostCurve, key: Qt.Key, expected: str) -> None:
    said = heard(curve.confidence_changed)
    QTest.keyClick(curve, key)
    assert said == [Decimal(expected)]


def test_confidence_stays_within_its_bounds_and_a_lock_holds_it(curve: CostCurve) -> None:
    said = heard(curve.confidence_changed)
    for _press in range(5):
        QTest.keyClick(curve, Qt.Key.Key_PageUp)
    assert said[-1] == Decimal("0.95")
    assert len(said) == 3
    curve.set_locked(True)
    QTest.keyClick(curve, Qt.Key.Key_Left)
    assert len(said) == 3


def test_the_curve_shows_where_its_base_and_handle_stand(curve: CostCurve) -> None:
    image, colours = curve.grab().toImage(), current_theme().colours
    handle = curve.handle_position()
    assert handle is not None
    assert pixel(image, handle.x(), handle.y()) == colours.exp_line
    found = {pixel(image, x, 270 - 5).name() for x in range(curve.width() - 1)}
    assert colours.firm.name() in found
    assert colours.exp_fill.name() in found


def test_an_empty_curve_and_a_flat_one_draw_without_fault(curve: CostCurve) -> None:
    assert curve.data is not None
    flat = replace(curve.data, points=[(28_404_800, 1.0)], flags=(), mean=None)
    for data in (flat, replace(flat, points=[]), None):
        curve.set_data(data)
        curve.grab()
    assert curve.handle_position() is None


def test_programme_rows_are_chosen_by_keys_and_pointer(qtbot: QtBot) -> None:
    view = ProgrammeView()
    view.set_data(programme_data(100))
    shown(qtbot, view, 900, 400)
    chosen, opened = heard(view.row_chosen), heard(view.row_opened)
    for key in (Qt.Key.Key_Down, Qt.Key.Key_Down, Qt.Key.Key_Up, Qt.Key.Key_Return):
        QTest.keyClick(view, key)
    assert chosen == ["A1", "A2", "A1"]
    assert opened == ["A1"]
    assert "Receive" in view.accessibleDescription()
    QTest.keyClick(view, Qt.Key.Key_End)
    assert view.chosen == "M99"
    last = view.row_rect(107)
    assert last.top() >= 0
    assert last.bottom() <= view.viewport().height()
    place = view.row_rect(105).center().toPoint()
    QTest.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert view.chosen == "M97"
    view.set_data(programme_data(200))
    assert view.chosen == "M97"


def test_only_rows_inside_the_exposed_rectangle_are_drawn(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    import estimator.desktop.widgets.programme_view as module

    view = ProgrammeView()
    view.set_data(programme_data(2000))
    shown(qtbot, view, 900, 400)
    drawn: list[object] = []
    paint: Callable[..., None] = module.paint_row

    def counted(painter: Any, rect: Any, row: Any, *more: Any) -> None:
        drawn.append(row.key)
        paint(painter, rect, row, *more)

    monkeypatch.setattr(module, "paint_row", counted)
    view.viewport().repaint(0, 36, 900, 36)
    assert 1 <= len(drawn) <= 2
    began = perf_counter()
    view.viewport().repaint()
    assert perf_counter() - began < 0.05
    assert len(drawn) < 20


def test_long_names_are_cut_and_told_in_a_tooltip(qtbot: QtBot) -> None:
    view = ProgrammeView()
    view.set_data(programme_data())
    shown(qtbot, view, 900, 400)
    view.choose("A7")
    assert view.viewport().toolTip().startswith("Zylinderkopf")
    view.choose("A8")
    assert view.viewport().toolTip() == ""

    label = MarkLabel(Mark.WAITS, "Wartet auf die Zustimmung des Auftraggebers")
    shown(qtbot, label, 120, 20)
    assert label.toolTip() == label.text
    label.resize(400, 20)
    assert label.toolTip() == ""

    button = CommandButton("Auftragsbestätigung freigeben", "Strg+Eingabe")
    shown(qtbot, button, 120, 32)
    assert button.toolTip() == "Auftragsbestätigung freigeben"

    gauge = WearGauge()
    gauge.set_reading(READINGS[0], WORDS[2])
    shown(qtbot, gauge, 240, 70)
    assert "Instandsetzungsgrenze 120,50" in gauge.toolTip()
    gauge.set_reading(READINGS[0], WORDS[0])
    assert gauge.toolTip() == ""


def test_contributions_are_walked_by_keys(qtbot: QtBot) -> None:
    bars = ContributionBars()
    bars.set_rows([Contribution(key, key, "1", Share(5, 8, 10)) for key in ("a", "b", "c")])
    shown(qtbot, bars, 300, 81)
    chosen, opened = heard(bars.row_chosen), heard(bars.row_opened)
    for key in (Qt.Key.Key_Down, Qt.Key.Key_End, Qt.Key.Key_Up, Qt.Key.Key_Return):
        QTest.keyClick(bars, key)
    assert chosen[-2:] == ["c", "b"]
    assert opened == ["b"]
    bars.set_rows([])
    QTest.keyClick(bars, Qt.Key.Key_Down)
    bars.grab()


def test_the_switch_goes_by_arrows_and_by_pointer(qtbot: QtBot) -> None:
    switch = Segmented(("Price", "Cost"), "View")
    shown(qtbot, switch, 130, 28)
    said = heard(switch.chosen)
    QTest.keyClick(switch, Qt.Key.Key_Right)
    QTest.keyClick(switch, Qt.Key.Key_Right)
    assert said == [1]
    assert switch.accessibleDescription() == "Cost"
    QTest.mouseClick(switch, Qt.MouseButton.LeftButton, pos=QPoint(10, 10))
    assert said == [1, 0]
    switch.set_place(1)
    assert said == [1, 0]
    assert switch.place == 1


def test_a_mistake_is_marked_and_what_was_typed_stays(qtbot: QtBot) -> None:
    field = QLineEdit()
    frame = FieldFrame("Pin bore", field, "as read")
    shown(qtbot, frame, 260, 90)
    field.setText("12l.3")
    frame.mark_invalid("Not a size: write figures, such as 121.3.")
    image, edge = field.grab().toImage(), current_theme().colours.attn
    middle = field.height() // 2
    assert pixel(image, 0, middle) == edge
    assert pixel(image, 1, middle) == edge
    assert pixel(image, 2, middle) != edge
    assert field.text() == "12l.3"
    assert field.height() == 32
    assert field.accessibleName() == "Pin bore"
    assert field.accessibleDescription().startswith("Not a size")
    triangle = frame.grab().toImage()
    below = field.geometry().bottom() + 4
    assert any(
        pixel(triangle, x, y) == edge for x in range(16) for y in range(below, frame.height() - 1)
    )
    frame.mark_valid()
    assert pixel(field.grab().toImage(), 1, middle) != edge
    assert frame.reason == ""
    assert field.text() == "12l.3"


def test_the_focus_ring_lies_around_the_control_and_follows_it(qtbot: QtBot) -> None:
    window = QWidget()
    button = CommandButton("Release", parent=window)
    button.setGeometry(20, 20, 100, 32)
    plain = QWidget(window)
    plain.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    shown(qtbot, window, 200, 100)
    window.activateWindow()
    button.setFocus()
    qtbot.waitUntil(button.hasFocus)
    ring = window.findChild(FocusRing)
    assert ring is not None
    assert ring.isVisible()
    assert ring.geometry() == button.geometry().adjusted(-3, -3, 3, 3)
    image = window.grab().toImage()
    assert pixel(image, 18, 36) == current_theme().colours.focus
    button.move(40, 30)
    assert ring.geometry() == button.geometry().adjusted(-3, -3, 3, 3)
    plain.setFocus()
    assert not ring.isVisible()


def test_a_button_that_is_not_for_now_says_why(qtbot: QtBot) -> None:
    button = CommandButton("Release", "Ctrl+Enter", primary=True)
    shown(qtbot, button, 160, 32)
    clicks: list[bool] = []
    button.clicked.connect(lambda: clicks.append(True))
    button.set_available("2 prices expired")
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    assert button.toolTip() == "2 prices expired"
    assert button.accessibleDescription() == "2 prices expired"
    button.set_available()
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    assert clicks == [True]


def photo_bytes() -> bytes:
    image = QImage(4, 4, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.red)
    mime = QMimeData()
    mime.setImageData(image)
    from estimator.desktop.widgets.photo_strip import given_photographs

    return given_photographs(mime)[0][0][1]


def test_dropped_files_come_with_name_and_bytes(qtbot: QtBot, tmp_path: Path) -> None:
    strip = PhotoStrip("Drop photos here", "or Ctrl+V")
    shown(qtbot, strip, 500, 100)
    good, empty = tmp_path / "bore.jpg", tmp_path / "no image.png"
    good.write_bytes(b"\xff\xd8 not judged here")
    empty.write_bytes(b"")
    huge = tmp_path / "huge.jpg"
    with huge.open("wb") as file:
        file.truncate(LARGEST_FILE + 1)
    given, refused = heard(strip.photographs_given), heard(strip.photographs_refused)
    mime = QMimeData()
    gone = tmp_path / "gone.jpg"
    mime.setUrls([QUrl.fromLocalFile(str(path)) for path in (good, empty, huge, gone, tmp_path)])
    event = QDropEvent(
        QPointF(5, 5),
        Qt.DropAction.CopyAction,
        mime,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    strip.dropEvent(event)
    assert given == [[("bore.jpg", b"\xff\xd8 not judged here"), ("no image.png", b"")]]
    assert refused == [["huge.jpg", "gone.jpg", tmp_path.name]]


def test_a_pasted_picture_comes_as_png(qtbot: QtBot) -> None:
    strip = PhotoStrip("Drop photos here")
    shown(qtbot, strip, 500, 100)
    given = heard(strip.photographs_given)
    image = QImage(6, 3, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.blue)
    QGuiApplication.clipboard().setImage(image)
    QTest.keyClick(strip, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    (batch,) = given
    assert isinstance(batch, list)
    name, content = batch[0]
    assert name.endswith(".png")
    assert QImage.fromData(content).size() == image.size()
    strip.set_locked(True)
    QTest.keyClick(strip, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    assert len(given) == 1


def test_photographs_are_walked_looked_at_and_removed_by_keys(qtbot: QtBot) -> None:
    strip = PhotoStrip("Drop photos here")
    picture = QImage.fromData(photo_bytes())
    strip.set_photos([Photo(key, f"photo {key}", picture) for key in range(6)])
    shown(qtbot, strip, 300, 100)
    full, removed = heard(strip.full_size_asked), heard(strip.removal_asked)
    for _press in range(4):
        QTest.keyClick(strip, Qt.Key.Key_Right)
    QTest.keyClick(strip, Qt.Key.Key_Space)
    QTest.keyClick(strip, Qt.Key.Key_Delete)
    assert full == [4]
    assert removed == [4]
    assert strip.accessibleDescription() == "5. photo 4"
    rect = strip.thumbnail_rect(4)
    assert rect.left() >= 0
    assert rect.right() <= strip.width()
    assert pixel(strip.grab().toImage(), rect.center().x(), rect.center().y()).red() > 200


def pdf_of(pages: int) -> bytes:
    from reportlab.pdfgen.canvas import Canvas

    out = BytesIO()
    canvas = Canvas(out, pagesize=(595, 842))
    for page in range(pages):
        canvas.setFillColorRGB(0, 0, 1)
        canvas.rect(0, 0, 595, 842, fill=1)
        canvas.drawString(50, 50, str(page))
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def test_only_pages_in_view_are_drawn_and_never_on_the_windows_thread(qtbot: QtBot) -> None:
    pages = PdfPages("wait")
    shown(qtbot, pages, 500, 600)
    with qtbot.waitSignal(pages.shown, timeout=10_000):
        pages.show_document(pdf_of(12))
    assert pages.page_count == 12
    assert pages.page_image(0) is not None
    assert pages.page_image(8) is None
    rect = pages.page_rect(0)
    image = pages.viewport().grab().toImage()
    assert pixel(image, rect.center().x(), rect.center().y()).blue() > 240
    began = perf_counter()
    with qtbot.waitSignal(pages.shown, timeout=10_000):
        QTest.keyClick(pages, Qt.Key.Key_End)
        assert perf_counter() - began < 0.05
    assert pages.page_image(11) is not None
    with qtbot.waitSignal(pages.shown, timeout=10_000):
        pages.resize(420, 600)


def test_a_new_document_wins_over_one_still_being_drawn(qtbot: QtBot) -> None:
    pages = PdfPages()
    shown(qtbot, pages, 500, 600)
    pages.show_document(pdf_of(9))
    pages.show_document(pdf_of(2))
    pages.resize(520, 600)
    qtbot.waitUntil(lambda: pages.page_image(0) is not None, timeout=10_000)
    assert pages.page_count == 2


def test_what_is_no_document_is_told(qtbot: QtBot) -> None:
    pages = PdfPages()
    shown(qtbot, pages, 500, 600)
    with qtbot.waitSignal(pages.failed, timeout=10_000):
        pages.show_document(b"no document")
    assert pages.page_count == 0


ENDING = """
from PySide6.QtWidgets import QApplication
from estimator.desktop.widgets.pdf_pages import PdfPages
from tests.desktop.test_painted_widgets import pdf_of
application = QApplication([])
views = [PdfPages() for _place in range(6)]
content = pdf_of(40)
for view in views:
    view.resize(500, 600)
    view.show()
    view.show_document(content)
    application.processEvents()
    application.processEvents()
"""


def test_a_program_that_ends_while_pages_are_read_ends_cleanly() -> None:
    for _time in range(3):
        ended = subprocess.run(  # the worker is still busy when the script is over
            [sys.executable, "-c", ENDING], capture_output=True, text=True, timeout=60, check=False
        )
        assert ended.returncode == 0, ended.stderr


def widgets_with_names() -> list[QWidget]:
    curve, view, bars = CostCurve(), ProgrammeView(), ContributionBars()
    for widget in (curve, view, bars):
        widget.setAccessibleName("Given by the page")
    return [
        curve,
        view,
        bars,
        CommandButton("Release"),
        Segmented(("Price", "Cost"), "View"),
        PhotoStrip("Drop photos here"),
        MarkLabel(Mark.DONE, "done"),
        KeyCap("F2", "edit"),
    ]


def test_a_screen_reader_is_told_a_name(qtbot: QtBot) -> None:
    for widget in widgets_with_names():
        qtbot.addWidget(widget)
        interface = QAccessible.queryAccessibleInterface(widget)
        assert interface.text(QAccessible.Text.Name)


def test_what_is_painted_says_what_the_caller_tells_it(qtbot: QtBot) -> None:
    bar = CertaintyBar()
    qtbot.addWidget(bar)
    bar.say("Price", "firm £210,505, provisional £73,543")
    interface = QAccessible.queryAccessibleInterface(bar)
    assert interface.text(QAccessible.Text.Name) == "Price"
    assert "73,543" in interface.text(QAccessible.Text.Description)


def test_small_widgets_draw_in_their_hinted_size(qtbot: QtBot) -> None:
    bar, strip, weeks, gauge = CertaintyBar(14), RangeStrip(), FinishHistogram(), WearGauge(True)
    bar.set_parts(CertaintyParts(5, 3, 2))
    strip.set_values(RangeValues(1, 2, 3, 4))
    weeks.set_weeks([Week(3, "3", "1 Feb", True), Week(0, "0", "", False)])
    gauge.set_reading(READINGS[1], GaugeWords())
    colours = current_theme().colours
    for widget, colour in (
        (bar, colours.firm),
        (strip, colours.exp_line),
        (weeks, colours.exp_line),
        (gauge, colours.attn),
        (SmallPath(2, 7), colours.ink),
    ):
        qtbot.addWidget(widget)
        widget.resize(widget.sizeHint())
        image = widget.grab().toImage()
        assert any(
            image.pixelColor(x, y) == colour
            for x in range(image.width())
            for y in range(image.height())
        )


def test_a_change_of_theme_repaints_what_is_open(qtbot: QtBot, qapp: Any) -> None:
    bar = CertaintyBar()
    bar.set_parts(CertaintyParts(1, 0, 0))
    shown(qtbot, bar, 100, 28)
    try:
        apply_theme(qapp, load_theme("dark"))
        dark = bar.grab().toImage().pixelColor(50, 14)
    finally:
        apply_theme(qapp, load_theme("light"))
    assert dark == load_theme("dark").colours.firm
    assert bar.grab().toImage().pixelColor(50, 14) == load_theme("light").colours.firm


def test_the_whole_gallery_draws_in_time(qtbot: QtBot) -> None:
    board = make_board()
    qtbot.addWidget(board)
    board.show()
    QTest.qWait(1)
    board.grab()
    began = perf_counter()
    board.grab()
    assert perf_counter() - began < 0.5
