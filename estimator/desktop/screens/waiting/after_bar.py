"""The contingency after what is looked at: agreed, this, what waits, may still be found, left."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy

from estimator.desktop.drawing.patterns import paint_exposed, paint_spare
from estimator.desktop.drawing.pixels import PixelGrid, edge, fill
from estimator.desktop.drawing.words import CENTRE, draw_words, words_width
from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.theme import Theme
from estimator.desktop.widgets.painted import PaintedWidget
from estimator.domain.money import Money
from estimator.services.show_approval import After

BAR, BELOW, GAP, LEAST = 16, 18, 2, 3
AGREED, THIS, PENDING, EXPOSED, SPARE = range(5)
SPOKEN = (THIS, EXPOSED, SPARE, PENDING, AGREED)  # whose word goes first where room is short


@dataclass(frozen=True)
class _Block:
    kind: int
    amount: Money
    words: str

    @property
    def minor(self) -> int:
        return self.amount.minor


class AfterBar(PaintedWidget):
    """Shows an After; what it shows is told in words as well."""

    def __init__(self, say: Formats) -> None:
        super().__init__()
        self._say = say
        self._after: After | None = None
        self._blocks: tuple[_Block, ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.say(_("Contingency after it"))

    def set_after(self, after: After | None) -> None:
        """Show another state."""
        self._after = after
        self._blocks = _blocks(after) if after is not None else ()
        said = "; ".join(f"{one.words} {self._say.sum(one.amount)}" for one in self._blocks)
        self.say(_("Contingency after it"), said)
        self.setToolTip(said)
        self.update()

    def sizeHint(self) -> QSize:
        """The bar and a line of words."""
        return QSize(240, BAR + BELOW)

    def minimumSizeHint(self) -> QSize:
        """Any width will do."""
        return QSize(80, BAR + BELOW)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Blocks side by side, each with its word where there is room."""
        total = sum(one.minor for one in self._blocks)
        if not total:
            return
        painter, theme = QPainter(self), self.theme
        room = self.width() - GAP * (len(self._blocks) - 1) - LEAST * len(self._blocks)
        left, boxes = 0.0, {}
        for one in self._blocks:
            wide = LEAST + room * one.minor / total
            box = PixelGrid(painter).rect(QRectF(left, 0, wide, BAR))
            _paint_block(painter, box, one.kind, theme)
            boxes[one.kind] = (one, box)
            left += wide + GAP
        taken: list[QRectF] = []
        for kind in SPOKEN:
            if kind in boxes:
                self._paint_words(painter, *boxes[kind], taken, theme)

    def _paint_words(
        self, painter: QPainter, one: _Block, box: QRectF, taken: list[QRectF], theme: Theme
    ) -> None:
        """Words centred below a block, if they meet no other's."""
        font = theme.font(theme.sizes.note)
        wide = words_width(one.words, font)
        left = min(max(box.center().x() - wide / 2, 0.0), self.width() - wide)
        place = QRectF(left, BAR + 1, wide + 1, BELOW - 1)
        if any(place.intersects(other.adjusted(-6, 0, 6, 0)) for other in taken):
            return
        draw_words(painter, place, one.words, font, _colour(one.kind, theme), CENTRE)
        taken.append(place)


def _blocks(after: After) -> tuple[_Block, ...]:
    found = [
        _Block(AGREED, after.drawn, _("agreed")),
        _Block(THIS, after.this, _("this")),
        _Block(PENDING, after.pending, _("waits")),
        _Block(SPARE, after.spare, _("left")),
    ]
    if after.exposed is not None:
        found.insert(EXPOSED, _Block(EXPOSED, after.exposed, _("exposed")))
    return tuple(one for one in found if one.minor > 0)


def _paint_block(painter: QPainter, box: QRectF, kind: int, theme: Theme) -> None:
    colours = theme.colours
    if kind == AGREED:
        fill(painter, box, colours.ink2)
    elif kind in (THIS, PENDING):
        fill(painter, box, colours.surface)
        edge(painter, box, 2, colours.attn if kind == THIS else colours.wait)
    elif kind == EXPOSED:
        paint_exposed(painter, box, theme)
    else:
        paint_spare(painter, box, theme)


def _colour(kind: int, theme: Theme) -> QColor:
    colours = theme.colours
    return {THIS: colours.attn_text, PENDING: colours.wait_text, EXPOSED: colours.exp_text}.get(
        kind, colours.ink2
    )
