"""The strip along the window's top: whose workshop, where one is, find, and who works here."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal, SignalInstance
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QToolButton, QWidget

from estimator.desktop.key_names import key_names
from estimator.desktop.language import _
from estimator.desktop.widgets.plain_tip import plain_tip

HEIGHT = 40
MOST_PERSON = 220  # px of name and role


class TopStrip(QFrame):
    """Signals: jobs_asked(), waiting_asked(), job_asked(), find_asked(), menu_asked(),
    back_asked(), forward_asked()."""

    jobs_asked = Signal()
    waiting_asked = Signal()
    job_asked = Signal()
    find_asked = Signal()
    menu_asked = Signal()
    back_asked = Signal()
    forward_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("look", "strip")
        self.setFixedHeight(HEIGHT)
        self._workshop = QLabel()
        self._workshop.setProperty("look", "strip-name")
        self._workshop.setTextFormat(Qt.TextFormat.PlainText)
        self._workshop.setFixedWidth(164)
        self.back = _small("\u2190", _("Back, Alt+Left"), self.back_asked)
        self.forward = _small("\u2192", _("Forward, Alt+Right"), self.forward_asked)
        self._jobs = _crumb(_("Jobs"), self.jobs_asked)
        self._waiting = _crumb(_("What waits on whom"), self.waiting_asked)
        self._job = _crumb("", self.job_asked)
        self._page = QLabel()
        self._page.setProperty("look", "strip-here")
        self._slashes = [QLabel("/"), QLabel("/"), QLabel("/")]
        for slash in self._slashes:
            slash.setProperty("look", "strip-second")
        self.find_button = QPushButton(
            _("Find a job, finding, part or figure") + "    " + key_names("Ctrl+K")
        )
        self.find_button.setProperty("look", "strip-find")
        self.find_button.setFixedWidth(380)
        self.find_button.clicked.connect(self.find_asked)
        self.find_button.setAccessibleName(_("Find a job, finding, part or figure"))
        self.person = QPushButton()
        self.person.setProperty("look", "strip-person")
        self.person.setAccessibleName(_("Who works here; people, theme, language"))
        self.person.clicked.connect(self.menu_asked)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(20, 0, 16, 0)
        layout.setSpacing(8)
        for widget in (
            self._workshop,
            self.back,
            self.forward,
            self._jobs,
            self._slashes[2],
            self._waiting,
            self._slashes[0],
            self._job,
            self._slashes[1],
            self._page,
        ):
            layout.addWidget(widget)
        layout.addStretch(1)
        layout.addWidget(self.find_button)
        layout.addStretch(1)
        layout.addWidget(self.person)

    def set_workshop(self, name: str) -> None:
        """Whose workshop this is."""
        shown = self._workshop.fontMetrics().elidedText(name, Qt.TextElideMode.ElideRight, 160)
        self._workshop.setText(shown)
        self._workshop.setToolTip(plain_tip(name))

    def set_where(self, job: str, page: str, *, by_desk: bool = False) -> None:
        """Where one is: the job's title ("" on the Jobs list) and the page; `by_desk` where one
        came into the job from what waits on whom."""
        in_job = bool(job)
        for widget in (self._waiting, self._slashes[2]):
            widget.setVisible(in_job and by_desk)
        self._job.setText(_plain(job))
        self._page.setText(page)
        self._job.setVisible(in_job)
        self._slashes[0].setVisible(bool(job or page))
        self._slashes[1].setVisible(in_job)

    def set_person(self, name: str, role: str) -> None:
        """Who works here."""
        whole = f"{name}, {role}"
        shown = self.person.fontMetrics().elidedText(
            whole, Qt.TextElideMode.ElideRight, MOST_PERSON
        )
        self.person.setText(_plain(shown))
        self.person.setToolTip(plain_tip(whole))

    def set_narrow(self, narrow: bool) -> None:
        """Leave out what a narrow window has no room for."""
        self.find_button.setFixedWidth(180 if narrow else 380)
        self.find_button.setText(
            _("Find") + "    " + key_names("Ctrl+K")
            if narrow
            else _("Find a job, finding, part or figure") + "    " + key_names("Ctrl+K")
        )


def _plain(text: str) -> str:
    """Text for a button, which takes a lone ampersand for the mark of a key."""
    return text.replace("&", "&&")


def _small(text: str, name: str, signal: SignalInstance) -> QToolButton:
    button = QToolButton()
    button.setText(text)
    button.setToolTip(name)
    button.setAccessibleName(name)
    button.setProperty("look", "strip")
    button.clicked.connect(signal)
    return button


def _crumb(text: str, signal: SignalInstance) -> QPushButton:
    button = QPushButton(text)
    button.setProperty("look", "strip")
    button.clicked.connect(signal)
    return button
