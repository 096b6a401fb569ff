"""How a grid draws and edits a cell: text or a drawing, the row one is on, what is not valid."""

from __future__ import annotations

from PySide6.QtCore import (
    QAbstractItemModel,
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QPointF,
    QRect,
    QSize,
    Qt,
)
from PySide6.QtGui import QColor, QFontMetrics, QKeyEvent, QPainter, QPen
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QLineEdit,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from estimator.desktop.drawing.marks import TABLE_MARK, Mark, paint_mark
from estimator.desktop.theme import Theme, current_theme
from estimator.desktop.widgets.columns import Column
from estimator.desktop.widgets.row_model import COLUMN, DISPLAY, EDIT, FONT, KEPT, ROW

PAD = 8
ROW_BAR = 4  # px of ink at the left of the row one is on
DEMI = 600
BEGAN = "began"  # property of an editor: the text it began with

Index = QModelIndex | QPersistentModelIndex


def paint_caret(painter: QPainter, rect: QRect, theme: Theme, *, open_: bool) -> None:
    """The caret of a head: down where it is open, right where it is folded."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(theme.colours.ink2, 1.6))
    middle = QPointF(rect.right() - 7, rect.center().y() + 0.5)
    points = ((-4, -2), (0, 2), (4, -2)) if open_ else ((-2, -4), (2, 0), (-2, 4))
    painter.drawPolyline([middle + QPointF(x, y) for x, y in points])
    painter.restore()


class CellDelegate(QStyledItemDelegate):
    """Draws the cells of a Grid. Rows are all `row_height` high."""

    def __init__(self, row_height: int, grid: QAbstractItemView) -> None:
        super().__init__(grid)
        self._height = row_height
        self._grid = grid

    def sizeHint(self, _option: QStyleOptionViewItem, _index: Index) -> QSize:
        """All rows are one height."""
        return QSize(60, self._height)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Ground, content, hairline, and the ring around the cell one is in."""
        theme = current_theme()
        rect: QRect = option.rect
        here = self._grid.currentIndex()
        same_row = here.isValid() and here.row() == index.row() and here.parent() == index.parent()
        painter.save()
        painter.setClipRect(rect)
        painter.fillRect(rect, self._ground(theme, option, index, same_row))
        self._paint_content(painter, theme, rect, index)
        painter.fillRect(rect.left(), rect.bottom(), rect.width(), 1, theme.colours.line)
        if same_row and index.column() == 0:
            painter.fillRect(0, rect.top(), ROW_BAR, rect.height(), theme.colours.ink)
        if same_row and here.column() == index.column() and self._grid.hasFocus():
            painter.setPen(QPen(theme.colours.focus, 2))
            painter.drawRoundedRect(rect.adjusted(1, 1, -1, -2), 3, 3)
        painter.restore()

    def _ground(
        self, theme: Theme, option: QStyleOptionViewItem, index: Index, same_row: bool
    ) -> QColor:
        state: QStyle.StateFlag = option.state
        model = index.model()
        if same_row or state & QStyle.StateFlag.State_Selected:
            return theme.colours.select
        if state & QStyle.StateFlag.State_MouseOver:
            return theme.colours.hover
        locked = bool(getattr(model, "locked", False))
        head = getattr(model, "is_head", None)
        if locked or (head is not None and head(index)):
            return theme.colours.sunken
        return theme.colours.surface

    def _paint_content(self, painter: QPainter, theme: Theme, rect: QRect, index: Index) -> None:
        row, column = index.data(ROW), index.data(COLUMN)
        if row is None or not isinstance(column, Column):
            return
        kept = index.data(KEPT)
        inside = rect.adjusted(PAD, 0, -PAD, 0)
        drawn = column.paint(row) if column.paint and kept is None else None
        if drawn is not None:
            drawn(painter, inside, theme)
            return
        sizes = theme.sizes
        font = theme.font(sizes.body, DEMI if column.strong(row) else 400, column.slanted(row))
        colour = getattr(theme.colours, column.tone(row))
        if kept is not None:
            top = inside.center().y() - TABLE_MARK / 2
            paint_mark(painter, QPointF(inside.left(), top), Mark.NEEDS_YOU, theme, TABLE_MARK)
            inside = inside.adjusted(TABLE_MARK + 4, 0, 0, 0)
            colour = theme.colours.attn_text
        painter.setFont(font)
        painter.setPen(colour)
        text = QFontMetrics(font).elidedText(
            str(index.data(DISPLAY)), Qt.TextElideMode.ElideRight, inside.width()
        )
        across = Qt.AlignmentFlag.AlignRight if column.right else Qt.AlignmentFlag.AlignLeft
        painter.drawText(inside, int(across | Qt.AlignmentFlag.AlignVCenter), text)

    # Editing

    def createEditor(self, parent: QWidget, _option: QStyleOptionViewItem, index: Index) -> QWidget:
        """A line of text, or words to pick from."""
        column, row = index.data(COLUMN), index.data(ROW)
        said = f"{column.title}"
        choices = column.choices(row) if column.choices else ()
        if choices:
            box = QComboBox(parent)
            box.addItems(list(choices))
            box.setAccessibleName(said)
            box.activated.connect(lambda _place: self._commit(box))
            return box
        line = QLineEdit(parent)
        line.setAccessibleName(said)
        line.setFont(index.data(FONT) or line.font())
        line.setAlignment(
            Qt.AlignmentFlag.AlignRight if column.right else Qt.AlignmentFlag.AlignLeft
        )
        typing = getattr(self._grid, "typing", None)
        if typing is not None:
            line.textEdited.connect(lambda text: typing.emit(row, column.key, text))
        return line

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """Begin with what stands there. A row that changes meanwhile (the figures that follow from
        what is being typed) leaves typed text alone."""
        text = str(index.data(EDIT))
        if isinstance(editor, QComboBox):
            # -1 where nothing was picked yet: leaving the cell then picks nothing either.
            editor.setCurrentIndex(editor.findText(str(index.data(DISPLAY))))
        elif isinstance(editor, QLineEdit) and not editor.isModified():
            editor.setText(text)
            editor.setProperty(BEGAN, text)
            editor.selectAll()

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: Index) -> None:
        """Hand on what was typed or picked."""
        if isinstance(editor, QComboBox):
            if editor.currentIndex() >= 0:
                model.setData(index, editor.currentText(), EDIT)
        elif isinstance(editor, QLineEdit):
            take = getattr(model, "take_typed", None)
            if take is not None and editor.isModified() and editor.text() != editor.property(BEGAN):
                take(index, editor.text())
            elif take is None:
                model.setData(index, editor.text(), EDIT)

    def updateEditorGeometry(
        self, editor: QWidget, option: QStyleOptionViewItem, _index: Index
    ) -> None:
        """As large as the cell, and never too low to read."""
        rect: QRect = option.rect
        high = max(rect.height(), editor.sizeHint().height() if self._height > 32 else 24)  # noqa: PLR2004
        editor.setGeometry(
            rect.left(), rect.center().y() - high // 2 + 1, max(rect.width(), 72), high
        )

    def _commit(self, editor: QWidget) -> None:
        self.commitData.emit(editor)
        self.closeEditor.emit(editor, self.EndEditHint.NoHint)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Enter takes the text and goes to the next row; Esc leaves it as it was."""
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
            and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
            and isinstance(watched, QLineEdit)
        ):
            self._commit(watched)
            below = getattr(self._grid, "next_row", None)
            if below is not None and not event.modifiers():
                below()
            return True
        return super().eventFilter(watched, event)
