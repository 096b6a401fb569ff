"""Acts and looks at price lists beside the window: each says what it is at and can be stopped."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, Signal

from estimator.desktop.language import _
from estimator.desktop.runner import RECORD, Task
from estimator.desktop.telling import told
from estimator.desktop.workshop import Workshop


class ListWork(QObject):
    """One act or look at a time.

    Signals:
        turned(bool): it began or ended; True while a look is under way, which can be stopped
        said(str): what it is at
    """

    turned = Signal(bool)
    said = Signal(str)

    def __init__(self, parent: QObject, workshop: Workshop) -> None:
        super().__init__(parent)
        self._workshop = workshop
        self._task: Task | None = None
        workshop.runner.busy_changed.connect(self._on_busy)

    @property
    def is_busy(self) -> bool:
        """Whether anything is under way."""
        return self._task is not None

    def run(
        self, work: Callable[[Any], Any], done: Callable[[Any], None], *, looks: bool = False
    ) -> None:
        """Run an act, or a look, which can be stopped and which a later look makes out of date."""

        def ended(result: Any) -> None:
            self._ended()
            done(result)

        def failed(error: Exception) -> None:
            self._ended()
            self._workshop.presenter.error(error)

        self._task = self._workshop.runner.run(
            work,
            ended,
            lane=RECORD,
            subject="price list" if looks else "",
            says=_("Price list"),
            failed=failed,
        )
        self.turned.emit(looks)

    def stop(self) -> None:
        """Stop what is under way; nothing of it remains."""
        if self._task is not None:
            self._task.stop()
            self._ended()

    def _ended(self) -> None:
        self._task = None
        self.said.emit("")
        self.turned.emit(False)

    def _on_busy(self, task: object, what: str) -> None:
        if task is not None and task is self._task:
            self.said.emit(told(what))
