"""The Teardown page."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtGui import QHideEvent, QKeySequence, QResizeEvent, QShortcut, QShowEvent
from PySide6.QtWidgets import QWidget

from estimator.desktop.contract_paper import open_paper
from estimator.desktop.desk import Desk
from estimator.desktop.language import _, ngettext
from estimator.desktop.page import Page
from estimator.desktop.screens.teardown.answering import Answering
from estimator.desktop.screens.teardown.columns import TYPED
from estimator.desktop.screens.teardown.layout import lay_out
from estimator.desktop.screens.teardown.next_revision import NextRevision
from estimator.desktop.screens.teardown.rows import PART, BenchRow, bench_rows
from estimator.desktop.telling import told
from estimator.desktop.trade_words import disposition_word
from estimator.desktop.widgets.columns import CellEdit, Kept
from estimator.desktop.widgets.row_model import Section
from estimator.desktop.workshop import Workshop
from estimator.domain.findings import DISPOSITIONS
from estimator.domain.people import FIND
from estimator.domain.record import ACCEPTED
from estimator.services.plan_opening import Receipt, disposition_of, proposals, waits_for
from estimator.services.print_contract import STRIP
from estimator.services.record_teardown import receive_machine
from estimator.services.show_bench import SETTLED_FIRM, Bench, PartRow, show_bench
from estimator.services.show_moves import Moves, show_moves
from estimator.services.show_teardown import OpeningRow, TeardownView, show_teardown

LIMITS_BELOW = 660  # px of bench under which limits give their room to what is typed
PHOTOS_FROM, PHOTOS_BESIDE_CAUTIONS = 500, 640  # px of page from which photographs are shown
NEW, REBUILD, SERVICE = 1, 2, 3
BENCH, RECEIVING = 0, 1


class TeardownPage(Page):
    """Components of the machine, the one on the bench, and what its answers move."""

    own_side = True
    short_header = True

    def __init__(self, workshop: Workshop, desk: Desk) -> None:
        super().__init__(workshop, desk)
        self.setAccessibleName(_("Teardown"))
        self.parts = lay_out(self, workshop)
        self.answering = Answering(workshop, desk, self)
        self.after = NextRevision(workshop, desk, self.parts.next_revision)
        self.view: TeardownView | None = None
        self.bench: Bench | None = None
        self.moves: Moves | None = None
        self._component, self._by_itself = "", True  # chosen by nobody yet
        self._narrow = False
        self._kept: dict[tuple[str, str], Kept] = {}
        self._join()
        self.connect_to_desk()

    def _join(self) -> None:
        parts, contract = self.parts, self.desk.contract
        for signal in (contract.changed, contract.worked_out, contract.tried_out):
            signal.connect(lambda _value: self.stale())
        contract.worked_out.connect(lambda _now: self._try_again())
        contract.acting_changed.connect(lambda _acting: self.stale())
        self.desk.opened.connect(lambda _job: self._on_opened())
        self.answering.changed.connect(self.stale)
        parts.components.current_changed.connect(self._on_component)
        parts.components.opened.connect(lambda _row: self._into_bench())
        parts.components.clicked.connect(lambda _index: self.take_focus())
        parts.next.clicked.connect(self._open_next)
        parts.cautions.ticked.connect(self._on_tick)
        parts.bench.rows.edited.connect(self._on_typed)
        parts.bench.rows.kept_changed.connect(self._on_kept)
        parts.bench.current_changed.connect(lambda _row: self._show_disposing())
        parts.disposing.chosen.connect(self.dispose)
        parts.photos.taken.connect(self._on_photograph)
        parts.receiving.received.connect(self._receive)
        parts.record.clicked.connect(self.main_action)
        for place, disposition in enumerate(DISPOSITIONS, start=1):
            self._key(f"Alt+{place}", partial(self.dispose, disposition))
        self._key("F8", parts.photos.choose_files)

    def _key(self, keys: str, act: object) -> None:
        shortcut = QShortcut(QKeySequence(keys), self)
        shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        shortcut.activated.connect(act)

    def _on_opened(self) -> None:
        self.answering.forget()
        self._component, self._by_itself, self._kept = "", True, {}
        self.view = self.bench = self.moves = None
        self.parts.receiving.clear()

    # What is shown

    @property
    def why_locked(self) -> str:
        """Why nothing can be recorded; "" where it can."""
        person, state = self.workshop.person, self.desk.state
        if state != ACCEPTED and not self.desk.strip_alone:
            return _("This job is {state}: nothing more is opened.").format(state=state)
        if not person.may(FIND):
            return _("{who} may look only.").format(who=person.name)
        return ""

    def refresh(self) -> None:
        """Show the machine, the bench and what moves."""
        contract = self.desk.contract
        here = contract.here
        if here is None:
            return
        rest = contract.now.rest if contract.now is not None else None
        self.view = show_teardown(here, rest)
        self._show_list()
        received = self.view.received is not None
        self.parts.middle.setCurrentIndex(BENCH if received else RECEIVING)
        self.parts.receiving.set_locked(self.why_locked)
        if self._component:
            trial = contract.trial
            shown = trial.rest if trial is not None else rest
            self.bench = show_bench(here, rest, self._component)
            self._show_bench()
            self._show_moves(shown is not None)
        self._show_record()

    def _show_list(self) -> None:
        view, grid = self.view, self.parts.components
        assert view is not None
        grid.rows.set_rows(view.rows)
        ids = [row.id for row in view.rows]
        if self._component not in ids or (self._by_itself and view.next is not None):
            self._component = view.next.id if view.next is not None else (ids[0] if ids else "")
            self._by_itself = view.next is None
        current = grid.current_row()
        if self._component and (current is None or current.id != self._component):
            grid.go_to(self._component)
        count = view.closed
        self.parts.closed.setText(
            ngettext("{n} part still closed", "{n} parts still closed", count).format(n=count)
        )
        name = view.next.name if view.next is not None else _("nothing")
        self.parts.next.set_words(name)
        self.parts.next.setAccessibleName(_("Open next: {name}").format(name=name))
        self.parts.next.setEnabled(view.next is not None)

    def _show_bench(self) -> None:
        bench, parts = self.bench, self.parts
        assert bench is not None
        here = self.desk.contract.here
        assert here is not None
        answers = self.answering.of(bench.component)
        proposed = proposals(here, bench, answers, self.workshop.today())
        parts.title.set_text(bench.name)
        parts.operation.set_text(self._operation(bench))
        locked = bool(self.why_locked) or self.view is None or self.view.received is None
        parts.cautions.show_cautions(
            bench.cautions, answers.ticked, self.workshop.person.name, locked=locked
        )
        self._fit_photos()
        parts.bench.rows.locked = locked
        sections = bench_rows(bench, answers, proposed, self.workshop.formats, narrow=self._narrow)
        row, key = parts.bench.current_row(), parts.bench.current_key()
        parts.bench.rows.set_sections([Section(head, rows) for head, rows in sections])
        parts.bench.rows.set_kept(self._kept)
        if parts.bench.current_row() is None and sections:
            self._to_row(row, key, sections[0][1][0])
        parts.photos.show_component(here.job.number, bench.component, locked=locked)
        self._show_disposing()

    def _to_row(self, row: object, key: str, first: BenchRow) -> None:
        """Back to the row one was on, or to the first that takes something."""
        grid = self.parts.bench
        if isinstance(row, BenchRow) and grid.go_to(row.id, key or TYPED):
            return
        grid.go_to(first.id, TYPED)

    def _operation(self, bench: Bench) -> str:
        if not bench.operations:
            return ""
        code, name, hours = bench.operations[0]
        say = self.workshop.formats
        return _("{code} {name}, {hours} h").format(code=code, name=name, hours=say.number(hours))

    def _part_here(self) -> PartRow | None:
        """The part under the cursor, or the one a measure under it settles."""
        row, bench = self.parts.bench.current_row(), self.bench
        if not isinstance(row, BenchRow) or bench is None:
            return None
        settles = getattr(row.row, "settles", "")
        code = row.code if row.kind == PART else settles
        return next((one for one in bench.parts if one.id == code), None)

    def _show_disposing(self) -> None:
        part, bench, here = self._part_here(), self.bench, self.desk.contract.here
        disposing = self.parts.disposing
        if bench is None or here is None or part is None:
            disposing.show_part("", "", _("Go to a part that is still closed."))
            return
        if part.state not in ("", SETTLED_FIRM):
            disposing.show_part("", part.name, _("It was opened already."))
            return
        answers = self.answering.of(bench.component)
        proposed = proposals(here, bench, answers, self.workshop.today())
        rule = part.name
        if part.id in proposed:
            judged = proposed[part.id]
            rule = _("{part}; rule: {what}, {why}").format(
                part=part.name,
                what=disposition_word(judged.disposition),
                why=told(judged.rule_reason),
            )
        chosen = disposition_of(part, answers, proposed)
        disposing.show_part(chosen, rule, self.why_locked)

    def _show_moves(self, known: bool) -> None:
        contract = self.desk.contract
        tried = contract.trial is not None
        self.moves = None
        after = (contract.trial, contract.head_tried) if tried else (contract.now, contract.head)
        before = (contract.now, contract.head) if tried else (contract.before, contract.head_before)
        if before[0] is None:
            before = after
        if known and after[0] is not None and before[0] is not None:
            assert after[1] is not None
            assert before[1] is not None
            self.moves = show_moves((before[0], before[1]), (after[0], after[1]))
        self.parts.moves.show_moves(self.moves, tried=tried)

    def _show_record(self) -> None:
        parts, locked = self.parts, self.why_locked
        self.after.show()
        receiving = parts.middle.currentIndex() == RECEIVING
        parts.disposing.setVisible(not receiving)
        parts.record.setVisible(not receiving)
        if self.bench is None or receiving:
            parts.waits.setText("" if not receiving else _("Nothing is opened before it is here."))
            return
        answers = self.answering.of(self.bench.component)
        waits = waits_for(self.bench, answers)
        text = ""
        if waits and not answers.nothing:
            text = ngettext(
                "Parts wait for {n} more tick; readings can be recorded.",
                "Parts wait for {n} more ticks; readings can be recorded.",
                len(waits),
            ).format(n=len(waits))
        nothing = _("Nothing is measured or chosen here yet.") if answers.nothing else ""
        if self.desk.contract.acting:
            nothing = _("It is being recorded.")
        parts.waits.setText(locked or text or nothing)
        parts.record.setText(_("Record {name}").format(name=self.bench.component))
        parts.record.set_available(locked or nothing)

    # What is chosen

    def _on_component(self, row: object) -> None:
        if isinstance(row, OpeningRow) and row.id != self._component:
            self._component, self._by_itself, self._kept = row.id, False, {}
            self.stale()
            self.place_changed.emit(row.id)

    def _into_bench(self) -> None:
        self.parts.bench.setFocus(Qt.FocusReason.OtherFocusReason)

    def _open_next(self) -> None:
        if self.view is not None and self.view.next is not None:
            self.go_to(self.view.next.id)
            self._into_bench()

    def _on_tick(self, code: str, on: bool) -> None:
        self.answering.tick(self._component, code, on=on)
        bench = self.bench
        if on and bench is not None and not waits_for(bench, self.answering.of(bench.component)):
            self._into_bench()  # all are ticked: work goes on at the bench

    def _on_typed(self, edits: list[CellEdit]) -> None:
        for edit in edits:
            self._kept.pop((edit.row.id, TYPED), None)
            self.answering.type_in(self._component, edit.row, edit.value)
        self.stale()

    def _on_kept(self, kept: list[Kept]) -> None:
        for one in kept:
            self._kept[one.row.id, one.key] = one
        self.workshop.presenter.trouble(kept[-1].reason)

    def dispose(self, disposition: str) -> None:
        """Alt+1 to Alt+5: say what is to be done with the part one is on."""
        part, bench = self._part_here(), self.bench
        tell = self.workshop.presenter.notice
        if part is None or bench is None or part.state not in ("", SETTLED_FIRM):
            tell(_("Go to a part that is still closed."))
            return
        if self.why_locked:
            tell(self.why_locked)
            return
        if waits := waits_for(bench, self.answering.of(bench.component)):
            tell(_("Opening waits for its tick: {hazard}.").format(hazard=waits[0].hazard))
            self.parts.cautions.focus_first()
            return
        self.workshop.presenter.clear()  # whatever waited for a tick
        self.answering.dispose(bench.component, part.id, disposition)

    def _on_photograph(self, component: str, name: str) -> None:
        part = self._part_here()
        self.answering.photograph(component, name, part.id if part is not None else "")

    def _try_again(self) -> None:
        if self.isVisible():
            self.answering.try_out()

    # Acts

    def main_action(self) -> None:
        """Ctrl+Enter: record what is on the bench, or that the machine came in."""
        if self.why_locked:
            self.workshop.presenter.notice(self.why_locked)
        elif self.parts.middle.currentIndex() == RECEIVING:
            self.parts.receiving.give()
        elif self.bench is not None:
            self.answering.record(self.bench, self._kept)

    def _receive(self, receipt: Receipt) -> None:
        number, note = self._number, receipt.note
        self.desk.contract.act(
            lambda record, who, now: receive_machine(record, number, note, who, now),
            _("Recording that the machine came in"),
            lambda _here: self._on_received(),
        )

    def _on_received(self) -> None:
        self.workshop.presenter.done(_("The machine is here."))
        self.parts.receiving.clear()
        self.take_focus()

    @property
    def _number(self) -> str:
        return self.desk.job.number if self.desk.job is not None else ""

    # The window's wishes

    def take_focus(self) -> None:
        """Where work goes on: the receipt, the cautions left, or the bench."""
        if self.parts.middle.currentIndex() == RECEIVING:
            self.parts.receiving.condition.setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            self._into_bench()

    def go_to(self, place: str) -> None:
        """To a component, or to a part of one."""
        code = place
        here = self.desk.contract.here
        if here is not None and place in here.work.cat.parts:
            code = here.work.cat.parts[place].component
        if self.parts.components.go_to(code):
            self._component, self._by_itself = code, False
            self.stale()
            if code != place:
                self.parts.bench.go_to(f"{PART}/{place}", TYPED)

    def place(self) -> str:
        """The component on the bench."""
        return self._component

    def explain_here(self) -> None:
        """Nothing here is a figure of the quote."""
        self.why_asked.emit("contingency")

    def print_asked(self) -> bool:
        """Ctrl+P: the strip report as it stands."""
        open_paper(self.workshop, self._number, STRIP, _("strip report"))
        return True

    def show_side(self, shown: bool) -> None:
        """F9 swaps what moves with the why panel."""
        self.parts.side.setVisible(shown)

    def unfinished(self) -> str:
        """Answers that nobody recorded."""
        names = self.answering.unrecorded()
        if names:
            return _("Not recorded yet: {names}.").format(names=", ".join(names))
        if self.parts.receiving.begun:
            return _("How the machine came in is not recorded yet.")
        return ""

    def panes(self) -> Sequence[QWidget]:
        """Components, bench, photographs."""
        parts = self.parts
        if parts.middle.currentIndex() == RECEIVING:
            return (parts.components, parts.receiving.condition)
        return (parts.components, parts.bench, parts.photos.strip)

    def keys(self) -> Sequence[tuple[str, str]]:
        """Keys of this page."""
        return (
            ("Enter", _("next row")),
            ("Alt+1 \u2026 5", _("reuse, recondition, exchange, replace, open")),
            ("F8", _("photograph")),
            ("Ctrl+Enter", _("record")),
            ("Ctrl+P", _("strip report")),
            ("F6", _("next pane")),
        )

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Narrow benches leave out the limits; the gauge still shows them."""
        super().resizeEvent(event)
        narrow = self.parts.middle.width() < LIMITS_BELOW
        for column in (NEW, REBUILD, SERVICE):
            self.parts.bench.setColumnHidden(column, narrow)
        self.parts.photos.set_narrow(narrow)
        if narrow != self._narrow:
            self._narrow = narrow
            self.stale()
        self._fit_photos()

    def _fit_photos(self) -> None:
        """Cautions that are to be ticked come first where there is no room for both."""
        needed = PHOTOS_FROM if self.parts.cautions.folded else PHOTOS_BESIDE_CAUTIONS
        self.parts.photos.setVisible(self.height() >= needed)

    def showEvent(self, event: QShowEvent) -> None:
        """What is chosen and not recorded is tried out again."""
        super().showEvent(event)
        self.answering.try_out()

    def hideEvent(self, event: QHideEvent) -> None:
        """Nobody looks at the trial any more."""
        self.desk.contract.try_out(None)
        super().hideEvent(event)
