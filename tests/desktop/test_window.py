"""The frame: ways between pages, panes, the why panel, what is told, and what a start may load."""

from __future__ import annotations

import os
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit

from estimator import app
from estimator.desktop.page import Page
from estimator.services.begin_job import begin_job
from estimator.services.errors import NotWritten
from tests.desktop.accessible import nameless
from tests.desktop.conftest import AREAS, NOW, settle, wait_for

ALT, CONTROL, SHIFT = (
    Qt.KeyboardModifier.AltModifier,
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.ShiftModifier,
)
PLAIN = Qt.KeyboardModifier.NoModifier
NUMBER = "Q-2041"


class Rows(Page):
    """A page of a job with a field to stand in, and rows one can be on."""

    def __init__(self, workshop, desk):
        super().__init__(workshop, desk)
        self.setAccessibleName("Rows")
        self.field, self.other = QLineEdit(self), QLineEdit(self)
        self.field.setAccessibleName("first")
        self.other.setAccessibleName("second")
        self.other.move(0, 60)
        self.at, self.rows_of = "", ""
        self.connect_to_desk()

    def refresh(self):
        if self.rows_of != self.desk.job.number:
            self.rows_of, self.at = self.desk.job.number, ""

    def take_focus(self):
        self.field.setFocus()

    def place(self):
        return self.at

    def go_to(self, place):
        """Rows come with the figures, as on the pages there are."""
        if self.desk.work is not None and self.desk.work.job.number == self.desk.job.number:
            self.at = place

    def panes(self):
        return (self.field, self.other)


@pytest.fixture(scope="module")
def window(make_shared_window):
    made = make_shared_window()
    for area in AREAS:
        made._makers[area] = lambda: Rows(made.workshop, made.desk)
    made.desk.reckoner.soon.timeout.disconnect()
    made.resize(1440, 900)
    return made


@pytest.fixture(scope="module")
def other(window, shared_record, catalogue):
    return begin_job(shared_record, catalogue, window.workshop.person, NOW)


@pytest.fixture
def opened(window):
    """The window with the job at its price, whatever the test before has done."""
    window.resize(1440, 900)
    window.activateWindow()
    window.messages.clear()
    if window.desk.job is None or window.desk.job.number != NUMBER:
        window.open_job(NUMBER, "price")
        wait_for(lambda: window.desk.job is not None and window.desk.job.number == NUMBER)
    window.go("price")
    wait_for(lambda: window.desk.work is not None)
    settle(None, window)
    return window


def press(window, key, modifier=PLAIN):
    QTest.keyClick(QApplication.focusWidget() or window, key, modifier)


def test_areas_have_keys_only_while_a_job_is_open(window):
    assert window.desk.job is None
    press(window, Qt.Key.Key_3, CONTROL)
    assert window.page_key == "jobs"
    window.open_job(NUMBER, "enquiry")
    wait_for(lambda: window.page_key == "enquiry")
    for place, area in enumerate(AREAS):
        press(window, Qt.Key(Qt.Key.Key_1 + place), CONTROL)
        assert window.page_key == area
        assert window.page.field.hasFocus()
        assert window.path.buttons[area].isChecked()
    press(window, Qt.Key.Key_Home, ALT)
    assert window.page_key == "jobs"


def test_back_and_forward_find_page_job_and_row_again(opened, other):
    opened._history.places, opened._history.at = [], -1
    opened.go("jobs")
    opened.go("price")
    opened.page.at = "P-TCK"
    opened.go("scope")
    opened.page.at = "R-07"
    opened.open_job(other, "scope")
    wait_for(lambda: opened.desk.job.number == other)
    wait_for(lambda: opened.page_key == "scope")

    def at():
        return opened.page_key, opened.desk.job.number, opened.page.place()

    press(opened, Qt.Key.Key_Left, ALT)
    wait_for(lambda: at() == ("scope", NUMBER, "R-07"))
    press(opened, Qt.Key.Key_Left, ALT)
    wait_for(lambda: at() == ("price", NUMBER, "P-TCK"))
    press(opened, Qt.Key.Key_Left, ALT)
    wait_for(lambda: opened.page_key == "jobs")
    press(opened, Qt.Key.Key_Left, ALT)  # nothing before it
    assert opened.page_key == "jobs"
    assert not opened.strip.back.isEnabled()
    press(opened, Qt.Key.Key_Right, ALT)
    wait_for(lambda: at() == ("price", NUMBER, "P-TCK"))
    press(opened, Qt.Key.Key_Right, ALT)
    wait_for(lambda: at() == ("scope", NUMBER, "R-07"))
    press(opened, Qt.Key.Key_Right, ALT)
    wait_for(lambda: at()[:2] == ("scope", other))
    assert not opened.strip.forward.isEnabled()


def test_a_place_is_reached_once_its_figures_are_there(opened, other):
    opened.open_job(other, "price")
    wait_for(lambda: opened.desk.job.number == other)
    opened.open_job(NUMBER, "price", "P-CRK")
    wait_for(lambda: opened.desk.job.number == NUMBER)
    wait_for(lambda: opened.page.place() == "P-CRK")


def test_f6_goes_round_the_panes_and_the_why_panel(opened):
    seen = []
    for _pane in range(4):
        press(opened, Qt.Key.Key_F6)
        seen.append(QApplication.focusWidget().accessibleName())
    assert seen == ["second", "Why this figure", "first", "second"]
    press(opened, Qt.Key.Key_F6, SHIFT)
    assert opened.page.field.hasFocus()
    opened.page.other.setEnabled(False)
    press(opened, Qt.Key.Key_F6)
    assert QApplication.focusWidget() is opened.why.body_scroll
    opened.page.other.setEnabled(True)


def test_f9_hides_and_pins_the_why_panel(opened):
    assert opened.why.isVisible()
    press(opened, Qt.Key.Key_F9)
    assert not opened.why.isVisible()
    press(opened, Qt.Key.Key_F9)
    assert opened.why.isVisible()
    press(opened, Qt.Key.Key_F9, SHIFT)
    before = opened.why.figure
    opened.page.why_asked.emit("contingency")
    assert opened.why.pinned
    assert opened.why.figure == before
    press(opened, Qt.Key.Key_F9, SHIFT)
    opened.page.why_asked.emit("contingency")
    assert opened.why.figure == "contingency"


@pytest.mark.parametrize(
    ("wide", "path", "overlay"),
    [(1280, 188, False), (1200, 188, True), (1000, 56, True), (900, 56, True)],
)
def test_a_narrow_window_narrows_the_path_and_lays_why_over_the_page(opened, wide, path, overlay):
    opened.resize(wide, 700)
    QApplication.processEvents()
    assert opened.width() == wide
    assert opened.path.width() == path
    assert opened.work_area.overlay == overlay
    assert opened.why.isVisible() != overlay
    page = opened.stack.width()
    if not overlay:
        assert opened.stack.width() == opened.work_area.width() - opened.why.width()
        return
    press(opened, Qt.Key.Key_F9)
    QApplication.processEvents()
    assert opened.why.isVisible()
    assert opened.stack.width() == page == opened.work_area.width()  # over it, not beside it
    assert opened.why.geometry().right() == opened.work_area.width() - 1
    assert opened.why.geometry().bottom() < opened.key_line.geometry().top()
    opened.go("scope")
    assert opened.why.isVisible()
    opened.page.setFocus()
    press(opened, Qt.Key.Key_Escape)
    assert not opened.why.isVisible()
    assert QApplication.focusWidget() is not None


def test_nothing_of_the_frame_is_wider_than_the_smallest_window(opened):
    job = opened.desk.job
    opened.header._customer.set_text("Gesellschaft zur Aufbereitung mineralischer Baustoffe " * 3)
    opened.strip.set_where("Q-2041 rev A", "Programme")
    opened.strip.set_person("Maximiliane Sonnenschein-Oberhuber", "service manager")
    opened.strip.set_workshop("Werkstatt fuer Baumaschinen und Foerdertechnik")
    opened.resize(900, 600)
    QApplication.processEvents()
    assert opened.width() == 900
    for widget in (opened.strip.person, opened.strip.find_button, opened.header.finish):
        right = widget.mapTo(opened, widget.rect().topRight()).x()
        assert right < 900, widget
    opened.header._show_names()
    opened._show_person(None)
    assert opened.desk.job is job


def test_the_message_bar_tells_and_esc_takes_it_away(opened):
    presenter = opened.workshop.presenter
    presenter.error(NotWritten("Not saved: <b>the disk</b> is full.", "Free some space."))
    assert opened.messages.isVisible()
    assert opened.messages.text == "Not saved: <b>the disk</b> is full. Free some space."
    assert nameless(opened.messages) == []
    press(opened, Qt.Key.Key_Escape)
    assert not opened.messages.isVisible()
    assert opened.page.field.hasFocus()
    presenter.notice("Worth knowing.")
    opened.messages._close.setFocus()
    opened.messages._close.click()
    assert opened.page.field.hasFocus()  # what had the focus is gone: the page has it


def test_stop_stops_what_is_named_beside_it(opened):
    begun, stopped = [], []

    def slow(report):
        import time

        begun.append(1)
        try:
            while True:
                report("step")
                time.sleep(0.01)
        finally:
            stopped.append(1)

    opened.workshop.runner.run(slow, lambda _none: None, says="Proving the record")
    wait_for(opened.key_line._cancel.isVisible)
    opened.key_line._cancel.setFocus()
    opened.key_line._cancel.click()
    wait_for(lambda: bool(stopped))
    wait_for(lambda: not opened.key_line._cancel.isVisible())
    assert opened.page.field.hasFocus()


def test_an_unexpected_error_is_told_in_plain_words_and_logged(opened, monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    app_catch(opened.workshop.presenter)
    try:
        raise KeyError("inner detail")
    except KeyError as error:
        sys.excepthook(type(error), error, error.__traceback__)
    assert "Something went wrong that should not have" in opened.messages.text
    assert "inner detail" not in opened.messages.text
    assert "is saved" not in opened.messages.text
    log = (tmp_path / "shimwright" / "errors.log").read_text(encoding="utf-8")
    assert "inner detail" in log
    assert "Traceback" in log
    assert opened.isVisible()


def app_catch(presenter):
    """What the window installs; the tests' windows leave it out."""
    import importlib.util

    spec = importlib.util.find_spec("estimator.app")
    fresh = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(fresh)
    fresh._catch_unexpected(presenter)


def test_hostile_text_in_the_frame_is_text(opened):
    name = '<img src="x"> & "Sons" <b>bold</b>'
    opened.header._customer.set_text(name)
    assert opened.header._customer.textFormat() == Qt.TextFormat.PlainText
    opened.strip.set_where("Q & Co", "Price")
    assert opened.strip._job.text() == "Q && Co"  # a lone one would mark a key
    opened.key_line.set_saved(name)
    assert opened.key_line._saved.textFormat() == Qt.TextFormat.PlainText
    opened.header._show_names()


def test_a_job_that_is_not_there_is_said_and_nothing_moves(opened):
    opened.open_job("Q-9999", "price")
    wait_for(lambda: "Q-9999" in opened.messages.text)
    assert opened.page_key == "price"
    assert opened.desk.job.number == NUMBER


def test_every_widget_of_the_frame_says_its_name(opened):
    opened.workshop.presenter.notice("Something")
    assert nameless(opened) == []


HEAVY = ("numpy", "scipy", "pandas", "reportlab", "PIL", "pypdfium2", "openpyxl", "alembic")


def test_a_window_on_its_jobs_list_has_loaded_nothing_heavy(template, tmp_path):
    """Not to begin with, and not by reading the catalogue either."""
    program = textwrap.dedent(f"""
        import sys
        from pathlib import Path
        from PySide6.QtCore import QTimer
        from estimator import app
        from estimator.desktop.formats import Formats
        from estimator.services.enrol_person import person_named
        from estimator.services.open_record import record_at

        application = app._application()
        record = record_at(Path(sys.argv[1]), app.clock())
        window = app.compose(record, person_named(record, "P. Holt"), Formats("en_GB"))
        window.show()
        timer = QTimer()
        timer.timeout.connect(
            lambda: application.quit()
            if window.workshop.catalogue is not None
            and not window.workshop.runner.busy
            and window.page.model.rowCount()
            else None
        )
        timer.start(20)
        application.exec()
        print([name for name in {HEAVY!r} if name in sys.modules])
        window.workshop.runner.wait()
    """)
    path = tmp_path / "record.db"
    path.write_bytes(template.read_bytes())
    root = Path(app.__file__).parents[1]
    environment = dict(os.environ, XDG_CONFIG_HOME=str(tmp_path), PYTHONPATH=str(root))
    done = subprocess.run(
        [sys.executable, "-c", program, str(path)],
        capture_output=True, text=True, env=environment, timeout=120, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip() == "[]"
