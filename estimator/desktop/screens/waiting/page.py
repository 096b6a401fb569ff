"""What waits on whom: everything that waits over all jobs, and the one approval looked at."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from PySide6.QtCore import QModelIndex
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from estimator.desktop.areas import HISTORY, QUOTE, VARIATIONS
from estimator.desktop.desk import Desk
from estimator.desktop.language import _, ngettext
from estimator.desktop.page import Page
from estimator.desktop.screens.waiting.answering import Answering
from estimator.desktop.screens.waiting.columns import (
    ROW,
    Head,
    Line,
    Names,
    id_of,
    waiting_columns,
)
from estimator.desktop.screens.waiting.head import DeskHead
from estimator.desktop.screens.waiting.looking import Looking
from estimator.desktop.screens.waiting.side import DeskSide
from estimator.desktop.screens.waiting.side_panel import SidePanel
from estimator.desktop.screens.waiting.waiting_grid import WaitingGrid
from estimator.desktop.screens.waiting.words import EVERYONE, head_words
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.plain_label import plain_label
from estimator.desktop.widgets.row_model import RowModel, Section
from estimator.desktop.workshop import Workshop
from estimator.domain.catalogue.rows import Activity, Closure
from estimator.domain.contract.states import (
    APPROVE,
    CLOSE,
    DECLINE,
    PART_APPROVE,
    PASS_ON,
    QUERY,
    RELEASE,
)
from estimator.services.show_approval import ApprovalView
from estimator.services.show_desk import (
    VARIATION,
    DeskView,
    WaitingRow,
    desk_groups,
    show_desk,
    waits_on_you,
)
from estimator.services.show_history import ISSUE as OF_ISSUE

WHAT_LEAST = 200  # px of the column that takes what the others leave
LEFT_OUT = ("since", "stops", "days")  # in this order, where there is no room


class WaitingPage(Page):
    """The service manager's desk."""

    def __init__(self, workshop: Workshop, desk: Desk) -> None:
        super().__init__(workshop, desk)
        self.setAccessibleName(_("What waits on whom"))
        say = workshop.formats
        self.view: DeskView | None = None
        self._names = Names({}, {})
        self._marked: tuple[str, ...] = ()  # ids of rows, all of one job
        self._current = self._next = ""
        self._go_on = False  # what was looked at is answered: the next comes
        self.side, self.head = DeskSide(say), DeskHead(say)
        self.panel = SidePanel(say)
        self.model = RowModel(waiting_columns(say, lambda: self._names), id_of)
        self.grid = WaitingGrid(self.model, _("What waits"), row_height=ROW)
        self.grid.setSelectionMode(Grid.SelectionMode.SingleSelection)
        self.answering, self.looking = (
            Answering(workshop, desk, self),
            Looking(workshop, desk, self),
        )
        self._build()
        self._join()

    def _build(self) -> None:
        middle = QVBoxLayout()
        middle.setSpacing(0)
        middle.addWidget(self.head)
        middle.addWidget(self.grid, 1)
        self._foot = plain_label("", "note", wrapped=True)
        self._foot.setContentsMargins(24, 6, 24, 6)
        middle.addWidget(self._foot)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self.side)
        whole.addLayout(middle, 1)
        whole.addWidget(self.panel)
        self.grid.set_widths(self.model.column_of("what"))

    def _join(self) -> None:
        self.side.chosen.connect(lambda _key: self._show())
        self.grid.current_changed.connect(self._on_row)
        self.grid.opened.connect(self._open)
        self.grid.marked.connect(self._mark)
        self.panel.act_asked.connect(self._act)
        self.panel.open_asked.connect(lambda: self._open(self.grid.current_row()))
        self.panel.history_asked.connect(self._ask_history)
        self.panel.photograph_asked.connect(
            lambda name: self.looking.show_photograph(self.panel.view, name)
        )
        self.looking.read.connect(self._take_approval)
        self.looking.finish_known.connect(self._take_finish)
        self.answering.done.connect(self._answered)
        self.answering.refused.connect(lambda _error: self.refresh())
        self.answering.passphrase_wrong.connect(self._wrong_passphrase)
        self.workshop.record_changed.connect(self._on_record_changed)
        self.workshop.catalogue_read.connect(lambda _catalogue: self.stale())
        self.workshop.person_changed.connect(lambda _person: self.stale())

    # What a page answers

    def keys(self) -> Sequence[tuple[str, str]]:
        """The keys that count here."""
        return (
            ("Ctrl+Enter", _("approve")),
            ("Space", _("mark several")),
            ("Enter", _("open the job")),
            ("F6", _("next pane")),
            ("F5", _("reload")),
        )

    def panes(self) -> Sequence[QWidget]:
        """List, the approval, who is waited for."""
        return (self.grid, self.panel.secret, self.side)

    def take_focus(self) -> None:
        """The list, on the row one was on."""
        self.grid.setFocus()

    def place(self) -> str:
        """The row under the cursor."""
        line = self.grid.current_row()
        return id_of(line) if isinstance(line, Line) else ""

    def go_to(self, place: str) -> None:
        """Put the cursor on a row."""
        self._current = place
        self.grid.go_to(place)

    def main_action(self) -> None:
        """Approve what is looked at, or what else is due next."""
        if self.panel.view is not None and self.panel.main:
            self._act(self.panel.main)

    # Reading and showing

    def refresh(self) -> None:
        """Read everything that waits from the record."""
        record, now = self.workshop.record, self.workshop.now().astimezone()
        catalogue = self.workshop.catalogue
        closed: frozenset[date] = frozenset()
        if catalogue is not None:
            closed = frozenset(row.date for row in catalogue.table("closures", Closure))
            activities = {row.id: row.name for row in catalogue.table("activities", Activity)}
            classes = {key: row.type for key, row in catalogue.classes.items()}
            self._names = Names(activities, classes, catalogue.settings.currency)
        self.workshop.runner.run(
            lambda _report: show_desk(record, now, closed), self._take, subject="desk"
        )

    def _take(self, view: DeskView) -> None:
        self.view = view
        if self._marked:
            shown = {row.id for row in view.rows}
            self._marked = tuple(one for one in self._marked if one in shown)
        self.head.show_day(self.workshop.today())
        self.head.show_view(view, waits_on_you(view.rows, self.workshop.person))
        self._show()
        self._on_row(self.grid.current_row())

    def _show(self) -> None:
        view, person = self.view, self.workshop.person
        if view is None:
            return
        self._current = (self._next if self._go_on else self.place()) or self._current
        self._go_on = False
        groups = desk_groups(view.rows, person)
        counts = {group.key: len(group.rows) for group in groups}
        self.side.set_counts({EVERYONE: len(view.rows), **counts}, person)
        full, heads, marked = self._full(view), head_words(), frozenset(self._marked)
        self.model.set_sections(
            [
                Section(
                    Head(group.key, f"{heads[group.key]}   {len(group.rows)}"),
                    tuple(
                        Line(row, group.key, full, bool(marked) and row.id in marked)
                        for row in group.rows
                    ),
                )
                for group in groups
                if self.side.key in (EVERYONE, group.key)
            ]
        )
        for number in range(self.model.rowCount()):
            self.grid.setFirstColumnSpanned(number, self.grid.rootIndex(), True)
        self._find_row()
        nothing = not self.model.rowCount()
        self._foot.setText(
            _("Nothing waits here.")
            if nothing
            else _(
                "Cost of waiting is the bay and its people, not the customer's loss of use. Days "
                "are working days."
            )
        )
        if nothing:
            self._on_row(None)

    @staticmethod
    def _full(view: DeskView) -> int:
        return max((row.cost.minor for row in view.rows), default=0)

    def _find_row(self) -> None:
        """The cursor stays on its row; where that has gone, it goes to the one after it, else to
        the first."""
        if self.place() and self.place() == self._current:
            return
        for wanted in (self._current, self._next):
            if wanted and self.grid.go_to(wanted):
                return
        first = self.model.index(0, 0, self.model.index(0, 0, QModelIndex()))
        if first.isValid():
            self.grid.setCurrentIndex(first)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """In a narrow window the list keeps the columns that tell most."""
        super().resizeEvent(event)
        columns = self.model.columns
        room = self.width() - self.side.width() - self.panel.width() - WHAT_LEAST
        room -= sum(one.width for one in columns if one.key != "what")
        for key in LEFT_OUT:
            at = self.model.column_of(key)
            self.grid.setColumnHidden(at, room < 0)
            room += columns[at].width if room < 0 else 0

    # The row one is on

    def _on_row(self, line: object) -> None:
        if not isinstance(line, Line):
            self.looking.stop()
            self.side.show_limits(None)
            self.panel.show_nothing(_("Choose what waits to see it here.") if line else "")
            return
        view, wanted = self.panel.view, self._numbers()
        known = view is not None and (view.job, [c.variation.number for c in view.cases]) == wanted
        if not known:
            self.panel.show_row(line.row, self._names.classes)
            self.side.show_limits(None)
        if line.row.kind == VARIATION:
            self.looking.look(*wanted)
        else:
            self.looking.stop()

    def _numbers(self) -> tuple[str, list[str]]:
        """The job, and the variations looked at: those marked, else the one under the cursor."""
        line = self.grid.current_row()
        marked = self._marked_rows()
        if isinstance(line, Line) and line.row.job in {row.job for row in marked}:
            return line.row.job, [row.number for row in marked]
        if isinstance(line, Line) and line.row.kind == VARIATION:
            return line.row.job, [line.row.number]
        return "", []

    def _marked_rows(self) -> list[WaitingRow]:
        rows = self.view.rows if self.view is not None and self._marked else ()
        marked = frozenset(self._marked)
        return sorted((row for row in rows if row.id in marked), key=lambda row: row.number)

    def _take_approval(self, view: ApprovalView) -> None:
        if (view.job, [case.variation.number for case in view.cases]) != self._numbers():
            return
        self.panel.show_view(view, self.workshop.person, self._names.activities)
        self.side.show_limits(view)

    def _take_finish(self, view: object, before: date, after: date) -> None:
        if self.panel.view is view:
            self.panel.pane.show_finish(before, after)

    # Acts

    def _mark(self) -> None:
        """Mark a row, or take its mark away; marked are variations of one job."""
        line = self.grid.current_row()
        if not isinstance(line, Line):
            return
        row = line.row
        if row.kind != VARIATION:
            self.workshop.presenter.notice(_("Only variations are approved several at once."))
            return
        if row.id in self._marked:
            self._marked = tuple(one for one in self._marked if one != row.id)
        else:
            others = {one.job for one in self._marked_rows()} - {row.job}
            if others:
                self.workshop.presenter.notice(
                    _("Marked are variations of {job}: one job is answered at a time.").format(
                        job=", ".join(others)
                    )
                )
                return
            self._marked = (*self._marked, row.id)
        self._show()
        self.grid.viewport().update()
        self._on_row(self.grid.current_row())

    def _act(self, act: str) -> None:
        view = self.panel.view
        if view is None or self.answering.busy:
            return
        self._note_next(view)
        if act in (APPROVE, PART_APPROVE):
            self._approve(view)
        elif view.act(act).may:
            acts = {
                QUERY: self.answering.send_back, DECLINE: self.answering.decline,
                PASS_ON: self.answering.pass_on, CLOSE: self.answering.close,
                RELEASE: self.answering.release,
            }  # fmt: skip
            acts[act](view)

    def _approve(self, view: ApprovalView) -> None:
        why = self.panel.why_not()
        if why:
            names = ", ".join(case.variation.name for case in view.cases)
            self.workshop.presenter.trouble(
                ngettext(
                    "{names} cannot be approved: {why}.", "{names} cannot be approved: {why}.",
                    len(view.cases),
                ).format(names=names, why=why)
            )  # fmt: skip
            return
        secret = self.panel.secret.text()
        if not secret:
            self._wrong_passphrase(_("Each approval asks for your own passphrase."))
            return
        self.answering.approve(view, secret, self.panel.pane.ticked_part)

    def _note_next(self, view: ApprovalView) -> None:
        """The row the cursor goes to once these have gone."""
        going = {f"{view.job}/{VARIATION}/{case.variation.number}" for case in view.cases}
        ids = [
            id_of(row) for head in range(self.model.rowCount()) for row in self._rows_under(head)
        ]
        here = ids.index(self.place()) if self.place() in ids else 0
        after = [one for one in (*ids[here:], *reversed(ids[:here])) if one not in going]
        self._next = after[0] if after else ""

    def _rows_under(self, head: int) -> list[Line]:
        under = self.model.index(head, 0, QModelIndex())
        return [
            self.model.row_at(self.model.index(n, 0, under))
            for n in range(self.model.rowCount(under))
        ]

    def _wrong_passphrase(self, why: str) -> None:
        self.panel.field.mark_invalid(why)
        self.panel.secret.setFocus()
        self.panel.secret.selectAll()

    def _answered(self) -> None:
        self._marked, self._go_on = (), True
        self.panel.secret.clear()
        self.grid.setFocus()
        self.refresh()

    def _open(self, line: object) -> None:
        if not isinstance(line, Line):
            return
        self._current = line.row.id
        if line.row.kind == VARIATION:
            self.go_asked.emit(f"{line.row.job}/{VARIATIONS}", line.row.number)
        else:
            self.go_asked.emit(f"{line.row.job}/{QUOTE}", "")

    def history_of(self) -> tuple[str, str]:
        """The variation one is on, or what was released and issued of a quote that waits."""
        line = self.grid.current_row()
        if not isinstance(line, Line):
            return "", ""
        return line.row.job, line.row.number if line.row.kind == VARIATION else OF_ISSUE

    def _ask_history(self) -> None:
        job, place = self.history_of()
        if job:
            self.go_asked.emit(f"{job}/{HISTORY}", place)

    def _on_record_changed(self, kinds: frozenset[str]) -> None:
        if kinds & {"jobs", "contracts"}:
            self.stale()
