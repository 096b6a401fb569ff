"""The confidence that is held for: shown while the handle moves, an edit once it is let go."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from PySide6.QtCore import QObject

from estimator.desktop.desk import Desk
from estimator.desktop.language import _
from estimator.desktop.screens.exposure.before import BeforeAndAfter
from estimator.desktop.screens.exposure.columns import held_columns
from estimator.desktop.screens.exposure.layout import ExposureParts
from estimator.desktop.screens.exposure.words import curve_data, moved_words, ruling
from estimator.services.compare_exposure import moved
from estimator.services.show_exposure import LOWEST, STEP, ExposureView, HeldAt


class Confidence(QObject):
    """Shows one reckoning at the confidence that the handle stands at, beside what was before."""

    def __init__(self, desk: Desk, parts: ExposureParts, earlier: BeforeAndAfter) -> None:
        super().__init__(parts.body)
        self._desk, self._parts, self._earlier = desk, parts, earlier
        self._view: ExposureView | None = None
        self.here = LOWEST
        parts.others.rows.set_columns(held_columns(desk.workshop.formats, lambda: self.here))
        parts.others.set_widths(2)
        parts.curve.confidence_changed.connect(self._on_moved)
        parts.curve.let_go.connect(self.choose)
        parts.less.clicked.connect(lambda: self.choose(self.here - STEP))
        parts.more.clicked.connect(lambda: self.choose(self.here + STEP))
        parts.others.opened.connect(self._on_other)
        parts.dismiss.clicked.connect(self.dismiss)

    def take(self, view: ExposureView | None) -> None:
        """Another reckoning is shown, or none."""
        self._view = view
        if view is None or self._desk.job is None:
            self._parts.curve.set_data(None)
            self._show_before()
        elif not self._parts.curve.moving:
            self.show(self._desk.job.terms.confidence)
        self.allow()

    def allow(self) -> None:
        """Let the handle be moved, or not."""
        locked = bool(self._desk.why_not())
        self._parts.curve.set_locked(locked)
        for button in (self._parts.less, self._parts.more):
            button.setEnabled(not locked and self._view is not None)

    def show(self, confidence: Decimal) -> None:
        """Put the handle and all figures at a confidence."""
        view = self._view
        if view is None or confidence not in view.held:
            return
        self.here = confidence
        formats = self._desk.workshop.formats
        self._parts.curve.set_data(curve_data(view, confidence, formats, self._earlier.before))
        self._show_held(view.held[confidence])

    def dismiss(self) -> bool:
        """Take the curve that stood before away; False where none was shown."""
        had_focus = self._parts.dismiss.hasFocus()
        if not self._earlier.dismiss():
            return False
        self.show(self.here)
        self._show_before()
        if had_focus:
            self._parts.curve.setFocus()
        return True

    def _on_moved(self, confidence: Decimal) -> None:
        if self._view is not None and confidence in self._view.held:
            self.here = confidence
            self._show_held(self._view.held[confidence])

    def _show_held(self, held: HeldAt) -> None:
        say, parts = self._desk.workshop.formats, self._parts
        share = say.percent(held.confidence)
        parts.confidence.setText(share)
        parts.confidence.setAccessibleName(_("Confidence {share}").format(share=share))
        parts.held_title.setText(_("Contingency at {share}").format(share=share))
        parts.held.setText(say.money(held.amount))
        parts.held_note.setText(
            _("{rule}; price before tax {sum}").format(rule=ruling(held), sum=say.money(held.total))
        )
        said = _("Contingency {sum} at {share}, {rule}").format(
            sum=say.money(held.amount), share=share, rule=ruling(held)
        )
        before = self._show_before()
        parts.curve.say(_("Final cost to the customer"), f"{said}. {before}" if before else said)
        parts.others.viewport().update()

    def _show_before(self) -> str:
        """Say what the contingency was before and is now; the words."""
        view, earlier, text = self._view, self._earlier.before, ""
        if view is not None and earlier is not None:
            change = moved(earlier, view, self.here)
            text = moved_words(change, self._desk.workshop.formats) if change is not None else ""
        self._parts.before.set_text(text)
        self._parts.before_row.setVisible(bool(text))
        return text

    def choose(self, confidence: Decimal) -> None:
        """Make a confidence the job's."""
        job, view = self._desk.job, self._view
        if job is None or view is None or self._desk.why_not() or confidence not in view.held:
            return
        self.show(confidence)
        if confidence != job.terms.confidence:
            terms = replace(job.terms, confidence=confidence.normalize())
            self._desk.edit(_("confidence"), replace(job, terms=terms))

    def _on_other(self, row: object) -> None:
        if isinstance(row, HeldAt):
            self.choose(row.confidence)
