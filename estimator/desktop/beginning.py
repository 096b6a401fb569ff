"""Before the window: the record is opened (the sample workshop built the first time), and whoever
works here says who they are."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QHBoxLayout,
    QLineEdit,
    QProgressBar,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.runner import RECORD, Runner
from estimator.desktop.telling import told, told_faults, told_of
from estimator.desktop.widgets.plain_label import plain_label
from estimator.domain.people import SERVICE_MANAGER, Person
from estimator.services.enrol_person import enrol_person, know_person, list_people, person_named
from estimator.services.errors import Refused, ServiceError
from estimator.services.open_record import Record, record_at
from estimator.services.open_sample import SAMPLE_ESTIMATOR, build_sample_workshop, sample_record

OPENING, SIGNING_IN, FIRST_PERSON, TROUBLE = range(4)
PATIENCE = 300  # ms before a record that is slow to open is spoken of


Report = Callable[[str], None]
_Opened = tuple[Record, list[Person], Person | None]  # who is None where they must say so


class Beginning(QDialog):
    """Opens a record and signs somebody in.

    Signals: ready(object, object): the Record and the Person.
    """

    ready = Signal(object, object)

    def __init__(self, path: Path | None, formats: Formats, clock: Callable[[], datetime]) -> None:
        super().__init__()
        self.setWindowTitle("Shimwright")
        self.setMinimumWidth(460)
        self._path, self._clock, self._formats = path, clock, formats
        self._record: Record | None = None
        self._who_asked: str | None = None
        self._begun = False  # somebody works here; all else comes too late
        self._buttons: dict[int, QPushButton] = {}
        self._firsts: dict[int, QWidget] = {}
        self._slow = QTimer(self)
        self._slow.setSingleShot(True)
        self._slow.setInterval(PATIENCE)
        self._slow.timeout.connect(self.show)
        self._runner = Runner(self._failed)
        self._runner.busy_changed.connect(self._on_busy)
        self._words = plain_label("", "section", wrapped=True)
        self._more = plain_label("", "second", wrapped=True)
        self._stack = QStackedWidget()
        for make in (self._opening, self._signing_in, self._first_person, self._trouble):
            self._stack.addWidget(make())
        column = QVBoxLayout(self)
        column.setContentsMargins(28, 24, 28, 24)
        column.setSpacing(12)
        for widget in (self._words, self._more, self._stack):
            column.addWidget(widget)

    # Its four faces

    def _opening(self) -> QWidget:
        face = QWidget()
        self._bar = QProgressBar()
        self._bar.setRange(0, 0)
        self._bar.setAccessibleName(_("Working"))
        column = QVBoxLayout(face)
        column.addWidget(self._bar)
        column.addStretch()
        return face

    def _signing_in(self) -> QWidget:
        face = QWidget()
        self._who = QComboBox()
        self._secret = QLineEdit()
        self._secret.setEchoMode(QLineEdit.EchoMode.Password)
        go_on = self._button(SIGNING_IN, _("Go on"), self._sign_in)
        self._firsts[SIGNING_IN] = self._secret
        self._fields(face, ((_("Name"), self._who), (_("Passphrase"), self._secret)), go_on)
        return face

    def _first_person(self) -> QWidget:
        face = QWidget()
        self._first_name, self._first_secret, self._again = QLineEdit(), QLineEdit(), QLineEdit()
        for secret in (self._first_secret, self._again):
            secret.setEchoMode(QLineEdit.EchoMode.Password)
        go_on = self._button(FIRST_PERSON, _("Enrol"), self._enrol_first)
        self._firsts[FIRST_PERSON] = self._first_name
        fields = (
            (_("Name"), self._first_name),
            (_("Passphrase, ten characters or more"), self._first_secret),
            (_("The same passphrase again"), self._again),
        )
        self._fields(face, fields, go_on)
        return face

    def _trouble(self) -> QWidget:
        face = QWidget()
        again = self._button(TROUBLE, _("Try again"), lambda: self.begin(self._who_asked))
        self._firsts[TROUBLE] = again
        row = QHBoxLayout(face)
        row.addStretch()
        row.addWidget(again)
        return face

    def _button(self, face: int, text: str, act: Callable[[], None]) -> QPushButton:
        """The one button of a face, pressed by Enter anywhere on it."""
        button = QPushButton(text)
        button.setAutoDefault(False)
        button.setProperty("primary", True)
        button.clicked.connect(lambda _on=False: act())
        self._buttons[face] = button
        return button

    @staticmethod
    def _fields(
        face: QWidget, fields: tuple[tuple[str, QWidget], ...], button: QPushButton
    ) -> None:
        column = QVBoxLayout(face)
        column.setContentsMargins(0, 0, 0, 0)
        for label, field in fields:
            caption = plain_label(label, "head", wrapped=True)
            caption.setBuddy(field)
            field.setAccessibleName(label)
            column.addWidget(caption)
            column.addWidget(field)
        row = QHBoxLayout()
        row.addStretch()
        row.addWidget(button)
        column.addSpacing(8)
        column.addLayout(row)

    # What happens

    def begin(self, who: str | None) -> None:
        """Open the record; where that takes long, say what is going on."""
        self._who_asked = who
        path = self._path
        if path is None and not sample_record().exists():
            self._show(OPENING, _("Building the sample workshop"), "")
            self.show()
            self._run(self._build, says=_("Building the sample workshop"))
            return
        self._show(OPENING, _("Opening the record"), str(path or sample_record()))
        if not self.isVisible():
            self._slow.start()
        self._run(lambda _report: self._look_at(path or sample_record()))

    def _run(self, work: Callable[[Report], _Opened], says: str = "") -> None:
        self._runner.run(work, lambda opened: self._opened(*opened), says=says, subject="open")

    def _look_at(self, path: Path) -> _Opened:
        """The record and who is enrolled in it; in the runner, since a lock may be waited for."""
        record = record_at(path, self._clock())
        try:
            people = list_people(record)
            if self._path is not None:
                return record, people, None
            return record, people, person_named(record, self._who_asked or SAMPLE_ESTIMATOR)
        except BaseException:
            record.close()
            raise

    def _build(self, report: Report) -> _Opened:
        path = sample_record()
        build_sample_workshop(path, self._clock(), report)
        return self._look_at(path)

    def _opened(self, record: Record, people: list[Person], who: Person | None) -> None:
        self._slow.stop()
        self._record = record
        if who is not None:
            self._go_on(who)
            return
        if not people:
            self._show(
                FIRST_PERSON,
                _("Nobody is enrolled yet"),
                _("The first person is a service manager, who enrols everyone else."),
            )
        else:
            self._who.clear()
            self._who.addItems([person.name for person in people if person.active])
            if self._who_asked:
                self._who.setCurrentText(self._who_asked)
            self._show(SIGNING_IN, _("Who works here?"), str(self._path))
        self.show()

    def _go_on(self, person: Person) -> None:
        if not self._begun:
            self._begun = True
            self.ready.emit(self._record, person)

    def _sign_in(self) -> None:
        assert self._record is not None
        record, name, secret = self._record, self._who.currentText(), self._secret.text()
        self._runner.run(
            lambda _report: know_person(record, name, secret),
            self._go_on,
            failed=self._refused,
            subject="person",
        )

    def _enrol_first(self) -> None:
        assert self._record is not None
        record, now = self._record, self._clock()
        name, secret = self._first_name.text().strip(), self._first_secret.text()
        if not name:
            self._say_no(_("Nobody is named yet."))
            return
        if secret != self._again.text():
            self._say_no(_("The two passphrases differ. Type them again."))
            return
        self._runner.run(
            lambda _report: enrol_person(record, name, SERVICE_MANAGER, secret, None, now),
            self._go_on,
            failed=self._refused,
            subject="person",
        )

    def _refused(self, error: Exception) -> None:
        self._say_no(_said(error))
        for field in (self._secret, self._first_secret):
            if field.isVisible():
                field.setFocus()
                field.selectAll()

    def _say_no(self, text: str) -> None:
        self._tone("attention")
        self._more.setText(text)

    def _failed(self, error: Exception) -> None:
        self._slow.stop()
        self._show(TROUBLE, _("The record cannot be opened"), _said(error))
        self.show()

    def _on_busy(self, task: object, what: str) -> None:
        if task is not None:
            self._more.setText(what)

    def _show(self, face: int, words: str, more: str) -> None:
        self._words.setText(words)
        self._tone("second")
        self._more.setText(more)
        self._stack.setCurrentIndex(face)
        for number, button in self._buttons.items():
            button.setDefault(number == face)
        if face in self._firsts:
            self._firsts[face].setFocus()

    def _tone(self, tone: str) -> None:
        self._more.setProperty("tone", tone)
        self._more.style().polish(self._more)

    def reject(self) -> None:
        """Esc, or the window closed: a sample that is half built leaves nothing behind."""
        self._slow.stop()
        self._runner.stop_all(RECORD)
        if self._record is not None and not self._begun:
            self._record.close()
        super().reject()

    def closeEvent(self, event: QCloseEvent) -> None:
        """The cross in the title bar is Esc, unless the window has taken over."""
        if self._begun:
            event.accept()
        else:
            self.reject()


def _said(error: Exception) -> str:
    if isinstance(error, Refused):
        return "\n".join([told(error.message), *told_faults(error.problems[:5])])
    if isinstance(error, ServiceError):
        return f"{told(error.message)} {told(error.remedy)}".strip()
    return told_of(error)


__all__ = ["Beginning", "Person"]
