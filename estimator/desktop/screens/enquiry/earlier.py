"""Earlier jobs of the same machine or customer, as a short list to go to."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QLabel, QVBoxLayout, QWidget

from estimator.desktop.language import _
from estimator.desktop.widgets.entry_button import EntryButton
from estimator.desktop.workshop import Workshop
from estimator.domain.job import Job
from estimator.domain.record import JobSummary
from estimator.services.list_jobs import list_jobs

MOST = 6
SUBJECT = "earlier jobs"


class EarlierJobs(QFrame):
    """Looks for them in the record's lane; hidden where there are none.

    Signals: job_asked(str): number of a job to go to.
    """

    job_asked = Signal(str)

    def __init__(self, workshop: Workshop, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("look", "card")
        self._workshop = workshop
        self._of: tuple[str, str, str] = ("", "", "")
        title = QLabel(_("Earlier jobs"))
        title.setProperty("tone", "section")
        title.setTextFormat(Qt.TextFormat.PlainText)
        self._rows = QVBoxLayout()
        self._rows.setSpacing(2)
        self.buttons: list[EntryButton] = []
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 14, 20, 14)
        column.addWidget(title)
        column.addLayout(self._rows)
        self.hide()

    def show_job(self, job: Job) -> None:
        """Look again where number, serial or customer are others."""
        of = (job.number, job.machine.serial.strip(), job.customer.name.strip())
        if of == self._of:
            return
        self._of = of
        number, serial, customer = of
        record, today = self._workshop.record, self._workshop.today()

        def look(_report: object) -> list[JobSummary]:
            found: dict[str, JobSummary] = {}
            for text in (serial, customer):
                if text:
                    for one in list_jobs(record, text, today=today, limit=MOST + 1):
                        found.setdefault(one.number, one)
            found.pop(number, None)
            return [
                one
                for one in found.values()
                if serial.casefold() == one.serial.casefold()
                or customer.casefold() == one.customer.casefold()
            ][:MOST]

        self._workshop.runner.run(look, self._show, subject=SUBJECT)

    def _show(self, found: list[JobSummary]) -> None:
        for button in self.buttons:
            self._rows.removeWidget(button)
            button.deleteLater()
        self.buttons = [self._button(one) for one in found]
        for button in self.buttons:
            self._rows.addWidget(button)
        self.setVisible(bool(found))

    def _button(self, one: JobSummary) -> EntryButton:
        same = one.serial.casefold() == self._of[1].casefold()
        words = (
            one.number,
            _("this machine") if same else f"{one.class_id} {one.serial}",
            self._workshop.formats.day(one.starts_on),
        )
        value = self._workshop.formats.money(one.value) if one.value is not None else ""
        button = EntryButton("  \u00b7  ".join(words), value)
        button.clicked.connect(lambda _on=False: self.job_asked.emit(one.number))
        return button
