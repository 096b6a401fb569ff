"""What follows from the inputs of a comparison with a new machine, beside the form."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QGridLayout, QLabel, QVBoxLayout, QWidget

from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _
from estimator.desktop.telling import told
from estimator.desktop.widgets.plain_label import heading_label, plain_label
from estimator.domain.money import Money
from estimator.domain.rebuild_or_new.compared import LEVEL, NEW, REBUILD, Comparison
from estimator.domain.rebuild_or_new.noting import titled

WIDTH, NARROW, SHOWN_MOVES = 336, 272, 4


class ResultPane(QFrame):
    """The answer, both ways in figures, and what moves it most; read aloud as one text."""

    def __init__(self, say: Formats) -> None:
        super().__init__()
        self._say = say
        self.setFixedWidth(WIDTH)
        self.setProperty("look", "side")
        self.answer = plain_label("", "strong", wrapped=True)
        self.words = plain_label("", "second", wrapped=True)
        self._table = QWidget()
        self._grid = QGridLayout(self._table)
        self._grid.setContentsMargins(0, 4, 0, 0)
        self._grid.setHorizontalSpacing(10)
        self._grid.setVerticalSpacing(3)
        self._cells: list[QLabel] = []
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 4, 24, 12)
        column.setSpacing(6)
        column.addWidget(heading_label(_("What follows")))
        for widget in (self.answer, self.words, self._table):
            column.addWidget(widget)
        column.addStretch()
        self.setAccessibleName(_("What follows"))

    def show_nothing(self, reason: str) -> None:
        """Say why there is no answer."""
        self.answer.setText("")
        self.words.setText(reason)
        self._table.hide()
        self.setAccessibleDescription(reason)

    def show_comparison(self, found: Comparison) -> None:
        """Show a comparison."""
        self.answer.setText(self._answer(found))
        self.words.setText(self._words(found))
        self._fill(found)
        self._table.show()
        self.setAccessibleDescription(f"{self.answer.text()} {self.words.text()}")

    def _answer(self, found: Comparison) -> str:
        said = {
            REBUILD: _("The rebuild costs less per hour, as long as it stays under {turns}."),
            NEW: _("A new machine costs less per hour; the rebuild only under {turns}."),
            LEVEL: _("An hour costs the same either way; the rebuild turns at {turns}."),
        }[found.by_hour]
        return said.format(turns=self._say.money(found.turns_at))

    def _words(self, found: Comparison) -> str:
        say = self._say
        said = [
            _("{share} of a new machine; usual {low} to {high}.").format(
                share=say.percent(found.share, 1), low=say.percent(found.usual[0]),
                high=say.percent(found.usual[1]),
            ),
            _("The ranges do not meet.") if found.apart else _("The ranges meet."),
        ]  # fmt: skip
        if found.by_year != found.by_hour:
            said.append(_("By the year, with interest, the answer is another."))
        if found.above_usual:
            said.append(_("More than usual: look hard at buying new."))
        return " ".join(said)

    def _fill(self, found: Comparison) -> None:
        for cell in self._cells:
            self._grid.removeWidget(cell)
            cell.deleteLater()
        self._cells = []
        say, one, two = self._say, found.rebuilt, found.new
        self._row("", _("Rebuild"), _("New"), tone="head")
        self._row(_("Price, likely"), say.money(one.price[1]), say.money(two.price[1]))
        weeks = (say.number(way.weeks[1], 1) for way in (one, two))
        self._row(_("Weeks to ready"), *weeks)
        self._row(_("Waiting"), self._sum(one.waiting[1]), self._sum(two.waiting[1]))
        hours = (say.number(way.hours, 0) for way in (one, two))
        self._row(_("Hours of work"), *hours)
        for name, at in ((_("Per hour, low"), 0), (_("likely"), 1), (_("high"), 2)):
            self._row(name, self._hour(one.per_hour[at]), self._hour(two.per_hour[at]),
                      tone="strong" if at == 1 else "")  # fmt: skip
        self._row(_("A year"), say.money(one.per_year), say.money(two.per_year))
        self._row(_("Moves it most, per hour"), "", "", tone="head")
        for move in found.moves[:SHOWN_MOVES]:
            self._row(told(titled(move.name)), "", say.number(move.swing, 2))

    def _hour(self, amount: Money) -> str:
        return self._say.money(amount, whole=False)

    def _sum(self, amount: Money) -> str:
        return self._say.money(amount) if amount else DASH

    def _row(self, name: str, rebuilt: str, new: str, tone: str = "") -> None:
        at = self._grid.rowCount()
        for place, text in enumerate((name, rebuilt, new)):
            cell = plain_label(text, tone or ("second" if place == 0 else ""))
            if place:
                cell.setAlignment(Qt.AlignmentFlag.AlignRight)
            else:
                cell.setWordWrap(True)
            self._grid.addWidget(cell, at, place)
            self._cells.append(cell)
        self._grid.setColumnStretch(0, 1)
