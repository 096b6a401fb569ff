"""The contingency drawn down: one bar, agreed, priced, exposed, left; and what has no price yet."""

from __future__ import annotations

from dataclasses import dataclass, replace

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy

from estimator.desktop.drawing.patterns import paint_exposed, paint_spare
from estimator.desktop.drawing.pixels import edge, fill, horizontal, vertical
from estimator.desktop.drawing.words import CENTRE, LEFT, draw_words, words_width
from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.variations import words
from estimator.desktop.theme import Theme
from estimator.desktop.widgets.painted import PaintedWidget
from estimator.desktop.widgets.plain_tip import plain_tip
from estimator.services.show_drawn_down import DrawnDown, RangePiece

ABOVE, BAR, BELOW = 20, 28, 26
GAP, LEAST = 2, 3
APART = 10  # px between words under brackets
CUSTOMER = "customer"


@dataclass(frozen=True)
class _Block:
    """One block of the bar: its kind, how long, what it says inside and above."""

    kind: str
    minor: int
    name: str = ""
    above: str = ""


@dataclass(frozen=True)
class _Bracket:
    """A bracket below some of the blocks, with its words."""

    first: float
    last: float
    text: str
    short: str  # where there is no room for all texts
    exposed: bool = False


class DrawnBar(PaintedWidget):
    """Shows a DrawnDown; what it shows is told in words to those who cannot see."""

    def __init__(self, say: Formats) -> None:
        super().__init__()
        self._say = say
        self._drawn: DrawnDown | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.say(_("Contingency, drawn down"))

    def set_drawn(self, drawn: DrawnDown) -> None:
        """Show another state of it."""
        self._drawn = drawn
        self.say(_("Contingency, drawn down"), self._told(drawn))
        self.setToolTip(plain_tip(self.accessibleDescription()))
        self.update()

    def sizeHint(self) -> QSize:
        """Words, bar, words."""
        return QSize(420, ABOVE + BAR + BELOW)

    def minimumSizeHint(self) -> QSize:
        """Any width will do."""
        return QSize(120, ABOVE + BAR + BELOW)

    def _told(self, drawn: DrawnDown) -> str:
        say = self._say
        parts = [_("held {sum}").format(sum=say.money(drawn.held))]
        for one in (*drawn.agreed, *drawn.pending):
            parts.append(f"{one.number} {say.sum(one.amount)}")
        parts.append(
            _("still exposed at {share}: {sum}").format(
                share=say.percent(drawn.confidence), sum=say.money(drawn.exposed)
            )
        )
        parts += [self._range_words(one) for one in drawn.unpriced]
        parts.append(_("left {sum}").format(sum=say.money(drawn.left)))
        return "; ".join(parts)

    def _range_words(self, piece: RangePiece) -> str:
        return f"{piece.number}: {words.range_words(piece.low, piece.high, self._say)}"

    def _blocks(self, drawn: DrawnDown) -> list[_Block]:
        say = self._say
        blocks = [
            _Block("agreed", p.amount.minor, p.number, say.sum(p.amount)) for p in drawn.agreed
        ]
        if drawn.measured.minor > 0:
            blocks.append(
                _Block("agreed", drawn.measured.minor, _("measured"), say.sum(drawn.measured))
            )
        if drawn.returned.minor:
            blocks.append(
                _Block("returned", drawn.returned.minor, _("given back"), say.sum(drawn.returned))
            )
        for piece in drawn.pending:
            kind = "customer" if piece.waits_on == CUSTOMER else "pending"
            blocks.append(_Block(kind, piece.amount.minor, piece.number, say.sum(piece.amount)))
        if drawn.exposed.minor:
            blocks.append(_Block("exposed", drawn.exposed.minor, "", say.sum(drawn.exposed)))
        if drawn.spare.minor:
            blocks.append(_Block("spare", drawn.spare.minor))
        return [one for one in blocks if one.minor > 0]

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Blocks, brackets, ranges, and where what is held ends."""
        drawn = self._drawn
        if drawn is None or not self.width():
            return
        painter, theme = QPainter(self), self.theme
        blocks = self._blocks(drawn)
        used = sum(one.minor for one in blocks)
        spoken_for = used - drawn.spare.minor
        highest = max((one.high.minor for one in drawn.unpriced), default=0)
        full = max(used, drawn.held.minor, spoken_for + highest, 1)
        per_unit = (self.width() - 1) / full
        ends = self._paint_blocks(painter, blocks, per_unit, theme)
        start = next((left for block, left, _r in ends if block.kind == "spare"), None)
        if start is None:
            start = ends[-1][2] if ends else 0.0
        self._paint_ranges(painter, drawn, start, per_unit, theme)
        held_at = drawn.held.minor * per_unit
        if used > drawn.held.minor:
            self._paint_edge(painter, held_at, theme)
        self._paint_brackets(painter, drawn, ends, held_at, theme)

    def _paint_blocks(
        self, painter: QPainter, blocks: list[_Block], per_unit: float, theme: Theme
    ) -> list[tuple[_Block, float, float]]:
        """The blocks from the left; each with where it begins and ends."""
        left, placed = 0.0, []
        for block in blocks:
            wide = max(block.minor * per_unit, LEAST)
            box = QRectF(left, ABOVE, wide - GAP, BAR)
            self._paint_block(painter, box, block, theme)
            placed.append((block, left, left + wide - GAP))
            left += wide
        return placed

    def _paint_block(self, painter: QPainter, box: QRectF, block: _Block, theme: Theme) -> None:
        colours = theme.colours
        ink = colours.ink
        if block.kind == "agreed":
            fill(painter, box, colours.ink2)
            ink = colours.surface
        elif block.kind == "exposed":
            paint_exposed(painter, box, theme)
        elif block.kind in ("spare", "returned"):
            paint_spare(painter, box, theme)
        else:
            edge(painter, box, 2, colours.wait if block.kind == "customer" else colours.attn)
        name = theme.font(theme.sizes.note, 600)
        if block.name and words_width(block.name, name) <= box.width() - 4:
            draw_words(painter, box, block.name, name, ink, CENTRE)
        note = theme.font(theme.sizes.note)
        if block.above and words_width(block.above, note) <= box.width():
            above = QRectF(box.left(), 0, box.width(), ABOVE - 2)
            draw_words(painter, above, block.above, note, colours.ink2, CENTRE)

    def _paint_ranges(
        self, painter: QPainter, drawn: DrawnDown, start: float, per_unit: float, theme: Theme
    ) -> None:
        """Findings without a price, each a dotted bar from low to high with its likely tick."""
        pieces = drawn.unpriced
        if not pieces:
            return
        high = min(12.0, (BAR - 4) / len(pieces))
        top = ABOVE + (BAR - high * len(pieces)) / 2
        for place, piece in enumerate(pieces):
            left, right = start + piece.low.minor * per_unit, start + piece.high.minor * per_unit
            box = QRectF(left, top + place * high, max(right - left, 4), high - 2)
            fill(painter, box, theme.colours.surface)
            paint_exposed(painter, box, theme)
            likely = start + piece.likely.minor * per_unit
            vertical(painter, likely, box.top() - 1, box.bottom() + 1, 2, theme.colours.exp_line)
        said = ", ".join(self._range_words(one) for one in pieces)
        font = theme.font(theme.sizes.note, 600)
        wide = words_width(said, font)
        left = min(max(start, 0.0), max(self.width() - wide - 1, 0))
        place_ = QRectF(left, 0, self.width() - left, ABOVE - 2)
        draw_words(painter, place_, said, font, theme.colours.exp_text, LEFT)

    def _paint_edge(self, painter: QPainter, held_at: float, theme: Theme) -> None:
        """Where what is held ends, and what comes to more goes on."""
        vertical(painter, held_at, ABOVE - 4, ABOVE + BAR + 4, 2, theme.colours.ink)

    def _paint_brackets(
        self,
        painter: QPainter,
        drawn: DrawnDown,
        ends: list[tuple[_Block, float, float]],
        held_at: float,
        theme: Theme,
    ) -> None:
        brackets = self._bracketed(drawn, ends)
        last = ends[-1][2] if ends else 0.0
        if last > held_at + LEAST:
            # What lies past what is held is said there, in the place of the exposed.
            said = _("past the {sum} held").format(sum=self._say.sum(drawn.held))
            if drawn.short_by.minor:
                said = _("short by {sum}").format(sum=self._say.sum(drawn.short_by))
            brackets = [
                replace(one, last=min(one.last, held_at)) for one in brackets if one.first < held_at
            ] + [_Bracket(held_at + 2, last, said, said)]
        font = theme.font(theme.sizes.note)
        short = sum(words_width(b.text, font) + APART for b in brackets) > self.width()
        texts = [one.short if short else one.text for one in brackets]
        widths = [words_width(text, font) for text in texts]
        middles = [(one.first + one.last) / 2 for one in brackets]
        lefts = side_by_side(middles, widths, self.width())
        for bracket, text, left, wide in zip(brackets, texts, lefts, widths, strict=True):
            self._paint_bracket(painter, bracket, theme)
            place = QRectF(left, ABOVE + BAR + 8, wide + 1, BELOW - 8)
            colour = theme.colours.exp_text if bracket.exposed else theme.colours.ink2
            draw_words(painter, place, text, font, colour, LEFT)

    def _bracketed(
        self, drawn: DrawnDown, ends: list[tuple[_Block, float, float]]
    ) -> list[_Bracket]:
        """Brackets in the bar's order, each with its words, whole and short."""
        say = self._say
        agreed, waits, spare = (
            say.sum(one) for one in (drawn.agreed_sum, drawn.pending_sum, drawn.spare)
        )
        share = say.percent(drawn.confidence)
        texts = (
            (("agreed",), _("agreed {sum}").format(sum=agreed), agreed, False),
            (("customer", "pending"), _("priced, not agreed {sum}").format(sum=waits),
             _("waits {sum}").format(sum=waits), False),
            (("exposed",), _("still exposed at {share}").format(share=share), _("exposed"), True),
            (("spare",), _("{sum} left").format(sum=spare),
             _("{sum} left").format(sum=spare), False),
        )  # fmt: skip
        found = []
        for kinds, text, short, exposed in texts:
            inside = [(left, right) for block, left, right in ends if block.kind in kinds]
            if inside:
                found.append(_Bracket(inside[0][0], inside[-1][1], text, short, exposed))
        return found

    def _paint_bracket(self, painter: QPainter, bracket: _Bracket, theme: Theme) -> None:
        top, line = ABOVE + BAR + 3.0, theme.colours.control
        horizontal(painter, top + 3, bracket.first, bracket.last, 1, line)
        for x in (bracket.first + 0.5, bracket.last - 0.5):
            vertical(painter, x, top, top + 4, 1, line)


def side_by_side(middles: list[float], widths: list[int], room: float) -> list[float]:
    """Where words under brackets begin: centred where they can be, never over one another."""
    lefts = [max(middle - wide / 2, 0.0) for middle, wide in zip(middles, widths, strict=True)]
    for place in range(1, len(lefts)):
        lefts[place] = max(lefts[place], lefts[place - 1] + widths[place - 1] + APART)
    end = room
    for place in reversed(range(len(lefts))):
        lefts[place] = max(min(lefts[place], end - widths[place]), 0.0)
        end = lefts[place] - APART
    return lefts
