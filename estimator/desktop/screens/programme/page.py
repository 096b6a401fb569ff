"""The Programme page."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from estimator.desktop.desk import Desk
from estimator.desktop.formats import NotANumber
from estimator.desktop.language import _, ngettext
from estimator.desktop.page import Page
from estimator.desktop.runner import WORK
from estimator.desktop.screens.programme.chart import ACTIVITY, activity_words, programme_data
from estimator.desktop.screens.programme.legend import Legend
from estimator.desktop.screens.programme.side import FinishSide
from estimator.desktop.screens.programme.start_date import PLACE, with_start
from estimator.desktop.telling import told_of
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.desktop.widgets.programme_view import ProgrammeView
from estimator.desktop.workshop import Workshop
from estimator.domain.priced_job import PricedJob
from estimator.services.show_programme import ProgrammeRows, show_programme


class ProgrammePage(Page):
    """Activities as bars over days, and when the machine is ready."""

    own_side = True

    def __init__(self, workshop: Workshop, desk: Desk) -> None:
        super().__init__(workshop, desk)
        self.setAccessibleName(_("Programme"))
        self._shown: ProgrammeRows | None = None
        self._shown_of: PricedJob | None = None
        self.chart = ProgrammeView()
        self.chart.setAccessibleName(_("Activities over days"))
        self.side = FinishSide(workshop.formats)
        self.start = QLineEdit()
        self.start.setAccessibleName(_("Machine comes in"))
        self.start.setFixedWidth(132)
        self._reason = ElidedLabel(tone="attention")
        self._state = _label("", "attention")
        self._words = ElidedLabel(tone="second")
        self._build()
        self.chart.row_chosen.connect(self._on_chosen)
        self.start.editingFinished.connect(self._on_start)
        self.connect_to_desk()
        desk.faults_changed.connect(lambda _faults: self.stale())

    def _build(self) -> None:
        tools = QFrame()
        tools.setProperty("look", "tools")
        row = QHBoxLayout(tools)
        row.setContentsMargins(24, 8, 24, 8)
        row.setSpacing(10)
        row.addWidget(_label(_("Programme"), "section"))
        row.addWidget(self._reason, 1)
        caption = _label(_("Machine comes in, parts ordered"), "second")
        caption.setBuddy(self.start)
        row.addWidget(caption)
        row.addWidget(self.start)
        self._state.setContentsMargins(24, 8, 24, 8)
        words = QWidget()
        below = QVBoxLayout(words)
        below.setContentsMargins(24, 6, 24, 2)
        below.addWidget(self._words)
        left = QVBoxLayout()
        left.setSpacing(0)
        for widget in (tools, self._state):
            left.addWidget(widget)
        left.addWidget(self.chart, 1)
        left.addWidget(words)
        left.addWidget(Legend())
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addLayout(left, 1)
        layout.addWidget(self.side)

    # What is shown

    def refresh(self) -> None:
        """Show the newest reckoning; its rows are made in the background."""
        job, priced = self.desk.job, self.desk.priced
        self._show_start()
        self._show_state()
        if job is None or priced is None or priced.job.number != job.number:
            self._take(None)
            return
        if priced is not self._shown_of:
            self._shown_of = priced
            self.workshop.runner.run(
                lambda _report: show_programme(priced),
                lambda shown: self._take_if_newest(priced, shown),
                lane=WORK,
                subject="programme",
            )

    def _take_if_newest(self, priced: PricedJob, shown: ProgrammeRows) -> None:
        if priced is self._shown_of:
            self._take(shown)

    def _take(self, shown: ProgrammeRows | None) -> None:
        self._shown = shown
        if shown is None:
            self._shown_of = None
        say = self.workshop.formats
        self.chart.set_data(programme_data(shown, say) if shown is not None else None)
        self._choose_first()
        self.side.set_rows(shown)
        self._show_words()
        self._show_state()

    def _show_state(self) -> None:
        faults = self.desk.faults
        if faults:
            text = ngettext(
                "{n} fault keeps this job from being priced. Quote lists it.",
                "{n} faults keep this job from being priced. Quote lists them.",
                len(faults),
            ).format(n=len(faults))
        elif self._shown is None:
            text = _("Working out the dates.")
        else:
            text = self.desk.why_not()
        self._state.setText(text)
        self._state.setVisible(bool(text))

    # The start

    def _show_start(self) -> None:
        job = self.desk.job
        self.start.setReadOnly(bool(self.desk.why_not()))
        if job is None or (self.start.hasFocus() and self.start.isModified()):
            return
        kept = self.desk.kept.get(PLACE)
        self.start.setText(kept if kept is not None else self.workshop.formats.day(job.start))
        self.start.setModified(False)
        self._mark(self._reason_for(kept) if kept is not None else "")

    def _reason_for(self, text: str) -> str:
        try:
            self.workshop.formats.read_day(text)
        except NotANumber as error:
            return told_of(error)
        return ""

    def _on_start(self) -> None:
        job = self.desk.job
        if job is None or not self.start.isModified() or self.desk.why_not():
            return
        self.start.setModified(False)
        text = self.start.text().strip()
        if text == self.workshop.formats.day(job.start):
            self.desk.drop(PLACE)
            self._mark("")
            return
        if reason := self._reason_for(text):
            self.desk.keep(PLACE, text, reason)
            self._mark(reason)
            return
        self.desk.drop(PLACE)
        self._mark("")
        start = self.workshop.formats.read_day(text)
        self.desk.edit(_("start date"), with_start(job, start))
        self._show_start()

    def _mark(self, reason: str) -> None:
        self._reason.set_text(reason)
        self.start.setProperty("state", "invalid" if reason else "")
        self.start.setAccessibleDescription(reason)
        self.start.style().unpolish(self.start)
        self.start.style().polish(self.start)

    # Rows

    def _on_chosen(self, key: object) -> None:
        self.why_asked.emit(self._finish_name())
        self._show_words()
        if isinstance(key, tuple):
            self.place_changed.emit(key[1])

    def _show_words(self) -> None:
        """The chosen activity in words under the chart."""
        code = self.place()
        rows = self._shown.rows if self._shown is not None else ()
        row = next((one for one in rows if one.id == code), None)
        self._words.set_text(activity_words(row, self.workshop.formats) if row is not None else "")

    def _finish_name(self) -> str:
        return self._shown.figure if self._shown is not None else "net"

    # The window's wishes

    def explain_here(self) -> None:
        """The finish."""
        self.why_asked.emit(self._finish_name())

    def show_side(self, shown: bool) -> None:
        """F9 puts the why panel where the finish stands."""
        self.side.setVisible(shown)

    def take_focus(self) -> None:
        """Activities are walked by keys."""
        self.chart.setFocus(Qt.FocusReason.OtherFocusReason)
        self._choose_first()

    def _choose_first(self) -> None:
        data = self.chart.data
        if self.chart.hasFocus() and self.chart.chosen is None and data is not None and data.rows:
            self.chart.choose(data.rows[0].key)

    def go_to(self, place: str) -> None:
        """To an activity, or to the start date."""
        if place == PLACE:
            self.start.setFocus(Qt.FocusReason.OtherFocusReason)
            self.start.selectAll()
        else:
            self.chart.choose((ACTIVITY, place))

    def place(self) -> str:
        """The chosen activity."""
        key = self.chart.chosen
        return str(key[1]) if isinstance(key, tuple) else ""

    def main_action(self) -> None:
        """Ctrl+Enter: to the one thing that can be set here."""
        self.go_to(PLACE)

    def panes(self) -> Sequence[QWidget]:
        """Chart, start date, finish."""
        return (self.chart, self.start, self.side.area)

    def keys(self) -> Sequence[tuple[str, str]]:
        """Keys of this page."""
        return (
            ("\u2191 \u2193", _("walk the activities")),
            ("Ctrl+Enter", _("start date")),
            ("F9", _("why")),
        )


def _label(text: str, tone: str) -> QLabel:
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setProperty("tone", tone)
    return label
