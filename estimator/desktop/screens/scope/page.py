"""The Scope page: what is done with each part and why, overruled with a reason; the options."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import Any

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.areas import PRICE
from estimator.desktop.desk import Desk
from estimator.desktop.language import _, ngettext
from estimator.desktop.page import Page
from estimator.desktop.screens.scope.acts import ScopeActs
from estimator.desktop.screens.scope.columns import scope_columns
from estimator.desktop.screens.scope.options import ScopeOptions
from estimator.desktop.screens.scope.side import ScopeSide
from estimator.desktop.screens.scope.words import DISPOSITIONS
from estimator.desktop.widgets.choice_row import ChoiceRow
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.row_model import RowModel, Section
from estimator.desktop.workshop import Workshop
from estimator.services.show_scope import (
    GONE,
    WORK,
    ScopeHead,
    ScopeRow,
    ScopeTable,
    overruled_on,
    scope_table,
    with_same_scope,
)

ALL, TO_DECIDE, OVERRULED = "all", "to decide", "overruled"
ROW, INDENT = 46, 14
SIDE_SHARE = 0.38
SIDE_LEAST, SIDE_MOST = 330, 500
WAIT = 80  # ms after the last key in the filter


class ScopePage(Page):
    """Rows of parts and work at the left, options at the right; F9 swaps those with why."""

    short_header = True
    own_side = True

    def __init__(self, workshop: Workshop, desk: Desk) -> None:
        super().__init__(workshop, desk)
        self.setAccessibleName(_("Scope"))
        self._table: ScopeTable | None = None
        self._made_of: object = None
        self._currency = ""
        self._dates: dict[str, date] = {}
        self.model = RowModel((), _id_of)
        self.grid = Grid(self.model, _("Scope, as the rules propose it"), row_height=ROW)
        self.grid.setSelectionMode(Grid.SelectionMode.SingleSelection)
        self.grid.setIndentation(INDENT)
        self.side = ScopeSide(workshop.formats)
        self.acts = ScopeActs(self, lambda: self.row, self.why_not, lambda: self.filter.choose(ALL))
        self.options = ScopeOptions(workshop, desk, self.side)
        self.filter = ChoiceRow("", ((ALL, _("All")), (TO_DECIDE, ""), (OVERRULED, "")))
        self.text = QLineEdit()
        self.text.setAccessibleName(_("Filter parts"))
        self.text.setPlaceholderText(_("Filter parts"))
        self.text.setClearButtonEnabled(True)
        self.text.setMaximumWidth(170)
        self.put_in = CommandButton(_("Put a row in"), _("Ins"), tool=True)
        self.words = QLabel()
        self._build()
        self._join()
        self.connect_to_desk()

    def _build(self) -> None:
        title = QLabel(_("Scope, as the rules propose it"))
        title.setProperty("tone", "section")
        tools = QFrame()
        tools.setProperty("look", "tools")
        row = QHBoxLayout(tools)
        row.setContentsMargins(16, 8, 16, 8)
        row.setSpacing(12)
        row.addWidget(self.text, 1)
        row.addWidget(self.filter)
        row.addStretch()
        row.addWidget(self.put_in)
        self.words.setProperty("tone", "second")
        self.words.setTextFormat(Qt.TextFormat.PlainText)
        self.words.setContentsMargins(16, 6, 16, 6)
        left = QVBoxLayout()
        left.setSpacing(0)
        for widget in (tools, self.grid, self.words):
            left.addWidget(widget, 1 if widget is self.grid else 0)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(left, 1)
        whole.addWidget(self.side)

    def _join(self) -> None:
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(WAIT)
        self._soon.timeout.connect(self._show)
        self.text.textChanged.connect(lambda _text: self._soon.start())
        self.text.returnPressed.connect(self.grid.setFocus)
        self.filter.chosen.connect(lambda _key: self._show())
        self.grid.current_changed.connect(self._on_current)
        self.grid.opened.connect(self._on_opened)
        self.grid.insert_asked.connect(self.acts.put_row_in)
        self.grid.remove_asked.connect(self.acts.take_out)
        self.put_in.clicked.connect(lambda _on=False: self.acts.put_row_in())
        self.side.way_chosen.connect(self.acts.choose_way)
        self.side.level_chosen.connect(self.acts.choose_level)
        self.side.keep_one.connect(self.acts.keep_one)
        self.side.keep_both.connect(self.acts.keep_both)
        self.workshop.person_changed.connect(lambda _person: self.stale())
        self.desk.opened.connect(lambda _job: self._read_dates())
        self.desk.saved.connect(lambda _when: self._read_dates())
        self._read_dates()
        for place, disposition in enumerate(DISPOSITIONS, start=1):
            shortcut = QShortcut(QKeySequence(f"Alt+{place}"), self)
            shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            shortcut.activated.connect(lambda one=disposition: self.acts.choose(one))

    # What a page answers

    def keys(self) -> Sequence[tuple[str, str]]:
        """The keys that count on the row one is on."""
        row = self.row
        if row is not None and row.twice is not None:
            return (("Alt+1", _("keep one")), ("Alt+2", _("keep both")), ("F9", _("why")))
        if row is not None and row.kind == GONE:
            return (("Del", _("put it back")), ("F9", _("why")))
        return (
            ("Alt+1 \u2026 5", _("reuse, recondition, exchange, replace, open")),
            ("Enter", _("to its options")),
            ("Del", _("take out")),
            ("Ins", _("put a row in")),
            ("F9", _("why")),
        )

    def panes(self) -> Sequence[QWidget]:
        """Filter, rows, options."""
        return (self.text, self.grid, self.side)

    def take_focus(self) -> None:
        """Work begins in the rows."""
        self.grid.setFocus(Qt.FocusReason.OtherFocusReason)

    def explain_here(self) -> None:
        """The row one is on."""
        row = self.grid.current_row()
        if row is None:
            super().explain_here()
        else:
            self._on_current(row)

    def filter_asked(self) -> None:
        """Ctrl+F."""
        self.text.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.text.selectAll()

    def main_action(self) -> None:
        """Ctrl+Enter: on to the next row that must be decided."""
        rows = self._table.rows if self._table is not None else ()
        waiting = [row.key for row in rows if row.to_decide]
        if not waiting:
            self.workshop.presenter.notice(_("Nothing waits to be decided."))
            return
        here = self.place()
        after = waiting[waiting.index(here) + 1 :] if here in waiting else []
        self.filter.choose(ALL)
        self.grid.go_to((after or waiting)[0])

    def place(self) -> str:
        """The row under the cursor."""
        row = self.grid.current_row()
        return _id_of(row) if row is not None else ""

    def go_to(self, place: str) -> None:
        """A row by its key, or the row that holds a line, a part or a finding."""
        if self.grid.go_to(place):
            return
        code = place.rpartition("/")[2]
        for row in self._table.rows if self._table is not None else ():
            if code in (row.id, row.finding, *row.lines):
                self.grid.go_to(row.key)
                return

    def show_side(self, shown: bool) -> None:
        """F9 swaps the options with the why panel."""
        self.side.setVisible(shown)

    def resizeEvent(self, event: Any) -> None:
        """The options take their share of the width."""
        super().resizeEvent(event)
        wide = int(self.width() * SIDE_SHARE)
        self.side.setFixedWidth(max(SIDE_LEAST, min(SIDE_MOST, wide)))

    @property
    def row(self) -> ScopeRow | None:
        """The row under the cursor; None on a head."""
        row = self.grid.current_row()
        return row if isinstance(row, ScopeRow) else None

    @property
    def may_edit(self) -> bool:
        """Whether this person may change this revision."""
        return not self.desk.why_not()

    def why_not(self) -> str:
        """Why nothing can be changed; "" where it can."""
        return self.desk.why_not()

    # Rows

    def refresh(self) -> None:
        """Make the rows of what the desk holds now."""
        work, priced = self.desk.work, self.desk.priced
        newest = priced if work is None or (priced is not None and priced.job is work.job) else work
        if newest is None:
            return
        if newest is not self._made_of:
            self._table = with_same_scope(self._table, scope_table(newest))
            self._made_of = newest
        self._dress(newest.job.terms.currency)
        self._show()
        self.options.follow(self.row, self.may_edit)

    def _dress(self, currency: str) -> None:
        """The columns, where their currency is another."""
        if currency != self._currency:
            self._currency = currency
            self.model.set_columns(scope_columns(self.workshop.formats, currency, self._day_of))
            self.grid.set_widths(0)

    def _day_of(self, row: ScopeRow) -> date | None:
        """The day a row was overruled, as far as this revision's edits tell."""
        return self._dates.get(row.finding or row.id) if row.overruled else None

    def _read_dates(self) -> None:
        """When rows were overruled is in the record's edits."""
        job = self.desk.job
        if job is not None:
            record, number = self.workshop.record, job.number
            self.workshop.runner.run(
                lambda _report: overruled_on(record, number),
                self._take_dates,
                subject="days of overruling",
            )

    def _take_dates(self, moments: Mapping[str, datetime]) -> None:
        dates = {code: at.astimezone().date() for code, at in moments.items()}
        if dates != self._dates:
            self._dates = dates
            self.grid.viewport().update()

    def _show(self) -> None:
        table = self._table
        if table is None:
            return
        self.model.locked = not self.may_edit
        rows = table.rows
        decide = sum(row.to_decide for row in rows)
        overruled = sum(row.overruled for row in rows)
        self.filter.set_text(ALL, _("All {n}").format(n=len(rows)))
        self.filter.set_text(TO_DECIDE, _("To decide {n}").format(n=decide))
        self.filter.set_text(OVERRULED, _("Overruled {n}").format(n=overruled))
        before = self.place()
        self.model.set_sections(self._chosen(table))
        if self.grid.current_row() is None and before:
            self.grid.go_to(before)
        self.put_in.set_available(self.why_not())
        self.words.setText(self.why_not() or self._summary(table, overruled))
        self.keys_changed.emit()

    def _chosen(self, table: ScopeTable) -> list[Section]:
        wanted = self.text.text().casefold().split()
        which = self.filter.key
        found = []
        for head, rows in table.sections:
            kept = tuple(
                row
                for row in rows
                if (which == ALL or (row.to_decide if which == TO_DECIDE else row.overruled))
                and all(word in f"{row.name} {row.id} {head.name}".casefold() for word in wanted)
            )
            if kept:
                found.append(Section(head, kept))
        return found

    def _summary(self, table: ScopeTable, overruled: int) -> str:
        made = ngettext(
            "{findings} findings gave {n} line.", "{findings} findings gave {n} lines.", table.lines
        ).format(findings=table.findings, n=table.lines)
        told = ngettext(
            "{n} row is overruled, with a name and a reason.",
            "{n} rows are overruled, each with a name and a reason.",
            overruled,
        ).format(n=overruled)
        return f"{made} {told}" if overruled else made

    def _on_current(self, row: Any) -> None:
        self.options.follow(row if isinstance(row, ScopeRow | ScopeHead) else None, self.may_edit)
        self.keys_changed.emit()
        if isinstance(row, ScopeHead):
            self.why_asked.emit(f"group/{row.group}")
        elif row is not None:
            self.why_asked.emit(row.figure or None)
        if row is not None:
            self.place_changed.emit(_id_of(row))

    def _on_opened(self, row: Any) -> None:
        """Enter: to the options of a part, to the price of a line."""
        if not isinstance(row, ScopeRow):
            return
        if self.options.take_focus():
            return
        if row.kind == WORK or row.lines:
            self.go_asked.emit(PRICE, f"line/{row.lines[0]}" if row.lines else "")


def _id_of(row: Any) -> str:
    return row.key if isinstance(row, ScopeRow) else f"head/{row.group}"
