"""Where a new finding begins: what is measured, found by typing a part of its name."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QFrame, QLabel, QLineEdit, QVBoxLayout, QWidget

from estimator.desktop.language import _
from estimator.desktop.screens.inspection.typed import words_for
from estimator.desktop.widgets.columns import Column
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.row_model import RowModel, Section
from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import Measure
from estimator.domain.job import Job

WIDTH, HEIGHT = 640, 440


@dataclass(frozen=True, slots=True)
class Offer:
    """A measure to choose, or the head of a component: a finding of one's own there."""

    id: str
    component: str
    name: str
    measure: Measure | None
    found_in: str  # numbers of the findings that read it already


class MeasureChooser(QFrame):
    """Lies over the page. Enter takes what is chosen, Esc leaves.

    Signals:
        measure_chosen(object): the Measure
        own_chosen(str): component of a finding that no measure names
        left()
    """

    measure_chosen = Signal(object)
    own_chosen = Signal(str)
    left = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._over = parent
        self.setProperty("look", "panel")
        self.setAccessibleName(_("New finding"))
        self._offers: list[tuple[Offer, list[Offer]]] = []
        title = QLabel(_("New finding: what is measured, or a component"))
        title.setProperty("tone", "section")
        self.line = QLineEdit()
        self.line.setAccessibleName(_("Part of a measure's or a component's name"))
        self.line.textChanged.connect(self._show)
        self.model = RowModel(_columns(), lambda offer: offer.id)
        self.grid = Grid(self.model, _("Measures by component"))
        self.grid.opened.connect(self._take)
        words = QLabel(_("Enter on a component begins a finding of your own there. Esc leaves."))
        words.setProperty("tone", "note")
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 14, 16, 12)
        column.setSpacing(8)
        for widget in (title, self.line, self.grid, words):
            column.addWidget(widget)
        for widget in (self.line, self.grid):
            widget.installEventFilter(self)
        self.hide()

    def ask(self, job: Job, cat: ClassCatalogue, text: str = "", component: str = "") -> None:
        """Open, with what was typed already; begin at a component where one is chosen."""
        self._offers = _offers(job, cat)
        parent = self._over
        wide, high = min(WIDTH, parent.width() - 24), min(HEIGHT, parent.height() - 24)
        self.setGeometry((parent.width() - wide) // 2, parent.height() - high - 12, wide, high)
        self.line.setText(text)
        self._show()
        if component and not text:
            self.grid.go_to(component)
        self.show()
        self.raise_()
        self.line.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _show(self) -> None:
        words = self.line.text().casefold().split()
        sections, first = [], ""
        for head, offers in self._offers:
            of_head = head.name.casefold()
            fitting = [
                one for one in offers
                if all(word in f"{of_head} {one.name}".casefold() for word in words)
            ]  # fmt: skip
            if fitting or all(word in of_head for word in words):
                sections.append(Section(head, tuple(fitting)))
                first = first or (fitting[0].id if fitting else head.id)
        self.model.set_sections(sections)
        if first:
            self.grid.go_to(first)

    def _take(self, offer: Offer | None) -> None:
        if offer is None:
            return
        self.hide()
        if offer.measure is not None:
            self.measure_chosen.emit(offer.measure)
        else:
            self.own_chosen.emit(offer.component)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Esc leaves, Enter takes; the arrows move in the list while one types."""
        if event.type() != QEvent.Type.KeyPress or not isinstance(event, QKeyEvent):
            return super().eventFilter(watched, event)
        key = event.key()
        if key == Qt.Key.Key_Escape:
            self.hide()
            self.left.emit()
            return True
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not event.modifiers():
            self._take(self.grid.current_row())
            return True
        moves = (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown)
        if watched is self.line and key in moves:
            QApplication.sendEvent(self.grid.viewport(), QKeyEvent(event))
            return True
        return super().eventFilter(watched, event)


def _offers(job: Job, cat: ClassCatalogue) -> list[tuple[Offer, list[Offer]]]:
    found: dict[str, list[str]] = {}
    for finding in job.findings:
        found.setdefault(finding.measure, []).append(finding.id)
    by_component: dict[str, list[Offer]] = {code: [] for code in sorted(cat.components)}
    for measure in cat.measures.values():
        numbers = ", ".join(found.get(measure.id, ()))
        offer = Offer(measure.id, measure.component, measure.name, measure, numbers)
        by_component[measure.component].append(offer)
    return [
        (Offer(code, code, cat.components[code].name, None, ""), offers)
        for code, offers in by_component.items()
    ]


def _columns() -> list[Column]:
    return [
        Column(
            "name", _("What is measured"), lambda offer: offer.name, 320,
            strong=lambda offer: offer.measure is None, tip=lambda offer: offer.name,
        ),
        Column(
            "kind", _("Kind"),
            lambda offer: words_for(offer.measure.kind) if offer.measure else "", 100,
            tone=lambda _offer: "ink2",
        ),
        Column(
            "unit", _("Unit"), lambda offer: offer.measure.unit if offer.measure else "", 64,
            tone=lambda _offer: "ink2",
        ),
        Column("found", _("In the job"), lambda offer: offer.found_in, 80),
    ]  # fmt: skip
