"""The left pane: the machine's components with what was seen of all, and what nobody has seen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QFrame, QLabel, QLineEdit, QStyleOptionViewItem, QVBoxLayout, QWidget

from estimator.desktop.drawing.words import LEFT, RIGHT, draw_words, words_width
from estimator.desktop.language import _, ngettext
from estimator.desktop.theme import Theme, current_theme
from estimator.desktop.widgets.cell_delegate import ROW_BAR, CellDelegate, Index, paint_caret
from estimator.desktop.widgets.columns import CellPainter, Column
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.plain_tip import plain_tip
from estimator.desktop.widgets.row_model import RowModel, Section
from estimator.domain.component_tree import ComponentTree, Seen

HEAD_HEIGHT, LEAF_HEIGHT = 42, 28
WIDE, NARROW = 208, 180
MOST_NAMED = 6
LOW_PANE = 560  # px; a lower pane has no room for the names
ALL = "*"


@dataclass(frozen=True, slots=True)
class Branch:
    """A group (or the whole machine) or a component, as the tree shows it."""

    id: str
    name: str
    seen: Seen
    inside: int  # parts inside that nobody saw
    head: bool


class _TreeDelegate(CellDelegate):
    """Heads are higher than what is under them, on the same ground."""

    def sizeHint(self, _option: QStyleOptionViewItem, index: Index) -> QSize:
        model = index.model()
        head = isinstance(model, RowModel) and model.is_head(index)
        return QSize(60, HEAD_HEIGHT if head else LEAF_HEIGHT)

    def _ground(
        self, theme: Theme, _option: QStyleOptionViewItem, _index: Index, same_row: bool
    ) -> QColor:
        return theme.colours.select if same_row else theme.colours.surface


class _Tree(Grid):
    """Carets only where something folds; no lines between."""

    def drawBranches(self, painter: QPainter, rect: QRect, index: Index) -> None:
        theme, here = current_theme(), self.currentIndex()
        same_row = here.isValid() and here.row() == index.row() and here.parent() == index.parent()
        painter.fillRect(rect, theme.colours.select if same_row else theme.colours.surface)
        painter.fillRect(rect.left(), rect.bottom(), rect.width(), 1, theme.colours.line)
        if same_row:
            painter.fillRect(rect.left(), rect.top(), ROW_BAR, rect.height(), theme.colours.ink)
        if self.rows.rowCount(index):
            paint_caret(painter, rect, theme, open_=self.isExpanded(index))


class MachinePane(QFrame):
    """Filter, tree, and the parts nobody has seen.

    Signals: chosen(str): code of the group or component to show, "" for all; filtered(str).
    """

    chosen = Signal(str)
    filtered = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("look", "left")
        self.filter = QLineEdit()
        self.filter.setAccessibleName(_("Filter the findings"))
        self.filter.setPlaceholderText(_("Filter"))
        self.filter.setClearButtonEnabled(True)
        self.filter.textChanged.connect(self.filtered)
        self.model = RowModel(_columns(), lambda branch: branch.id)
        self.tree = _Tree(self.model, _("Components, what was seen"))
        self.tree.setItemDelegate(_TreeDelegate(LEAF_HEIGHT, self.tree))
        self.tree.setUniformRowHeights(False)
        self.tree.setHeaderHidden(True)
        self.tree.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.tree.setSelectionMode(self.tree.SelectionMode.SingleSelection)
        self.tree.fold_all(set())
        self.tree.current_changed.connect(
            lambda branch: self.chosen.emit("" if branch is None or branch.id == ALL else branch.id)
        )
        self._unseen_title = _label("section")
        self._unseen_words = _label("second")
        self._unseen_names = [ElidedLabel(tone="second") for _place in range(MOST_NAMED)]
        self._lay_out()

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 12, 0, 12)
        column.setSpacing(8)
        top = QVBoxLayout()
        top.setContentsMargins(12, 0, 12, 0)
        top.addWidget(self.filter)
        column.addLayout(top)
        column.addWidget(self.tree, 1)
        below = QVBoxLayout()
        below.setContentsMargins(20, 4, 12, 0)
        below.setSpacing(3)
        below.addWidget(self._unseen_title)
        below.addWidget(self._unseen_words)
        for label in self._unseen_names:
            below.addWidget(label)
        column.addLayout(below)

    def show_tree(self, tree: ComponentTree) -> None:
        """Show what was seen; folding and the cursor stay."""
        first = self.tree.current_row() is None
        every = Branch(ALL, _("All findings"), tree.seen, len(tree.unseen), head=True)
        sections = [Section(every, ())]
        for group in tree.groups:
            if not group.seen.all and not group.seen.findings:
                continue
            head = Branch(group.group, group.name, group.seen, len(group.unseen), head=True)
            leaves = tuple(
                Branch(one.component, one.name, one.seen, len(one.unseen), head=False)
                for one in group.components
                if one.seen.all or one.seen.findings
            )
            sections.append(Section(head, leaves))
        self.model.set_sections(sections)
        if first:
            self.tree.go_to(ALL)
        self._show_unseen(tree)

    def _show_unseen(self, tree: ComponentTree) -> None:
        names = list(dict.fromkeys(part.name for part in tree.unseen))
        count = len(tree.unseen)
        self._unseen_title.setText(
            ngettext("Not seen: {n} part", "Not seen: {n} parts", count).format(n=count)
        )
        self._unseen_words.setText(
            _("They keep the chance they start with. Nothing unseen is called good.")
            if count
            else _("Every part that decides something was looked at.")
        )
        room = MOST_NAMED if len(names) <= MOST_NAMED else MOST_NAMED - 1
        shown = names[:room]
        rest = len(names) - len(shown)
        if rest:
            shown.append(ngettext("and {n} more", "and {n} more", rest).format(n=rest))
        for place, label in enumerate(self._unseen_names):
            label.set_text(shown[place] if place < len(shown) else "")
            label.setVisible(place < len(shown) and self.height() > LOW_PANE)
        self._unseen_title.setToolTip(plain_tip("\n".join(names[:40])))
        self.tree.setAccessibleDescription("; ".join((seen_words(tree.seen), *names[:40])))

    def go_to(self, code: str) -> None:
        """Choose a group or component."""
        self.tree.go_to(code or ALL)


def seen_words(seen: Seen) -> str:
    """As a line under a name: 9 of 12 looked at, 3 not seen."""
    if not seen.all:
        return ngettext("{n} finding", "{n} findings", seen.findings).format(n=seen.findings)
    if not seen.not_seen:
        return _("{seen} of {all} looked at").format(seen=seen.looked_at, all=seen.all)
    return _("{seen} of {all} looked at, {left} not seen").format(
        seen=seen.looked_at, all=seen.all, left=seen.not_seen
    )


def inside_words(branch: Branch) -> str:
    """What is not seen inside, for a screen reader and the tooltip."""
    if not branch.inside:
        return ""
    return ngettext("{n} part inside not seen", "{n} parts inside not seen", branch.inside).format(
        n=branch.inside
    )


def _columns() -> Sequence[Column]:
    def text(branch: Branch) -> str:
        return f"{branch.name}: {seen_words(branch.seen)}"

    def tip(branch: Branch) -> str:
        words = (branch.name, seen_words(branch.seen), inside_words(branch))
        return "\n".join(one for one in words if one)

    return (Column("name", _("Component"), text, 200, tip=tip, paint=_paint),)


def _paint(branch: Branch) -> CellPainter:
    return _head(branch) if branch.head else _leaf(branch)


def _head(branch: Branch) -> CellPainter:
    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        sizes, colours = theme.sizes, theme.colours
        top = rect.center().y() - (sizes.second_line + sizes.note_line) / 2
        above = QRectF(rect.left(), top, rect.width(), sizes.second_line)
        below = QRectF(rect.left(), above.bottom(), rect.width(), sizes.note_line)
        draw_words(painter, above, branch.name, theme.font(sizes.body), colours.ink)
        colour = colours.exp_text if branch.seen.not_seen else colours.ink3
        draw_words(painter, below, seen_words(branch.seen), theme.font(sizes.note), colour)

    return paint


def _leaf(branch: Branch) -> CellPainter:
    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        sizes, colours, seen = theme.sizes, theme.colours, branch.seen
        font = theme.font(sizes.note)
        words = _("{seen} of {all}").format(seen=seen.looked_at, all=seen.all) if seen.all else ""
        wide = words_width(words, font)
        place = QRectF(rect.left(), rect.top(), rect.width() - wide - 8, rect.height())
        draw_words(painter, place, branch.name, theme.font(sizes.second), colours.ink, LEFT)
        colour = colours.exp_text if seen.not_seen else colours.ink3
        draw_words(painter, QRectF(rect), words, font, colour, RIGHT)

    return paint


def _label(tone: str) -> QLabel:
    label = QLabel()
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    label.setProperty("tone", tone)
    return label
