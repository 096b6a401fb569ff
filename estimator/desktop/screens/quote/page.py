"""The Quote page."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QHideEvent, QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import QWidget

from estimator.desktop.areas import HISTORY
from estimator.desktop.desk import Desk
from estimator.desktop.language import _, ngettext
from estimator.desktop.page import Page
from estimator.desktop.screens.quote.accepting import Accepting
from estimator.desktop.screens.quote.comparing import Comparing
from estimator.desktop.screens.quote.file_menu import FileMenu
from estimator.desktop.screens.quote.layout import (
    MOST_REVISIONS,
    MOST_THINGS,
    QuoteParts,
    fit_rows,
    lay_out,
)
from estimator.desktop.screens.quote.new_machine import BesideNew
from estimator.desktop.screens.quote.paper_choice import QUOTE
from estimator.desktop.screens.quote.places import LookAt, things, where_kept
from estimator.desktop.screens.quote.printing import Printing
from estimator.desktop.screens.quote.releasing import Releasing
from estimator.desktop.screens.quote.saving import PaperFiles
from estimator.desktop.screens.quote.words import (
    DRAFT,
    RevisionRow,
    draft_row,
    file_name,
    issued_row,
)
from estimator.desktop.trade_words import roles_words
from estimator.desktop.workshop import Workshop
from estimator.domain.people import ACCEPT, ISSUE
from estimator.domain.record import ISSUED, IssuedQuote
from estimator.services.compare_revisions import Difference, issued_revisions
from estimator.services.print_quote import valid_until
from estimator.services.show_history import ISSUE as OF_ISSUE

ACCEPT_KEYS = "Ctrl+Shift+A"
BESIDE_KEYS = "Ctrl+Shift+N"


class QuotePage(Page):
    """What went out, what would go out now, and what changed between them."""

    own_side = True
    short_header = True

    def __init__(self, workshop: Workshop, desk: Desk) -> None:
        super().__init__(workshop, desk)
        self.setAccessibleName(_("Quote"))
        self.parts: QuoteParts = lay_out(self, workshop)
        self.releasing = Releasing(workshop, desk, self)
        self.accepting = Accepting(workshop, desk, self)
        self.issued: tuple[IssuedQuote, ...] | None = None
        self._read_of = ""
        self._chosen = ""  # id of the revision shown
        self._stands = ("", "")  # the job's title, and its state once it is issued
        self.files = PaperFiles(workshop, self.parts.preview, self, self._file_name)
        self.printing = Printing(workshop, self.parts.preview, self)
        self.more_files = FileMenu(workshop, desk, self.parts.preview, self, self._issued_here)
        self.comparing = Comparing(workshop, self.parts)
        self.beside_new = BesideNew(workshop, desk, self.parts.preview, self)
        self._join()
        self.connect_to_desk()

    def _join(self) -> None:
        parts, acts = self.parts, self.releasing
        parts.issue.clicked.connect(self._ask_to_issue)
        parts.propose.clicked.connect(acts.propose)
        parts.withdraw.clicked.connect(acts.withdraw)
        parts.revise.clicked.connect(acts.revise)
        parts.accept.clicked.connect(self.accepting.ask)
        parts.history.clicked.connect(lambda: self.go_asked.emit(HISTORY, self.history_of()[1]))
        shortcut = QShortcut(QKeySequence(ACCEPT_KEYS), self)
        shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        shortcut.activated.connect(self._ask_to_accept)
        beside = QShortcut(QKeySequence(BESIDE_KEYS), self)
        beside.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        beside.activated.connect(self.beside_new.ask)
        parts.beside_new.clicked.connect(self.beside_new.ask)
        parts.stop.clicked.connect(acts.stop)
        parts.revisions.current_changed.connect(self._on_revision)
        parts.things.opened.connect(self._go_there)
        parts.things.clicked.connect(lambda index: self._go_there(parts.things.rows.row_at(index)))
        parts.changes.current_changed.connect(self._on_difference)
        parts.preview.save_asked.connect(self.files.ask_where)
        parts.preview.open_asked.connect(self.files.open)
        parts.preview.print_asked.connect(self.printing.ask)
        parts.preview.laid_out.connect(self._show_buttons)
        acts.changed.connect(self._read_issued)
        acts.busy_changed.connect(lambda _busy: self._show_buttons())
        self.desk.faults_changed.connect(lambda _faults: self.stale())
        self.desk.names_changed.connect(self.stale)
        self.workshop.person_changed.connect(lambda _person: self.stale())

    # What is shown

    def refresh(self) -> None:
        """Show the revisions, what is to be looked at, what changed, and the paper."""
        job = self.desk.job
        if job is None:
            return
        if self._read_of != job.number:
            self._read_of, self.issued = job.number, None
            self._read_issued()
        stands = (job.title, self.desk.state if self.desk.issued else "")
        if stands != self._stands:  # another revision, or another state of it, comes to the front
            self._stands, self._chosen = stands, ""
            self.keys_changed.emit()
        self._show_things()
        self._show_buttons()
        self._show_revisions()

    def _read_issued(self) -> None:
        job, record = self.desk.job, self.workshop.record
        if job is None:
            return
        number = job.number
        self.workshop.runner.run(
            lambda _report: issued_revisions(record, number),
            lambda issued: self._take_issued(number, issued),
        )

    def _take_issued(self, number: str, issued: tuple[IssuedQuote, ...]) -> None:
        if number != self._read_of:
            return
        self.issued = issued
        self.stale()

    def _rows(self) -> list[RevisionRow]:
        say, job, priced = self.workshop.formats, self.desk.job, self.desk.priced
        rows = [issued_row(one, say) for one in reversed(self.issued or ())]
        if job is not None and not self.desk.issued:
            price = say.money(priced.price.net) if priced is not None and self.desk.fresh else ""
            rows.insert(0, draft_row(job.revision, self.desk.state, price, self._valid_until()))
        return rows

    def _valid_until(self) -> str:
        job = self.desk.job
        return "" if job is None else self.workshop.formats.day(valid_until(job))

    def _show_revisions(self) -> None:
        rows, grid = self._rows(), self.parts.revisions
        grid.rows.set_rows(rows)
        fit_rows(grid, len(rows), MOST_REVISIONS)
        ids = [row.id for row in rows]
        if self._chosen not in ids:
            self._chosen = ids[0] if ids else ""
        if self._chosen:
            grid.go_to(self._chosen)
        self._show_chosen()

    def _on_revision(self, row: object) -> None:
        if isinstance(row, RevisionRow) and row.id != self._chosen:
            self._chosen = row.id
            self._show_chosen()

    def _issued_here(self) -> IssuedQuote | None:
        """The issued revision that is shown; None where it is the one worked on."""
        return next((one for one in self.issued or () if one.revision == self._chosen), None)

    def _show_chosen(self) -> None:
        preview, issued = self.parts.preview, self._issued_here()
        priced = self.desk.priced
        if issued is not None:
            preview.show_issued(issued, only=not self._is_last(issued))
        elif self.desk.faults:
            preview.show_nothing(_("There is no paper until the faults are mended."))
        elif priced is None:
            preview.show_nothing(_("Working out the price."))
        elif self.desk.fresh:
            preview.show_now(priced)
        if self.issued is not None:
            self.comparing.show(self.issued, issued, priced if self.desk.fresh else None)
        self._show_buttons()

    def _is_last(self, issued: IssuedQuote) -> bool:
        """Whether the job itself is this revision."""
        job = self.desk.job
        return job is not None and self.desk.issued and job.revision == issued.revision

    def _show_things(self) -> None:
        job, priced = self.desk.job, self.desk.priced
        assert job is not None
        warnings = priced.warnings if priced is not None and not self.desk.issued else ()
        rows = [
            LookAt(
                f"kept/{place}",
                where_kept(place),
                place.partition("/")[2] or place,
                _("\u201c{text}\u201d is typed but not valid yet, and so is in no price.").format(
                    text=text
                ),
                _("Mend it or take it out."),
                True,
            )
            for place, text in self.desk.kept.items()
        ] + things(job, self.desk.faults, warnings)
        self.parts.things.rows.set_rows(rows)
        fit_rows(self.parts.things, len(rows), MOST_THINGS)
        stops = sum(row.stops for row in rows)
        title = ngettext("{n} thing to look at", "{n} things to look at", len(rows))
        if stops:
            title = ngettext("{n} thing to mend first", "{n} things to mend first", stops)
        self.parts.look_title.setText(title.format(n=stops or len(rows)))
        self.parts.look_title.setVisible(bool(rows))

    def _go_there(self, row: object) -> None:
        if isinstance(row, LookAt):
            self.go_asked.emit(row.area, row.place)

    def _on_difference(self, row: object) -> None:
        if isinstance(row, Difference) and row.figure:
            self.why_asked.emit(row.figure)

    # Buttons

    def _show_buttons(self) -> None:
        desk, parts, person = self.desk, self.parts, self.workshop.person
        may, busy = person.may(ISSUE), self.releasing.busy
        ready = desk.fresh and not desk.faults and not desk.kept and not busy
        parts.issue.setVisible(may and not desk.issued and not busy)
        parts.issue.setEnabled(ready)
        parts.propose.setVisible(may and desk.state == "draft" and not busy)
        parts.propose.setEnabled(ready)
        parts.withdraw.setVisible(may and desk.state == "proposed" and not busy)
        parts.accept.setVisible(self._may_accept() and not busy)
        parts.revise.setVisible(may and desk.may_revise and not busy)
        text = _("Make rev {rev}").format(rev=self.releasing.next_revision())
        parts.revise.setText(text)
        parts.revise.setAccessibleName(text)
        parts.stop.setVisible(busy)
        parts.history.setVisible(self._issued_here() is not None)
        parts.beside_new.setEnabled(desk.fresh and not desk.faults and not busy)
        parts.state.setText(self._state_words(may))

    def _state_words(self, may: bool) -> str:
        desk, person = self.desk, self.workshop.person
        if self.releasing.busy:
            return _("Issuing. It can be stopped until it is written.")
        if desk.under_contract:
            return desk.why_not()
        if desk.job is not None and desk.issued:
            return _("Rev {rev} is issued. Make rev {next} to change it.").format(
                rev=desk.job.revision, next=self.releasing.next_revision()
            )
        if not may:
            return _("{who} may look; issuing is for: {roles}.").format(
                who=person.name, roles=roles_words(ISSUE)
            )
        if desk.faults or desk.kept:
            return _("Mend what stands below, then it can be issued.")
        if desk.state == "proposed":
            return _("Waits on a service manager to release it.")
        return _("A draft: nobody outside has it.")

    def _may_accept(self) -> bool:
        return self.desk.state == ISSUED and self.workshop.person.may(ACCEPT)

    def _ask_to_accept(self) -> None:
        if self._may_accept() and not self.releasing.busy:
            self.accepting.ask()

    def _ask_to_issue(self) -> None:
        priced = self.desk.priced
        if priced is None or not self.desk.fresh or self.desk.issued:
            return
        price = self.workshop.formats.money(priced.price.net)
        preview = self.parts.preview
        self.releasing.ask_to_issue(preview.print_locale, price, preview.print_length)

    # Files

    def _file_name(self) -> str:
        job, issued, choice = self.desk.job, self._issued_here(), self.parts.preview.choice
        assert job is not None
        revision = issued.revision if issued is not None else job.revision
        paper = choice.paper
        if paper.kind == QUOTE:
            return file_name(job.number, revision)
        which = f" {paper.which}" if paper.which else ""
        return file_name(job.number, f"{revision} {choice.title_of(paper.kind)}{which}")

    # The window's wishes

    def main_action(self) -> None:
        """Ctrl+Enter: issue, or begin the next revision."""
        if self.desk.issued:
            if self.parts.revise.isVisible():
                self.releasing.revise()
        elif self.parts.issue.isVisible() and self.parts.issue.isEnabled():
            self._ask_to_issue()

    def print_asked(self) -> bool:
        """Ctrl+P: open the very bytes shown in the system's viewer."""
        self.files.open()
        return True

    def filter_asked(self) -> None:
        """Ctrl+F: search in the paper."""
        self.parts.preview.ask_to_find()

    def history_of(self) -> tuple[str, str]:
        """How the revision that is shown was released and issued; of a draft, all of the job."""
        issued = self._issued_here()
        return "", f"{OF_ISSUE}/{issued.revision}" if issued is not None else ""

    def take_focus(self) -> None:
        """The list of revisions is where work begins."""
        self.parts.revisions.setFocus(Qt.FocusReason.OtherFocusReason)

    def go_to(self, place: str) -> None:
        """To a revision by its letter, or to the draft."""
        if self.parts.revisions.go_to(place or DRAFT):
            self.parts.revisions.setFocus(Qt.FocusReason.OtherFocusReason)

    def place(self) -> str:
        """The revision shown."""
        return self._chosen

    def panes(self) -> Sequence[QWidget]:
        """Revisions, things to look at, changes, paper."""
        parts = self.parts
        lists = (parts.revisions, parts.things, parts.changes, parts.preview.pages)
        return tuple(widget for widget in lists if widget.isVisibleTo(self))

    def keys(self) -> Sequence[tuple[str, str]]:
        """Keys of this page."""
        act = _("make the next revision") if self.desk.issued else _("issue")
        closed = self.desk.issued and not self.desk.may_revise
        first = () if closed else (("Ctrl+Enter", act),)
        accept = ((ACCEPT_KEYS, _("record acceptance")),) if self._may_accept() else ()
        return (
            *first,
            *accept,
            (BESIDE_KEYS, _("rebuild or new")),
            ("Ctrl+P", _("open the PDF")),
            ("Ctrl+F", _("search")),
            ("PgUp PgDn", _("page up and down")),
            ("Ctrl + \u2212", _("larger, smaller")),
            ("F9", _("why")),
        )

    def showEvent(self, event: QShowEvent) -> None:
        """Somebody looks at the paper again."""
        super().showEvent(event)
        if self.desk.job is not None and self._chosen:
            self._show_chosen()

    def hideEvent(self, event: QHideEvent) -> None:
        """Nobody looks at the paper any more."""
        self.parts.preview.stop()
        super().hideEvent(event)
