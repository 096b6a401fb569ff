"""The Variations page: the ledger, the contingency drawn down, and one opened variation."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import QWidget

from estimator.desktop.areas import HISTORY
from estimator.desktop.contract_desk import ContractDesk
from estimator.desktop.desk import Desk
from estimator.desktop.language import _
from estimator.desktop.page import Page
from estimator.desktop.runner import WORK
from estimator.desktop.screens.variations import act_words
from estimator.desktop.screens.variations.acting import Acting
from estimator.desktop.screens.variations.columns import (
    ledger_columns,
    way_columns,
)
from estimator.desktop.screens.variations.job_acts import HAND_OVER, ORDER, why_not
from estimator.desktop.screens.variations.layout import (
    GROUPS,
    LEDGER,
    Parts,
    fit,
    lay_out,
    show_below,
)
from estimator.desktop.screens.variations.opened import Opened
from estimator.desktop.screens.variations.papers import make_paper
from estimator.desktop.trade_words import roles_words
from estimator.desktop.workshop import Workshop
from estimator.domain.people import VARY
from estimator.domain.reasons import Reasons
from estimator.services.ledger_reasons import LEFT, SUM, ledger_reasons, row_figure
from estimator.services.print_contract import LEDGER as LEDGER_PAPER
from estimator.services.print_contract import VARIATION
from estimator.services.show_variations import (
    NO_PRICE,
    WAITS,
    VariationsView,
    show_variations,
)
from estimator.services.work_out_contract import ContractNow
from estimator.services.write_contract import Here

ACCEPTANCE = "acceptance"


def _shown(now: ContractNow) -> tuple[VariationsView, Reasons]:
    """What the page shows of a contract, and how each figure was reached."""
    view = show_variations(now)
    return view, ledger_reasons(now, view)


class VariationsPage(Page):
    """One record for everything that changes something, whoever pays."""

    own_side = True

    def __init__(self, workshop: Workshop, desk: Desk) -> None:
        super().__init__(workshop, desk)
        self.setAccessibleName(_("Variations"))
        self.parts: Parts = lay_out(self, workshop)
        self.opened = Opened(workshop, desk.contract, self.parts.side, self)
        self.acting = Acting(workshop, desk, self, self.go_to)
        self.view: VariationsView | None = None
        self._reasons: Reasons | None = None
        self._view_of: ContractNow | None = None
        self._chosen = ""  # id of the row one is on
        self._currency = ""
        self._join()
        self._bind_keys()
        self.connect_to_desk()

    @property
    def contract(self) -> ContractDesk:
        """The contract of the job on the desk."""
        return self.desk.contract

    def _join(self) -> None:
        parts = self.parts
        parts.ledger.current_changed.connect(self._on_row)
        parts.ledger.insert_asked.connect(self.new)
        parts.groups.insert_asked.connect(self.new)
        parts.ledger.opened.connect(lambda _row: self._enter_case())
        parts.ledger.customContextMenuRequested.connect(lambda _at: parts.side.open_menu())
        parts.new.clicked.connect(self.new)
        parts.views.chosen.connect(self._on_view)
        parts.side.act_asked.connect(self.do)
        parts.side.paper_asked.connect(self.make_paper)
        parts.side.job_act_asked.connect(self.acting.do_for_job)
        parts.side.history_asked.connect(lambda: self.go_asked.emit(HISTORY, self.history_of()[1]))
        self.contract.changed.connect(self._on_contract)
        self.contract.worked_out.connect(lambda _now: self.stale())

    def _bind_keys(self) -> None:
        for keys, act in (
            ("F2", partial(self.do, "write anew")),
            ("Shift+F10", self.parts.side.open_menu),
        ):
            shortcut = QShortcut(QKeySequence(keys), self)
            shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            shortcut.activated.connect(act)

    # What is shown

    def _on_contract(self, here: Here | None) -> None:
        if here is None:
            self.view, self._view_of = None, None
            self.opened.forget()
        self.stale()

    def refresh(self) -> None:
        """Show the contract as it was worked out last."""
        now = self.contract.now
        self._show_new()
        if now is None:
            self._show_none()
        elif now is self._view_of:
            self._show_case()
        else:
            self.workshop.runner.run(
                lambda _report: _shown(now),
                partial(self._take_view, now),
                lane=WORK,
                subject="variations",
            )

    def _show_none(self) -> None:
        said = (
            _("Nothing of this job was accepted yet. Record the acceptance on the Quote page.")
            if self.contract.here is None and not self.desk.under_contract
            else _("Working out the forecast")
        )
        self.parts.ledger.rows.set_rows(())
        self.parts.groups.rows.set_rows(())
        self.parts.side.show_nothing(said)

    def _show_new(self) -> None:
        person = self.workshop.person
        reason = ""
        if self.contract.here is None:
            reason = _("Nothing was accepted yet.")
        elif self.contract.here.contract.handed_over:
            reason = _("The machine is handed over.")
        elif not person.may(VARY):
            reason = _("{who} may look; changing this is for: {roles}.").format(
                who=person.name, roles=roles_words(VARY)
            )
        self.parts.new.set_available(reason)
        here = self.contract.here
        self.parts.side.job_acts = {} if here is None else {
            act: why_not(act, here, person) for act in (ORDER, HAND_OVER)
        }  # fmt: skip

    def _take_view(self, now: ContractNow, shown: tuple[VariationsView, Reasons]) -> None:
        if now is not self.contract.now:
            return
        (view, self._reasons), self._view_of = shown, now
        self.view = view
        self._show_currency(now.here.contract.currency)
        parts, say = self.parts, self.workshop.formats
        parts.ledger.blockSignals(True)
        parts.ledger.rows.set_rows(view.lines)
        self._choose_row()
        parts.ledger.blockSignals(False)
        show_below(parts, view, now.here.contract.acceptance.unspent, say)
        self._fit()
        self._show_case()

    def _show_currency(self, currency: str) -> None:
        """Heads name the contract's currency."""
        if currency != self._currency:
            self._currency = currency
            say = self.workshop.formats
            self.parts.ledger.rows.set_columns(ledger_columns(say, lambda: currency))
            self.parts.ledger.set_widths(stretch=1)
            self.parts.side.ways.rows.set_columns(way_columns(say))
            self.parts.side.ways.set_widths(stretch=0)

    def _fit(self) -> None:
        """Grids are as tall as their rows, the bar close below them, while there is room."""
        if self.view is None:
            return
        fit(self.parts, len(self.view.lines), len(self.view.groups.lines))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another height, another number of rows."""
        super().resizeEvent(event)
        self._fit()

    def _choose_row(self) -> None:
        """The row that was chosen; else the first that waits, else the last."""
        lines = self.view.lines if self.view is not None else ()
        ids = [line.id for line in lines]
        if self._chosen not in ids:
            waits = [line.id for line in lines if line.standing in (WAITS, NO_PRICE)]
            self._chosen = waits[0] if waits else ids[-1] if ids else ""
        if self._chosen:
            self.parts.ledger.go_to(self._chosen)

    def _on_row(self, row: object) -> None:
        row_id = getattr(row, "id", "")
        if row_id and row_id == self._chosen:
            self.explain_here()  # another cell of the same row
        elif row_id:
            self._chosen = row_id
            self._show_case()
            self.explain_here()
            self.place_changed.emit(row_id)

    def _show_case(self) -> None:
        lines = self.view.lines if self.view is not None else ()
        row = next((line for line in lines if line.id == self._chosen), None)
        self.opened.show(row, self._view_of)
        self.keys_changed.emit()

    # Why

    def explain_here(self) -> None:
        """Why of the row one is on."""
        if self._reasons is None:
            self.why_asked.emit(None)
            return
        key, name = self.parts.ledger.current_key(), row_figure(self._chosen)
        name = {"left": LEFT, "sum": SUM}.get(key, name)
        if name not in self._reasons.figures:
            name = SUM
        self.why_asked.emit((name, self._reasons))

    # Acts

    def new(self) -> None:
        """Raise another variation."""
        if self.parts.new.isEnabled():
            self.acting.raise_new()
        else:
            self.workshop.presenter.notice(self.parts.new.accessibleDescription())

    def do(self, act: str) -> None:
        """Begin an act on the variation that is opened; say why not where it cannot be."""
        side = self.parts.side
        if side.view is None or not act:
            return
        reason = side.why_not(act)
        if reason:
            self.acting.tell_why_not(act, side.view.variation.number, reason)
        else:
            self.acting.do(act, side.view.variation.number)

    def _on_view(self, key: str) -> None:
        self.parts.stack.setCurrentIndex(0 if key == LEDGER else 1)
        self._fit()
        grid = self.parts.ledger if key == LEDGER else self.parts.groups
        grid.setFocus(Qt.FocusReason.OtherFocusReason)

    def _enter_case(self) -> None:
        """Enter on a row: into the opened variation."""
        side = self.parts.side
        if side.view is not None:
            side.ways.setFocus(Qt.FocusReason.OtherFocusReason)

    # The window's wishes

    def main_action(self) -> None:
        """Ctrl+Enter: what is due next for this variation."""
        self.do(self.parts.side.main)

    def new_asked(self) -> bool:
        """Ctrl+N is a new variation here."""
        self.new()
        return True

    def print_asked(self) -> bool:
        """Ctrl+P: the opened variation for the customer; the ledger where none is opened."""
        in_case = self.parts.side.view is not None and self.parts.views.key == LEDGER
        self.make_paper(VARIATION if in_case else LEDGER_PAPER)
        return True

    def make_paper(self, key: str) -> None:
        """Make a paper of the contract, and open it."""
        if self.contract.here is not None:
            view = self.parts.side.view
            number = view.variation.number if view is not None else ""
            make_paper(self.workshop, self.contract.number, key, number)

    def show_side(self, shown: bool) -> None:
        """F9: why in the place of the opened variation."""
        self.parts.side.setVisible(shown)

    def take_focus(self) -> None:
        """The ledger is where work begins."""
        grid = self.parts.groups if self.parts.views.key == GROUPS else self.parts.ledger
        grid.setFocus(Qt.FocusReason.OtherFocusReason)

    def go_to(self, place: str) -> None:
        """To a row of the ledger: a variation by its number."""
        self._chosen = place or self._chosen
        if self.parts.ledger.go_to(place):
            self._show_case()

    def place(self) -> str:
        """The row one is on."""
        return self._chosen

    def history_of(self) -> tuple[str, str]:
        """The variation that is opened; all of the job where none is."""
        view = self.parts.side.view
        return "", view.variation.number if view is not None else ""

    def panes(self) -> Sequence[QWidget]:
        """Ledger or groups, ways, the act that is due."""
        parts = self.parts
        grid = parts.groups if parts.views.key == GROUPS else parts.ledger
        panes: tuple[QWidget, ...] = (grid, parts.side.ways, parts.side.do_main)
        return tuple(widget for widget in panes if widget.isVisibleTo(self))

    def keys(self) -> Sequence[tuple[str, str]]:
        """Keys of this page."""
        side = self.parts.side
        state = side.view.case.state if side.view is not None else ""
        main = (("Ctrl+Enter", act_words.act_word(side.main, state).lower()),) if side.main else ()
        return (
            ("Enter", _("open")),
            ("Ctrl+N", _("new")),
            *main,
            ("F2", _("price, revise")),
            ("Ctrl+P", _("print for customer")),
            ("Shift+F10", _("more")),
            ("F9", _("why")),
        )
