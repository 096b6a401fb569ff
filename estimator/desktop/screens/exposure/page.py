"""The Exposure page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QHideEvent, QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QWidget

from estimator.desktop.desk import Desk
from estimator.desktop.language import _, ngettext
from estimator.desktop.page import Page
from estimator.desktop.runner import RECKONING, WORK, Task
from estimator.desktop.screens.exposure.before import BeforeAndAfter
from estimator.desktop.screens.exposure.charts import ChartActions
from estimator.desktop.screens.exposure.confidence import Confidence
from estimator.desktop.screens.exposure.layout import ExposureParts, lay_out
from estimator.desktop.trade_words import job_title
from estimator.desktop.widgets.sort_keys import SORT_KEY
from estimator.desktop.workshop import Workshop
from estimator.domain.money import Money
from estimator.domain.priced_job import PricedJob
from estimator.services.exposure_tables import FormTable, form_table
from estimator.services.show_exposure import ExposureView, groups_alone, show_exposure
from estimator.services.show_price import may_see_cost

SHORT_WINDOW = 660  # px
STARTING = "starting values"

Shown = tuple[ExposureView, FormTable]


class ExposurePage(Page):
    """How far the final cost may run, what it rests on, and the confidence that is held for.

    When something is resolved, the curve that stood before stays as a ghost until it is dismissed
    or the page is left.
    """

    def __init__(self, workshop: Workshop, desk: Desk) -> None:
        super().__init__(workshop, desk)
        self.setAccessibleName(_("Exposure"))
        self._view: ExposureView | None = None
        self._forms: FormTable | None = None
        self._view_of: PricedJob | None = None
        self._alone: Task | None = None
        self.earlier = BeforeAndAfter()
        self.parts: ExposureParts = lay_out(self, desk)
        self.confidence = Confidence(desk, self.parts, self.earlier)
        self.charts = ChartActions(
            workshop,
            self.parts.curve,
            self.parts.bars,
            lambda: job_title(desk.job) if desk.job is not None else "",
            lambda: self.parts.share_note.whole_text,
        )
        self.parts.charts.setMenu(self.charts.menu)
        self._join()
        self.connect_to_desk()
        desk.faults_changed.connect(lambda _faults: self.stale())

    @property
    def short_header(self) -> bool:  # type: ignore[override]
        """Low windows keep their height for curve and rows."""
        return self.window().height() < SHORT_WINDOW

    def _join(self) -> None:
        parts = self.parts
        parts.curve.installEventFilter(self)
        parts.others.current_changed.connect(lambda _row: self.why_asked.emit("contingency"))
        parts.bars.row_chosen.connect(self._on_bar)
        parts.lower.why_asked.connect(self.why_asked)
        parts.lower.switched.connect(self.keys_changed)
        parts.lower.unseen.part_chosen.connect(self.place_changed)
        parts.lower.starting.part_asked.connect(self.go_to)

    # What is shown

    def refresh(self) -> None:
        """Show the newest reckoning; its rows are made in the background."""
        job, priced = self.desk.job, self.desk.priced
        self.confidence.allow()
        self._show_state()
        self.parts.lower.open_first.follow()
        self.parts.lower.starting.follow()
        if job is None or priced is None or priced.job.number != job.number:
            self._take(None)
            return
        if priced is not self._view_of:
            self._view_of = priced
            self.workshop.runner.run(
                lambda _report: (show_exposure(priced), form_table(priced)),
                lambda shown: self._take_if_newest(priced, shown),
                lane=WORK,
                subject="exposure",
            )
            return
        self._show_tables()
        if not self.parts.curve.moving:
            self.confidence.show(job.terms.confidence)

    def _take_if_newest(self, priced: PricedJob, shown: Shown) -> None:
        if priced is self._view_of:
            self._take(shown)
            self._ask_alone(priced)

    def _take(self, shown: Shown | None) -> None:
        view, self._forms = shown if shown is not None else (None, None)
        self._view = view
        if view is None:
            self._view_of = None
        elif self.isVisible():
            self.earlier.take(view)
        self.parts.bars.set_view(view)
        self.parts.others.rows.set_rows(view.others if view is not None else ())
        self._show_tables()
        self.confidence.take(view)
        if view is not None:
            self.parts.share_note.set_text(
                _("shares of {sum}; whisker: alone, 9 in 10").format(
                    sum=self.workshop.formats.money(view.amount)
                )
            )
        self._show_state()

    def _show_tables(self) -> None:
        cost = may_see_cost(self.workshop.person)
        lower = self.parts.lower
        lower.unseen.set_rows(self._view.unseen if self._view is not None else (), cost=cost)
        lower.forms.set_forms(self._forms, cost=cost)

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

    # The window's wishes

    def take_focus(self) -> None:
        """The handle is where work begins."""
        self.parts.curve.setFocus(Qt.FocusReason.OtherFocusReason)

    def go_to(self, place: str) -> None:
        """To a part nobody has seen, to a share ("contribution/..."), or to what rests on starting
        values (STARTING)."""
        kind, slash, code = place.partition("/")
        unseen = self.parts.lower.unseen
        if place == STARTING:
            self.parts.lower.show_pane(self.parts.lower.starting)
            self.parts.lower.starting.grid.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        if slash and kind in ("contribution", "found"):
            self.parts.bars.unfold(code if kind == "contribution" else place)
            self.parts.bars.setFocus(Qt.FocusReason.OtherFocusReason)
        elif unseen.go_to(code or place):
            self.parts.lower.show_pane(unseen)
            unseen.grid.setFocus(Qt.FocusReason.OtherFocusReason)

    def explain_here(self) -> None:
        """The contingency, or the part one is on."""
        place = self.place()
        self.why_asked.emit(f"chance/{place}" if place else "contingency")

    def place(self) -> str:
        """The part under the cursor, while the list has the focus."""
        row = self.parts.unseen.current_row() if self.parts.unseen.hasFocus() else None
        return str(getattr(row, "part", ""))

    def filter_asked(self) -> None:
        """The filter is one of what is not seen."""
        unseen = self.parts.lower.unseen
        self.parts.lower.show_pane(unseen)
        unseen.filter.setFocus(Qt.FocusReason.ShortcutFocusReason)
        unseen.filter.selectAll()

    def main_action(self) -> None:
        """Put the look one is on on the inspection."""
        lower = self.parts.lower
        if lower.pane is lower.open_first:
            lower.open_first.add_chosen()

    def panes(self) -> Sequence[QWidget]:
        """Curve, other confidences, shares, the switch, the pane in front."""
        parts = self.parts
        lower = parts.lower
        grids = (pane.grid for pane in lower.all)
        return (parts.curve, parts.others, parts.bars, lower.switch, *grids)

    def keys(self) -> Sequence[tuple[str, str]]:
        """Keys of this page."""
        lower = self.parts.lower
        add = lower.pane is lower.open_first
        return (
            *((("Ctrl+Enter", _("add look to the inspection")),) if add else ()),
            ("PgUp PgDn", _("confidence by 5")),
            ("\u2190 \u2192", _("by 1; fold and unfold")),
            ("Ctrl+PgDn", _("next pane")),
            ("Ctrl+F", _("filter parts")),
            ("Enter", _("take a confidence; open a group")),
            ("Ctrl+C", _("copy the chart")),
            ("F6", _("next part of the page")),
            (SORT_KEY, _("sort by the column")),
        )

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc takes the curve that stood before away."""
        if event.key() == Qt.Key.Key_Escape and self.confidence.dismiss():
            event.accept()
            return
        super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The shares make room where it is narrow."""
        super().resizeEvent(event)
        self.parts.fit(event.size().width(), event.size().height())

    def showEvent(self, event: QShowEvent) -> None:
        """Whiskers that were stopped are worked out after all; what came while nobody looked is
        held against what was shown last."""
        super().showEvent(event)
        if self._view is not None and self._view_of is not None:
            self.earlier.take(self._view)
            if not self.parts.bars.whiskered:
                self._ask_alone(self._view_of)

    def hideEvent(self, event: QHideEvent) -> None:
        """Nobody waits for the whiskers any more; a handle that was moved has been let go, and what
        stood before is no news."""
        self.parts.curve.release()
        self.confidence.dismiss()
        if self._alone is not None:
            self._alone.stop()
            self._alone = None
        super().hideEvent(event)
