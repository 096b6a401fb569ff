"""Which look or test to take first: worked out in the background while its pane is in front."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QPushButton

from estimator.desktop.desk import Desk
from estimator.desktop.key_names import key_names
from estimator.desktop.language import _
from estimator.desktop.runner import RECKONING, WORK, Task
from estimator.desktop.screens.exposure.look_columns import LEFT_OUT, look_columns
from estimator.desktop.screens.exposure.look_words import look_name, look_reasons, spread_words
from estimator.desktop.screens.exposure.pane import GridPane
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.plain_label import plain_label
from estimator.desktop.widgets.row_model import RowModel
from estimator.domain.job import Job
from estimator.domain.priced_job import PricedJob
from estimator.services.add_look import with_look
from estimator.services.exposure_tables import look_table
from estimator.services.show_open_first import LookRow, OpenFirst


class OpenFirstPane(GridPane):
    """Works out anew whenever there is another whole reckoning, and only while it can be seen; it
    gives way to a reckoning that is about to begin.

    Signals: changed(): rows came, or it is being worked out
    """

    changed = Signal()

    def __init__(self, desk: Desk) -> None:
        self._desk, self._formats = desk, desk.workshop.formats
        self._found: OpenFirst | None = None
        self._found_of: PricedJob | None = None
        self._asked_of: PricedJob | None = None
        self._task: Task | None = None
        self._widest = 1
        columns = look_columns(self._formats, lambda: self._widest)
        super().__init__(Grid(RowModel(columns, lambda row: row.id), _("Open first")), LEFT_OUT)
        self._stop_button = QPushButton(_("Stop"))
        self._stop_button.setAccessibleName(_("Stop working out what to open first"))
        self._stop_button.clicked.connect(self._stopped_here)
        self._again = QPushButton(_("Work out"))
        self._again.setAccessibleName(_("Work out what to open first"))
        self._again.clicked.connect(self._begin)
        for button in (self._stop_button, self._again):
            button.setProperty("look", "quiet")
            button.hide()
            self.head.addWidget(button)
        self.add = CommandButton(_("Add to the inspection"), key_names("Ctrl+Enter"), tool=True)
        self.add.clicked.connect(self.add_chosen)
        self.foot.addWidget(
            plain_label(
                _("What a look finds is priced; moving money from exposed to firm is no saving."),
                "note",
                wrapped=True,
            )
        )
        self.tools = (self.add,)
        self.grid.opened.connect(lambda _row: self.add_chosen())
        desk.workshop.runner.busy_changed.connect(lambda _task, _what: self._on_busy())

    @property
    def found(self) -> OpenFirst | None:
        """The looks that are shown."""
        return self._found

    # Working out

    def follow(self) -> None:
        """The desk holds something else: begin anew where the whole reckoning is another."""
        priced = self._desk.priced if self._desk.fresh else None
        if priced is None or priced is not self._asked_of:
            self._stop()
        other = self._desk.job is None or (
            self._found_of is not None and self._found_of.job.number != self._desk.job.number
        )
        if other:
            self._take(None, None)
        known = priced is self._found_of or priced is self._asked_of
        if priced is not None and not known and self.isVisible():
            self._begin()
        self._tell()

    def showEvent(self, event: QShowEvent) -> None:
        """What was not worked out while nobody looked is worked out now."""
        super().showEvent(event)
        self.follow()

    def hideEvent(self, event: QHideEvent) -> None:
        """Nobody waits for it any more."""
        self._stop()
        super().hideEvent(event)

    def _begin(self) -> None:
        priced = self._desk.priced
        if priced is None or not self._desk.fresh:
            return
        self._stop()
        self._asked_of = priced

        def work(report: Callable[[str], None]) -> OpenFirst:
            def progress(done: int, of: int) -> None:
                report(_("What to open first: {n} of {all}").format(n=done, all=of))

            return look_table(priced, progress)

        self._task = self._desk.workshop.runner.run(
            work,
            lambda found: self._take_if_newest(found, priced),
            lane=RECKONING,
            subject="open first",
            says=_("Working out what to open first"),
            failed=self._on_failed,
        )
        self._tell()

    def _take_if_newest(self, found: OpenFirst, priced: PricedJob) -> None:
        if priced is self._asked_of:
            self._task, self._asked_of = None, None
            self._take(found, priced)
            self._tell()

    def _on_failed(self, error: Exception) -> None:
        self._task = None
        self._desk.workshop.presenter.error(error)
        self._tell()

    def _stop(self) -> None:
        if self._task is not None:
            self._task.stop()
        self._task, self._asked_of = None, None

    def _stopped_here(self) -> None:
        had_focus = self._stop_button.hasFocus()
        self._stop()
        self._tell()
        if had_focus:
            self._again.setFocus()

    def _on_busy(self) -> None:
        """The key line's own button stops it too."""
        if self._task is not None and self._task.stopping.is_set():
            self._stop()
            self._tell()

    # What is shown

    def _take(self, found: OpenFirst | None, priced: PricedJob | None) -> None:
        self._found, self._found_of = found, priced
        rows = found.rows if found is not None else ()
        self._widest = max((row.fall.minor for row in rows), default=1)
        self.show_rows()
        self.changed.emit()

    def show_rows(self) -> None:
        """The looks, the largest expected fall first."""
        self.fill(self._found.rows if self._found is not None else ())

    def _tell(self) -> None:
        working = self._task is not None
        current = self._found_of is not None and self._found_of is self._desk.priced
        if working:
            text = _("Working out which look would tell most.")
        elif self._found is not None and current and self._desk.fresh:
            text = spread_words(self._found, self._formats)
            if not self._found.rows:
                text = _("Nothing is left to open or to test.")
        elif self._found is not None:
            text = _("From before the last change.")
        else:
            text = _("looks and tests, by how far each is expected to close the spread")
        self.note.set_text(text)
        self._stop_button.setVisible(working)
        self._again.setVisible(not working and self._desk.fresh and not current)
        self._show_button()

    def _show_button(self) -> None:
        row = self.grid.current_row()
        reason = self._desk.why_not()
        if not reason and not isinstance(row, LookRow):
            reason = _("Choose a look first.")
        elif not reason and row.added:
            reason = _("It stands on the inspection.")
        self.add.set_available(reason)

    def on_current(self, row: Any) -> None:
        """What the look is expected to do, in the why panel."""
        self._show_button()
        if isinstance(row, LookRow) and self._found is not None:
            self.why_asked.emit(look_reasons(row, self._found, self._formats))

    # Adding

    def add_chosen(self) -> None:
        """Put the look one is on on the inspection, as a task."""
        row, job, priced = self.grid.current_row(), self._desk.job, self._desk.priced
        if self._desk.why_not():
            self._desk.workshop.presenter.notice(self._desk.why_not())
            return
        if not isinstance(row, LookRow) or row.added or job is None or priced is None:
            return
        cat = priced.cat

        def take(after: Job) -> None:
            if self._desk.job is job:
                self._mark(row)
                self._desk.edit(_("look: {look}").format(look=look_name(row)), after)

        self._desk.workshop.runner.run(
            lambda _report: with_look(job, cat, row.id), take, lane=WORK, subject="add look"
        )

    def _mark(self, added: LookRow) -> None:
        """Say at once that it is a task; the next reckoning says it by itself."""
        assert self._found is not None
        rows: tuple[Any, ...] = tuple(
            replace(row, added=True) if row.id == added.id else row for row in self._found.rows
        )
        self._found = replace(self._found, rows=rows)
        self.show_rows()
        self._show_button()
