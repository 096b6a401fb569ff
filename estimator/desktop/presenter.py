"""The one place that tells the user what went wrong, what was done, and asks what to do.

Pages hand over errors and words; the window shows what `told` carries in its message line. A list
of faults and a question are dialogs, since they need an answer.
"""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QObject, Signal

from estimator.desktop.telling import told, told_faults
from estimator.domain.wording import said_by
from estimator.services.errors import Refused, ServiceError

DONE, NOTICE, TROUBLE = "done", "notice", "trouble"


@dataclass(frozen=True, slots=True)
class Message:
    """What the user is told: `kind` chooses the mark, `remedy` says what next, `faults` are listed
    where there are several."""

    kind: str
    text: str
    remedy: str = ""
    faults: tuple[str, ...] = ()


class Presenter(QObject):
    """Turns errors and outcomes into messages.

    Signals: told(object Message); cleared(), when what was told is out of date.
    """

    told = Signal(object)
    cleared = Signal()

    def error(self, error: Exception) -> None:
        """Tell of an error, in the plain words it carries."""
        if isinstance(error, Refused):
            faults = told_faults(error.problems)
            self._tell(TROUBLE, error.message, error.remedy, faults)
        elif isinstance(error, ServiceError):
            self._tell(TROUBLE, error.message, error.remedy)
        else:
            self._tell(TROUBLE, said_by(error))

    def trouble(self, text: str, remedy: str = "") -> None:
        """Tell of something that needs the user."""
        self._tell(TROUBLE, text, remedy)

    def notice(self, text: str) -> None:
        """Tell of something worth knowing."""
        self._tell(NOTICE, text)

    def done(self, text: str) -> None:
        """Tell that something was done."""
        self._tell(DONE, text)

    def _tell(self, kind: str, text: str, remedy: str = "", faults: tuple[str, ...] = ()) -> None:
        self.told.emit(Message(kind, told(text), told(remedy), faults))

    def clear(self) -> None:
        """Take back what was told."""
        self.cleared.emit()
