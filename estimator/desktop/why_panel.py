"""The why panel: how a figure was reached, step by step, for every figure on every page."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _, ngettext
from estimator.desktop.telling import told
from estimator.desktop.widgets.entry_button import EntryButton
from estimator.desktop.widgets.plain_label import heading_label, plain_label
from estimator.domain.money import Money
from estimator.domain.priced_job import PricedJob
from estimator.domain.reasons import Figure, Figures, Reasons, Value

MOST_INPUTS = 14


class WhyPanel(QFrame):
    """Explains one figure; each figure it rests on can be entered."""

    def __init__(self, formats: Formats, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("look", "side")
        self.formats = formats
        self.pinned = False
        self._priced: PricedJob | None = None
        self._aside: Reasons | None = None  # of a figure that is no part of the priced job
        self._asked = "net"
        self._path: list[str] = []  # figures entered from the one asked for
        self._all_inputs = False
        self._title = plain_label(_("Why"), "section")
        self._hint = plain_label(_("F9 hides"), "note")
        self._back = QPushButton(_("Back"))
        self._back.setProperty("look", "quiet")
        self._back.clicked.connect(self.back)
        head = QHBoxLayout()
        head.addWidget(self._title)
        head.addWidget(self._back)
        head.addStretch()
        head.addWidget(self._hint)
        self.body_scroll = QScrollArea()
        self.body_scroll.setWidgetResizable(True)
        self.body_scroll.setFrameShape(QFrame.Shape.NoFrame)
        self.body_scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.body_scroll.setAccessibleName(_("Why this figure"))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(20, 12, 12, 8)
        layout.addLayout(head)
        layout.addWidget(self.body_scroll)
        self._show()

    def set_priced(self, priced: PricedJob | None) -> None:
        """Explain figures of this reckoning from now on."""
        self._priced = priced
        self._show()

    def ask(self, asked: str | tuple[str, Reasons] | None) -> None:
        """Explain a figure; None: the price. A pinned panel stays.

        A figure reckoned beside the job (the range of an enquiry) comes with its own reasons.
        """
        name, aside = asked if isinstance(asked, tuple) else (asked or "net", None)
        same = name == self._asked and aside is self._aside
        if self.pinned or (same and not self._path):
            return
        self._aside = aside
        self._asked, self._path, self._all_inputs = name, [], False
        self._show()

    def pin(self, pinned: bool) -> None:
        """Keep the figure while the cursor moves on."""
        self.pinned = pinned
        self._hint.setText(_("pinned, Shift+F9 lets go") if pinned else _("F9 hides"))

    def back(self) -> None:
        """Leave the figure entered last."""
        if self._path:
            self._path.pop()
            self._all_inputs = False
            self._show()

    def enter(self, name: str) -> None:
        """Explain a figure the present one rests on."""
        self._path.append(name)
        self._all_inputs = False
        self._show()

    @property
    def figure(self) -> str:
        """Name of the figure explained."""
        return self._path[-1] if self._path else self._asked

    def _show(self) -> None:
        focus = QApplication.focusWidget()
        had_focus = focus is not None and (
            self.body_scroll.isAncestorOf(focus) or (focus is self._back and not self._path)
        )
        self._back.setVisible(bool(self._path))
        body = QWidget()
        body.setProperty("look", "side")
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 8, 8, 8)
        column.setSpacing(4)
        figure = self._figure()
        if figure is None:
            column.addWidget(_wrapped(_("Nothing is worked out yet."), "second"))
        else:
            self._fill(column, figure)
        column.addStretch()
        self._replace_body(body)
        if had_focus:  # what had it is gone with the figure before
            self.body_scroll.setFocus(Qt.FocusReason.OtherFocusReason)

    def _replace_body(self, body: QWidget) -> None:
        """The body before goes later: the focus may be on its way from it to the very widget that
        asks for another figure, and Qt still names it then."""
        before = self.body_scroll.takeWidget()
        self.body_scroll.setWidget(body)
        if before is not None:
            before.setParent(self)
            before.hide()
            before.deleteLater()

    def _figure(self) -> Figure | None:
        figures = self._figures()
        return figures.get(self.figure) or figures.get("net")

    def _figures(self) -> Mapping[str, Figure]:
        if self._aside is not None:
            return self._aside.figures
        return self._priced.reasons.figures if self._priced is not None else Figures({})

    def _fill(self, column: QVBoxLayout, figure: Figure) -> None:
        column.addWidget(_wrapped(told(figure.title), "second"))
        column.addWidget(_wrapped(self.shown(figure.value, figure.unit), "headline"))
        if figure.origin:
            column.addWidget(_wrapped(figure.origin, "note"))
        if figure.formula:
            column.addWidget(heading_label(_("How")))
            column.addWidget(_wrapped(figure.formula, "body"))
        self._fill_numbers(column, figure)
        self._fill_inputs(column, figure)
        for title, text in ((_("Rule"), figure.rule), (_("Came from"), figure.source)):
            if text:
                column.addWidget(heading_label(title))
                column.addWidget(_wrapped(text, "body"))

    def _fill_numbers(self, column: QVBoxLayout, figure: Figure) -> None:
        if not figure.numbers:
            return
        column.addWidget(heading_label(_("Numbers")))
        grid = QGridLayout()
        grid.setColumnStretch(0, 1)
        grid.setHorizontalSpacing(12)
        for row, (label, text) in enumerate(figure.numbers):
            grid.addWidget(_wrapped(label, "second"), row, 0)
            grid.addWidget(_wrapped(text, "body"), row, 1)
        column.addLayout(grid)

    def _fill_inputs(self, column: QVBoxLayout, figure: Figure) -> None:
        if not figure.inputs:
            return
        column.addWidget(heading_label(_("Rests on")))
        figures = self._figures()
        shown = figure.inputs if self._all_inputs else figure.inputs[:MOST_INPUTS]
        common = _common_beginning([told(figures[name].title) for name in shown if name in figures])
        for name in shown:
            below = figures.get(name)
            if below is None:
                continue
            title = told(below.title).removeprefix(common)
            button = EntryButton(title, self.shown(below.value, below.unit))
            button.clicked.connect(lambda _checked=False, one=name: self.enter(one))
            column.addWidget(button)
        rest = len(figure.inputs) - len(shown)
        if rest:
            more = QPushButton(ngettext("{n} more", "{n} more", rest).format(n=rest))
            more.setProperty("look", "quiet")
            more.clicked.connect(self._show_all)
            column.addWidget(more)

    def _show_all(self) -> None:
        self._all_inputs = True
        self._show()

    def shown(self, value: Value, unit: str) -> str:
        """A value as the user's locale writes it."""
        if isinstance(value, Money):
            return self.formats.money(value) if value.minor else DASH
        if isinstance(value, date):
            return self.formats.weekday(value)
        if isinstance(value, float):
            value = Decimal(f"{value:.4f}")
        if isinstance(value, Decimal | int):
            return f"{self.formats.number(value)} {unit}".rstrip()
        return f"{told(value)} {unit}".rstrip()


def _common_beginning(titles: list[str]) -> str:
    """What all titles begin with, up to a comma: said once by the heading, not on every line."""
    first = titles[0].partition(", ") if titles else ("", "", "")
    common = first[0] + first[1]
    several = len(titles) > 1 and bool(first[1])
    return common if several and all(title.startswith(common) for title in titles) else ""


def _wrapped(text: str, tone: str) -> QLabel:
    label = plain_label(text, tone, wrapped=True)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return label
