"""A button with its words and, quietly after them, the key that does the same."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QPushButton, QSizePolicy, QWidget

from estimator.desktop.drawing.words import CENTRE, draw_words, fitted, words_width
from estimator.desktop.theme import Theme, current_theme

_PAD = 16
_SPACE = 8


class CommandButton(QPushButton):
    """`primary` is the page's main action, one to a page; `tool` is the lower kind for tool rows.

    The hint only shows a key; whoever owns the action binds it. Clicks come from QPushButton.
    """

    def __init__(
        self,
        text: str,
        key_hint: str = "",
        primary: bool = False,
        tool: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(text, parent)
        self._hint, self._primary, self._tool = key_hint, primary, tool
        self._shows_hint = True
        self._reason = ""
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.setAutoDefault(False)
        self._tell()

    def setText(self, text: str) -> None:
        """Other words on the button."""
        super().setText(text)
        self._tell()
        self.updateGeometry()

    def set_key_hint(self, hint: str) -> None:
        """Another key after the words."""
        self._hint = hint
        self._tell()
        self.updateGeometry()
        self.update()

    @property
    def has_room_for_hint(self) -> bool:
        """Whether words and key both have room."""
        return self.sizeHint().width() - 2 * _PAD <= self.width() - 2 * min(_PAD, 8)

    def show_hint(self, shown: bool) -> None:
        """Show the key, or say it to screen readers alone: buttons in a row show it all or none."""
        if shown != self._shows_hint:
            self._shows_hint = shown
            self.update()

    def set_primary(self, primary: bool) -> None:
        """Draw it as what is chosen, or as one of the others."""
        if primary != self._primary:
            self._primary = primary
            self.update()

    def set_available(self, reason_not: str = "") -> None:
        """Enable the button, or disable it and say why in its tooltip and description."""
        self._reason = reason_not
        self.setEnabled(not reason_not)
        self._tell()

    def sizeHint(self) -> QSize:
        """Words, key and room around them."""
        theme = current_theme()
        words = words_width(self.text(), theme.font(theme.sizes.body, 600))
        hint = _SPACE + self._hint_width(theme) if self._hint else 0
        sizes = theme.sizes
        return QSize(words + hint + 2 * _PAD, sizes.tool_control if self._tool else sizes.control)

    def minimumSizeHint(self) -> QSize:
        """A few letters and an ellipsis; the key goes first."""
        return QSize(64, self.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Words that are cut now go to the tooltip."""
        self._tell()
        super().resizeEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the ground for the state, then words and key; the focus ring lies around it."""
        theme = current_theme()
        ground, rim, ink, quiet = self._shades(theme)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(rim, 1))
        painter.setBrush(ground)
        box = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        painter.drawRoundedRect(box, theme.sizes.control_radius, theme.sizes.control_radius)
        font = theme.font(theme.sizes.body, 600 if self.isEnabled() else 400)
        room = self.width() - 2 * min(_PAD, 8)
        hint = _SPACE + self._hint_width(theme) if self._hint else 0
        words = words_width(self.text(), font)
        if words + hint > room or not self._shows_hint:
            hint = 0
        shown = min(words, room)
        left = (self.width() - shown - hint) / 2
        draw_words(painter, QRectF(left, 0, shown, self.height()), self.text(), font, ink, CENTRE)
        if hint:
            place = QRectF(left + shown + _SPACE, 0, hint - _SPACE, self.height())
            draw_words(painter, place, self._hint, theme.font(theme.sizes.note), quiet)

    def _shades(self, theme: Theme) -> tuple[QColor, QColor, QColor, QColor]:
        """Ground, edge, words and key in the button's present state."""
        colours = theme.colours
        if not self.isEnabled():
            return colours.surface, colours.line2, colours.ink3, colours.ink3
        over = self.underMouse()
        if self._primary:
            ground = colours.ink
            if self.isDown():
                ground = colours.ink3
            elif over:
                ground = colours.ink2
            # On the lighter grounds only the full colour of the words keeps its contrast.
            quiet = colours.onink2 if ground is colours.ink else colours.onink
            return ground, ground, colours.onink, quiet
        if self.isDown() or self.isChecked():
            return colours.select, colours.control, colours.ink, colours.ink2
        if over:
            return colours.hover, colours.ink, colours.ink, colours.ink3
        return colours.surface, colours.control, colours.ink, colours.ink3

    def _hint_width(self, theme: Theme) -> int:
        return words_width(self._hint, theme.font(theme.sizes.note))

    def _tell(self) -> None:
        name = self.text().replace("&", "")
        self.setAccessibleName(f"{name}, {self._hint}" if self._hint else name)
        self.setAccessibleDescription(self._reason)
        theme = current_theme()
        room = self.width() - 2 * min(_PAD, 8)
        cut = fitted(self.text(), theme.font(theme.sizes.body, 600), room) != self.text()
        self.setToolTip(self._reason or (self.text() if cut else ""))
