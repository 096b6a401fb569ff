"""The Exposure page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QWidget

from estimator.desktop.desk import Desk
from estimator.desktop.language import _, ngettext
from estimator.desktop.page import Page
from estimator.desktop.runner import RECKONING, WORK, Task
from estimator.desktop.screens.exposure.layout import ExposureParts, lay_out
from estimator.desktop.screens.exposure.words import curve_data, ruling
from estimator.desktop.workshop import Workshop
from estimator.domain.money import Money
from estimator.domain.priced_job import PricedJob
from estimator.services.show_exposure import (
    LOWEST,
    STEP,
    ExposureView,
    HeldAt,
    groups_alone,
    show_exposure,
)


class ExposurePage(Page):
    """How far the final cost may run, and the confidence that is held for.

    While the handle moves only the picture and the figures beside it follow; the confidence is an
    edit once it is let go.
    """

    def __init__(self, workshop: Workshop, desk: Desk) -> None:
        super().__init__(workshop, desk)
        self.setAccessibleName(_("Exposure"))
        self._view: ExposureView | None = None
        self._view_of: PricedJob | None = None
        self._alone: Task | None = None
        self._confidence = LOWEST
        self.parts: ExposureParts = lay_out(self, workshop.formats, lambda: self._confidence)
        self._join()
        self.connect_to_desk()
        desk.faults_changed.connect(lambda _faults: self.stale())

    def _join(self) -> None:
        parts = self.parts
        parts.curve.confidence_changed.connect(self._on_moved)
        parts.curve.let_go.connect(self._choose)
        parts.curve.installEventFilter(self)
        parts.less.clicked.connect(lambda: self._choose(self._confidence - STEP))
        parts.more.clicked.connect(lambda: self._choose(self._confidence + STEP))
        parts.others.opened.connect(self._on_other)
        parts.others.current_changed.connect(lambda _row: self.why_asked.emit("contingency"))
        parts.bars.row_chosen.connect(self._on_bar)
        parts.unseen.current_changed.connect(self._on_unseen)

    # What is shown

    def refresh(self) -> None:
        """Show the newest reckoning; its rows are made in the background."""
        job, priced = self.desk.job, self.desk.priced
        locked = bool(self.desk.why_not())
        self.parts.curve.set_locked(locked)
        for button in (self.parts.less, self.parts.more):
            button.setEnabled(not locked and self._view is not None)
        self._show_state()
        if job is None or priced is None or priced.job.number != job.number:
            self._take(None)
            return
        if priced is not self._view_of:
            self._view_of = priced
            self.workshop.runner.run(
                lambda _report: show_exposure(priced),
                lambda view: self._take_if_newest(priced, view),
                lane=WORK,
                subject="exposure",
            )
        elif not self.parts.curve.moving:
            self._show_confidence(job.terms.confidence)

    def _take_if_newest(self, priced: PricedJob, view: ExposureView) -> None:
        if priced is self._view_of:
            self._take(view)
            self._ask_alone(priced)

    def _take(self, view: ExposureView | None) -> None:
        self._view = view
        self.parts.bars.set_view(view)
        self.parts.unseen.rows.set_rows(view.unseen if view is not None else ())
        self.parts.others.rows.set_rows(view.others if view is not None else ())
        if view is None or self.desk.job is None:
            self._view_of = None
            self.parts.curve.set_data(None)
            return
        for button in (self.parts.less, self.parts.more):
            button.setEnabled(not self.desk.why_not())
        if not self.parts.curve.moving:
            self._show_confidence(self.desk.job.terms.confidence)
        self._show_heads(view)
        self._show_state()

    def _ask_alone(self, priced: PricedJob) -> None:
        """How far each group would reach alone takes a second: it comes after all else."""

        def take(alone: Mapping[str, Money]) -> None:
            if priced is self._view_of:
                self.parts.bars.set_alone(alone)

        self._alone = self.workshop.runner.run(
            lambda report: groups_alone(priced, lambda: report("")),
            take,
            lane=RECKONING,
            subject="alone",
        )

    def _show_heads(self, view: ExposureView) -> None:
        say = self.workshop.formats
        self.parts.share_note.set_text(
            _("shares of {sum}; whisker: alone, 9 in 10").format(sum=say.money(view.amount))
        )
        count = len(view.unseen)
        self.parts.unseen_note.set_text(
            ngettext(
                "{n} part nobody has seen, the largest share first; sums if found worn",
                "{n} parts nobody has seen, the largest share first; sums if found worn",
                count,
            ).format(n=count)
        )

    def _show_state(self) -> None:
        faults = self.desk.faults
        if faults:
            text = ngettext(
                "{n} fault keeps this job from being priced. Quote lists it.",
                "{n} faults keep this job from being priced. Quote lists them.",
                len(faults),
            ).format(n=len(faults))
        elif self._view is None:
            text = _("Working out what may be found.")
        elif not self.desk.fresh:
            text = _("Shares are from before; working out.")
        else:
            text = self.desk.why_not()
        self.parts.state.setText(text)
        self.parts.state.setVisible(bool(text))

    # Confidence

    def _show_confidence(self, confidence: Decimal) -> None:
        if self._view is None or confidence not in self._view.held:
            return
        self._confidence = confidence
        self.parts.curve.set_data(curve_data(self._view, confidence, self.workshop.formats))
        self._show_held(self._view.held[confidence])

    def _on_moved(self, confidence: Decimal) -> None:
        if self._view is not None and confidence in self._view.held:
            self._confidence = confidence
            self._show_held(self._view.held[confidence])

    def _show_held(self, held: HeldAt) -> None:
        say, parts = self.workshop.formats, self.parts
        share = say.percent(held.confidence)
        parts.confidence.setText(share)
        parts.confidence.setAccessibleName(_("Confidence {share}").format(share=share))
        parts.held_title.setText(_("Contingency at {share}").format(share=share))
        parts.held.setText(say.money(held.amount))
        parts.held_note.setText(
            _("{rule}; price before tax {sum}").format(rule=ruling(held), sum=say.money(held.total))
        )
        parts.curve.say(
            _("Final cost to the customer"),
            _("Contingency {sum} at {share}, {rule}").format(
                sum=say.money(held.amount), share=share, rule=ruling(held)
            ),
        )
        parts.others.viewport().update()

    def _choose(self, confidence: Decimal) -> None:
        """Make a confidence the job's."""
        job, view = self.desk.job, self._view
        if job is None or view is None or self.desk.why_not() or confidence not in view.held:
            return
        self._show_confidence(confidence)
        if confidence != job.terms.confidence:
            terms = replace(job.terms, confidence=confidence.normalize())
            self.desk.edit(_("confidence"), replace(job, terms=terms))

    def _on_other(self, row: object) -> None:
        if isinstance(row, HeldAt):
            self._choose(row.confidence)

    # Why

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """The curve asks why when it is gone to."""
        if watched is self.parts.curve and event.type() == QEvent.Type.FocusIn:
            self.why_asked.emit("contingency")
        return super().eventFilter(watched, event)

    def _on_bar(self, key: object) -> None:
        if isinstance(key, tuple):
            kind, code = key
            self.why_asked.emit(
                f"group/{code}/contingency" if kind == "group" else f"contribution/{code}"
            )

    def _on_unseen(self, row: object) -> None:
        part = getattr(row, "part", "")
        if part:
            self.why_asked.emit(f"chance/{part}")
            self.place_changed.emit(part)

    # The window's wishes

    def take_focus(self) -> None:
        """The handle is where work begins."""
        self.parts.curve.setFocus(Qt.FocusReason.OtherFocusReason)

    def go_to(self, place: str) -> None:
        """To a part nobody has seen, or to a share ("contribution/...")."""
        kind, slash, code = place.rpartition("/")
        if slash and kind == "contribution":
            self.parts.bars.unfold(code)
            self.parts.bars.setFocus(Qt.FocusReason.OtherFocusReason)
        elif self.parts.unseen.go_to(code or place):
            self.parts.unseen.setFocus(Qt.FocusReason.OtherFocusReason)

    def explain_here(self) -> None:
        """The contingency, or the part one is on."""
        place = self.place()
        self.why_asked.emit(f"chance/{place}" if place else "contingency")

    def place(self) -> str:
        """The part under the cursor, while the list has the focus."""
        row = self.parts.unseen.current_row() if self.parts.unseen.hasFocus() else None
        return str(getattr(row, "part", ""))

    def panes(self) -> Sequence[QWidget]:
        """Curve, other confidences, shares, what is not seen."""
        parts = self.parts
        return (parts.curve, parts.others, parts.bars, parts.unseen)

    def keys(self) -> Sequence[tuple[str, str]]:
        """Keys of this page."""
        return (
            ("PgUp PgDn", _("confidence by 5")),
            ("\u2190 \u2192", _("by 1; fold and unfold")),
            ("Enter", _("take a confidence; open a group")),
            ("F6", _("next part of the page")),
        )

    def showEvent(self, event: QShowEvent) -> None:
        """Whiskers that were stopped are worked out after all."""
        super().showEvent(event)
        if self._view is not None and self._view_of is not None and not self.parts.bars.whiskered:
            self._ask_alone(self._view_of)

    def hideEvent(self, event: QHideEvent) -> None:
        """Nobody waits for the whiskers any more; a handle that was moved has been let go."""
        self.parts.curve.release()
        if self._alone is not None:
            self._alone.stop()
            self._alone = None
        super().hideEvent(event)
