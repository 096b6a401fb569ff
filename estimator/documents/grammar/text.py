"""Paragraphs, with a short way for text that fits on one line: most cells and labels do."""

from __future__ import annotations

from functools import cache
from typing import Any

from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, Paragraph, Table

from estimator.documents.grammar.fonts import clean, marked, runs, width, written_by
from estimator.documents.grammar.hyphens import divided
from estimator.documents.grammar.links import holds_link


class Text(Paragraph):  # type: ignore[misc]
    """A paragraph that is broken into lines once for each width, not at each asking."""

    _laid_out: tuple[float, tuple[float, float]] | None = None

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Width and height taken."""
        known = self._laid_out
        if known is not None and known[0] == available_width and hasattr(self, "blPara"):
            return known[1]
        size = super().wrap(available_width, available_height)
        self._laid_out = (available_width, size)
        return (float(size[0]), float(size[1]))


class Line(Flowable):  # type: ignore[misc]
    """Plain text of one look: a single line drawn straight where it fits, else a paragraph.

    `mark` is set before it, in the bullet face of the look.
    """

    def __init__(self, text: str, look: ParagraphStyle, mark: str = "") -> None:
        super().__init__()
        self.style, self.mark = look, mark
        self.plain = clean(text)
        self._words = text if holds_link(text) else self.plain
        self._wide: float | None = None
        self._text: Text | None = None
        self._as_text = False
        self._room = 0.0
        if self._words is self.plain and written_by(look.fontName).issuperset(self.plain):
            self._wide = width(self.plain, look.fontName, look.fontSize)

    @property
    def longest_word(self) -> float:
        """Width of its longest word: a column as wide as that breaks none."""
        return _longest_word(self.plain, self.style.fontName, self.style.fontSize)

    def _paragraph(self, room: float) -> Text:
        if self._text is None:
            words, look = marked(self._words, self.style.fontName), self.style
            if self.longest_word > room:
                words = divided(words)
                look = look.clone(look.name, embeddedHyphenation=1)
            self._text = Text(words, look, bulletText=self.mark or None)
        return self._text

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Width and height taken."""
        self.width = available_width
        self._room = available_width - self.style.leftIndent
        self._as_text = self._wide is None or self._wide > self._room
        if self._as_text:
            self.height = self._paragraph(self._room).wrap(available_width, available_height)[1]
        else:
            self.height = self.style.leading
        return available_width, self.height

    def split(self, available_width: float, available_height: float) -> list[Any]:
        """Parts of the paragraph; a single line has none."""
        if not self._as_text:
            return []
        parts: list[Any] = self._paragraph(self._room).split(available_width, available_height)
        return parts

    def drawOn(self, canvas: Any, x: float, y: float, _sW: float = 0) -> None:  # noqa: N802, N803
        """Draw at a place. A line is written straight there, which most of a page consists of;
        the engine's own way saves and restores the whole state of the page for each."""
        if self._as_text:
            self._paragraph(self._room).drawOn(canvas, x, y, _sW)
            return
        look = self.style
        if self.mark:
            canvas.setFont(look.bulletFontName, look.bulletFontSize)
            canvas.setFillColor(look.bulletColor)
            canvas.drawString(x, y + self.height - look.fontSize + look.bulletOffsetY, self.mark)
        right = look.alignment == TA_RIGHT
        x += self.width - (self._wide or 0.0) if right else look.leftIndent
        canvas.setFont(look.fontName, look.fontSize)
        canvas.setFillColor(look.textColor)
        canvas.drawString(x, y + self.height - look.fontSize, self.plain)


@cache
def _longest_word(text: str, face: str, size: float) -> float:
    return max((width(word, face, size) for word in text.split(" ")), default=0.0)


class Unbroken(Flowable):  # type: ignore[misc]
    """A figure on one line, whatever its length: it is set smaller where it needs more room.

    One that `spans` several columns of a table asks for no room in its own.
    """

    def __init__(self, text: str, look: ParagraphStyle, *, spans: bool = False) -> None:
        super().__init__()
        self.style, self.spans = look, spans
        self.plain = clean(text)
        self.wide = width(self.plain, look.fontName, look.fontSize)

    def wrap(self, available_width: float, _available_height: float) -> tuple[float, float]:
        """As wide as what is available; the height does not change with the size."""
        self.width, self.height = available_width, float(self.style.leading)
        return self.width, self.height

    def draw(self) -> None:
        """Draw the figure, at the right end where the look asks for that."""
        shrunk = min(1.0, self.width / self.wide) if self.wide else 1.0
        size = self.style.fontSize * shrunk
        right = self.style.alignment == TA_RIGHT
        x = self.width - self.wide * shrunk if right else 0.0
        self.canv.setFillColor(self.style.textColor)
        for face, part in runs(self.plain, self.style.fontName):
            self.canv.setFont(face, size)
            self.canv.drawString(x, self.height - self.style.fontSize, part)
            x += width(part, face, size)


class Heading(Flowable):  # type: ignore[misc]
    """A heading that stays with what follows and stands in the bookmarks."""

    def __init__(self, text: str, look: ParagraphStyle, key: str) -> None:
        super().__init__()
        self.style, self.key = look, key
        self.plain = clean(text)
        self.body: Any = Line(text, look)

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Width and height taken."""
        self.width, self.height = self.body.wrap(available_width, available_height)
        return self.width, self.height

    def split(self, available_width: float, available_height: float) -> list[Any]:
        """A heading longer than what is left of a page goes on as plain text."""
        parts = self.body.split(available_width, available_height)
        if len(parts) < 2:  # noqa: PLR2004 - nothing was split off
            return []
        first = Heading(self.plain, self.style, self.key)
        first.body = parts[0]
        return [first, *parts[1:]]

    def draw(self) -> None:
        """Draw the heading, its bookmark and its entry in the outline."""
        self.canv.bookmarkHorizontal(self.key, 0, self.height + 8)
        self.canv.addOutlineEntry(self.plain[:120], self.key, level=0)
        self.canv.section_pages.setdefault(self.key, self.canv.getPageNumber())
        self.body.drawOn(self.canv, 0, 0)


class Grid(Table):  # type: ignore[misc]
    """A table that breaks between rows, and inside one only if that row alone fills a page."""

    _PAGEFUL = 500.0

    def split(self, available_width: float, available_height: float) -> list[Any]:
        """Parts of the table; none if it should rather start on the next page."""
        self.splitInRow = 0
        parts: list[Any] = super().split(available_width, available_height)
        if parts or available_height < self._PAGEFUL:
            return parts
        self.splitInRow = 1
        return list(super().split(available_width, available_height))
