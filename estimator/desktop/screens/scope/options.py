"""Fetches the options beside the scope: each is reckoned in the background and can be stopped."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QObject, QTimer

from estimator.desktop.desk import Desk
from estimator.desktop.language import _
from estimator.desktop.runner import RECKONING, Task
from estimator.desktop.screens.scope.side import ScopeSide
from estimator.desktop.telling import told
from estimator.desktop.workshop import Workshop
from estimator.domain.priced_job import PricedJob
from estimator.services.errors import NotFound
from estimator.services.show_options import (
    LevelColumn,
    WayColumn,
    levels_side_by_side,
    ways_side_by_side,
)
from estimator.services.show_scope import PART, ScopeHead, ScopeRow

WAIT = 250  # ms on a row before its ways are reckoned


class ScopeOptions(QObject):
    """Shows in the side what belongs to the row one is on, and the machine's levels."""

    def __init__(self, workshop: Workshop, desk: Desk, side: ScopeSide) -> None:
        super().__init__(side)
        self.workshop, self.desk, self.side = workshop, desk, side
        self._row: ScopeRow | ScopeHead | None = None
        self._may_edit = False
        self._ways_of: tuple[PricedJob, str] | None = None
        self._ways: dict[str, tuple[WayColumn, ...]] = {}
        self._ways_job: PricedJob | None = None
        self._levels_of: PricedJob | None = None
        self._tasks: list[Task] = []
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(WAIT)
        self._soon.timeout.connect(self._ask)
        side.again_asked.connect(self._again)
        workshop.runner.busy_changed.connect(lambda task, _what: self._on_idle(task))

    def follow(self, row: ScopeRow | ScopeHead | None, may_edit: bool) -> None:
        """The cursor stands on another row, or the job is another."""
        self._row, self._may_edit = row, may_edit
        priced = self.desk.priced if self.desk.fresh else None
        if priced is None:
            self._stop()
        if priced is not self._ways_job:
            self._ways, self._ways_job = {}, priced
        known = self._ways.get(row.id) if isinstance(row, ScopeRow) else None
        self.side.show_row(row, self._note(row))
        if known is not None:
            self._show_ways(known)
        if priced is None:
            self.side.show_levels(None, _("Working out"), not may_edit)
        elif self._levels_of is not priced or known is None:
            self._soon.start()

    def take_focus(self) -> bool:
        """Put the focus on the chosen way; False where there is none to choose from."""
        heads = self.side.ways.heads
        if not heads or self.side.ways.isHidden() or not self.side.isVisible():
            return False
        chosen = next((head for head in heads.values() if head.isChecked()), None)
        (chosen or next(iter(heads.values()))).setFocus()
        return True

    def _note(self, row: ScopeRow | ScopeHead | None) -> str:
        """What can be said of the row before anything is reckoned."""
        words = self._first_words(row)
        if isinstance(row, ScopeRow) and row.reason:
            return f"\u201c{row.reason}\u201d\n{words}"
        return words

    def _first_words(self, row: ScopeRow | ScopeHead | None) -> str:
        if not isinstance(row, ScopeRow):
            return _("Choose a part to see its ways.")
        if row.twice is not None:
            return _("The same operation twice: {one} includes {other}.").format(
                one=row.twice[0], other=row.twice[1]
            )
        if row.kind != PART:
            return told(row.rule)
        if not row.ways:
            return _("The catalogue offers no other way of putting it right.")
        return _("Working out its ways")

    def _stop(self) -> None:
        for task in self._tasks:
            task.stop()
        self._tasks = []

    def _on_idle(self, task: Task | None) -> None:
        """Where the user stopped it, say so and offer to begin again."""
        stopped = any(one.stopping.is_set() for one in self._tasks)
        if task is None and stopped and self.desk.fresh and self._levels_of is not self.desk.priced:
            self._tasks = []
            words = _("Stopped: the other level is not worked out.")
            self.side.show_levels(None, words, not self._may_edit, again=True)

    def _again(self) -> None:
        self._levels_of = None
        self._ask()

    def _ask(self) -> None:
        """Reckon what is wanted now and not known yet."""
        priced = self.desk.priced
        if priced is None or not self.desk.fresh or not self.side.isVisible():
            return
        self._stop()
        row = self._row
        if isinstance(row, ScopeRow) and row.kind == PART and row.ways and row.id not in self._ways:
            self._ask_ways(priced, row.id)
        if self._levels_of is not priced:
            self._ask_levels(priced)

    def _ask_ways(self, priced: PricedJob, part: str) -> None:
        def done(columns: Sequence[WayColumn]) -> None:
            if self.desk.priced is priced:
                self._ways[part] = tuple(columns)
                if isinstance(self._row, ScopeRow) and self._row.id == part:
                    self._show_ways(self._ways[part])

        def failed(error: Exception) -> None:
            if not isinstance(error, NotFound):
                self.workshop.presenter.error(error)
                return
            self._ways[part] = ()
            if isinstance(self._row, ScopeRow) and self._row.id == part:
                words = _("It is neither open nor put right in this job: no way to choose.")
                self.side.show_row(self._row, words)

        self._tasks.append(
            self.workshop.runner.run(
                lambda report: ways_side_by_side(priced, part, report),
                done,
                lane=RECKONING,
                subject="ways",
                says=_("Working out the ways of {part}").format(part=part),
                failed=failed,
            )
        )

    def _show_ways(self, columns: Sequence[WayColumn]) -> None:
        if not columns or self.desk.job is None:
            return
        share = self.workshop.formats.percent(self.desk.job.terms.confidence)
        self.side.show_ways(columns, share, not self._may_edit)

    def _ask_levels(self, priced: PricedJob) -> None:
        def done(columns: Sequence[LevelColumn]) -> None:
            if self.desk.priced is priced:
                self._levels_of = priced
                words = _("Same findings and terms, at each level.")
                self.side.show_levels(columns, words, not self._may_edit)

        self.side.show_levels(None, _("Working out the other level"), not self._may_edit)
        self._tasks.append(
            self.workshop.runner.run(
                lambda report: levels_side_by_side(priced, report),
                done,
                lane=RECKONING,
                subject="levels",
                says=_("Working out the other level"),
            )
        )
