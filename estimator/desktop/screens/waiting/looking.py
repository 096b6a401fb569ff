"""Reading what is looked at: the approval once the cursor rests, the finish date once it stays."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QWidget

from estimator.desktop.desk import Desk
from estimator.desktop.language import _
from estimator.desktop.runner import WORK
from estimator.desktop.widgets.full_size import FullSize
from estimator.desktop.workshop import Workshop
from estimator.services.errors import NotFound, ServiceError
from estimator.services.finish_effect import finish_effect
from estimator.services.photographs import picture_of
from estimator.services.show_approval import ApprovalView, show_approval
from estimator.services.work_out_contract import read_contract
from estimator.services.write_contract import Here

REST, LONG_REST = 120, 400  # ms on a row before it is read, and before its finish is worked out


class Looking(QObject):
    """Signals: read(object): ApprovalView of what was asked for last; finish_known(object, object,
    object): that view, and the finish before and after it."""

    read = Signal(object)
    finish_known = Signal(object, object, object)

    def __init__(self, workshop: Workshop, desk: Desk, page: QWidget) -> None:
        super().__init__(page)
        self.workshop, self.desk, self._page = workshop, desk, page
        self._wanted: tuple[str, list[str]] = ("", [])
        self._view: ApprovalView | None = None
        self._rest, self._long_rest = QTimer(self), QTimer(self)
        for timer, wait, then in (
            (self._rest, REST, self._read),
            (self._long_rest, LONG_REST, self._work_out_finish),
        ):
            timer.setSingleShot(True)
            timer.setInterval(wait)
            timer.timeout.connect(then)

    def look(self, job: str, numbers: list[str]) -> None:
        """Read these variations of a job as soon as the cursor rests."""
        self._wanted = (job, numbers)
        self._long_rest.stop()
        self._rest.start()

    def stop(self) -> None:
        """Nothing is looked at."""
        self._rest.stop()
        self._long_rest.stop()

    def _read(self) -> None:
        if not self._page.isVisible():
            return
        job, numbers = self._wanted
        record, person = self.workshop.record, self.workshop.person
        self.workshop.runner.run(
            lambda _report: show_approval(record, job, numbers, person),
            self._take,
            subject="approval",
        )

    def _take(self, view: ApprovalView) -> None:
        self._view = view
        self.read.emit(view)
        self._long_rest.start()

    def _work_out_finish(self) -> None:
        """What agreeing does to the finish date, for whoever stays on a row."""
        view = self._view
        if view is None or len(view.cases) > 1 or view.amount is None:
            return
        if not self._page.isVisible() or not view.case.is_open:
            return
        record, number = self.workshop.record, view.case.variation.number
        contract = self.desk.contract
        here = contract.number == view.job and contract.fresh
        known = contract.now if here else None

        def work_out(read: Here) -> None:
            self.workshop.runner.run(
                lambda _report: finish_effect(read, number, known),
                lambda dates: self._finish_worked(view, dates),
                lane=WORK,
                subject="finish effect",
                failed=self._not_told,
            )

        self.workshop.runner.run(
            lambda _report: read_contract(record, view.job),
            work_out,
            subject="finish of",
            failed=self._not_told,
        )

    def _finish_worked(self, view: ApprovalView, dates: tuple[date, date] | None) -> None:
        if dates is not None:
            self.finish_known.emit(view, *dates)

    def _not_told(self, error: Exception) -> None:
        """The page can do without the date; what nobody foresaw is told all the same."""
        if not isinstance(error, ServiceError):
            self.workshop.presenter.error(error)

    def show_photograph(self, view: ApprovalView | None, name: object) -> None:
        """Open a photograph in full size."""
        found = [one for one in view.photographs if one.name == name] if view is not None else []
        if not found:
            return
        record, photograph = self.workshop.record, found[0]
        words = photograph.caption or photograph.name

        def opened(image: QImage) -> None:
            if image.isNull():
                self.workshop.presenter.error(
                    NotFound(_("{name} cannot be shown.").format(name=words))
                )
                return
            FullSize(self._page, words, image).open()

        self.workshop.runner.run(
            lambda _report: QImage.fromData(picture_of(record, photograph)),
            opened,
            says=_("Opening the photograph"),
        )
