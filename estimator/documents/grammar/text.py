"""Paragraphs, with a short way for plain text: most cells, labels and sentences are.

What of plain text fits on one line is drawn straight, what does not is broken into lines here; only
text in several faces, with references, or with words wider than their line goes to the paragraph
engine.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any
from xml.sax.saxutils import escape, unescape

from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, Paragraph

from estimator.documents.grammar import ink
from estimator.documents.grammar.breaking import Broken, broken, cut, holds_long_word, word_width
from estimator.documents.grammar.fonts import as_laid_out, clean, marked, runs, width, written_by
from estimator.documents.grammar.grid import Grid
from estimator.documents.grammar.hyphens import divided
from estimator.documents.grammar.links import holds_link

__all__ = ["Blank", "Grid", "Heading", "Line", "Text", "Unbroken", "Whole"]

_KEPT = 400  # letters of a text whose width is remembered
_WITH_COMPANY = 3  # the most lines of which one is not left alone on a page
_MOST_TOGETHER = 20  # lines of a text that is not parted


def _leaves_one(count: int, fit: int) -> bool:
    """Whether so many lines, of which some fit on a page, would leave one alone here or there."""
    return fit <= 1 or (count == fit + 1 and count <= _WITH_COMPANY)


class Text(Paragraph):  # type: ignore[misc]
    """A paragraph that is broken into lines once for each width, not at each asking."""

    _laid_out: tuple[float, tuple[float, float]] | None = None

    def __init__(
        self, text: str | None, style: ParagraphStyle, bulletText: str | None = None,  # noqa: N803
        frags: Any = None, **others: Any,
    ) -> None:  # fmt: skip
        self._markup, self._mark = "", bulletText
        if text and holds_long_word(text):
            self._markup, text = text, ""
        super().__init__(text, style, bulletText, frags, **others)

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Width and height taken."""
        known = self._laid_out
        if known is not None and known[0] == available_width and hasattr(self, "blPara"):
            return known[1]
        if self._markup:
            look = self.style
            text = cut(self._markup, look.fontName, look.fontSize,
                       available_width - look.leftIndent)  # fmt: skip
            super().__init__(text, look, self._mark)
        size = super().wrap(available_width, available_height)
        self._laid_out = (available_width, (float(size[0]), float(size[1])))
        return self._laid_out[1]

    def split(self, available_width: float, available_height: float) -> list[Any]:
        """Parts of the paragraph, the same for all heights that as many lines fit in; none where it
        should rather start on the next page."""
        self.wrap(available_width, available_height)
        fit = int(available_height / self.style.leading)
        if _leaves_one(len(self.blPara.lines), fit):
            return []
        known = self.__dict__.setdefault("_split_at", {})
        if (available_width, fit) not in known:
            known[available_width, fit] = super().split(available_width, available_height)
        return list(known[available_width, fit])


class Whole(Text):
    """A paragraph that stays together over columns and pages, as a caution should, unless it is
    longer than anybody reads at a glance."""

    def split(self, available_width: float, available_height: float) -> list[Any]:
        """None of it: it begins where there is room for all."""
        self.wrap(available_width, available_height)
        if len(self.blPara.lines) <= _MOST_TOGETHER:
            return []
        return super().split(available_width, available_height)


class Line(Flowable):  # type: ignore[misc]
    """Plain text of one look. `mark` is set before it, in the bullet face of the look."""

    without_canvas = True  # its size can be asked for without a page

    def __init__(self, text: str, look: ParagraphStyle, mark: str = "") -> None:
        super().__init__()
        self.style, self.mark = look, mark
        self.plain, self._wide = _measured(text, look.fontName, look.fontSize)
        self._words = text if holds_link(text) else self.plain
        if self._words is not self.plain:
            self._wide = None
        self._lines: list[Broken] | None = []  # none of them: a single line; None: a paragraph
        self._text: Text | None = None
        self._room = 0.0
        self.width = -1.0

    @property
    def longest_word(self) -> float:
        """Width of its longest word: a column as wide as that breaks none."""
        return _longest_word(self.plain, self.style.fontName, self.style.fontSize)

    def _paragraph(self) -> Text:
        if self._text is None:
            words, look = marked(self._words, self.style.fontName), self.style
            if self.longest_word > self._room:
                words = words if holds_long_word(words) else divided(words)
                look = look.clone(look.name, embeddedHyphenation=1)
            self._text = Text(words, look, bulletText=self.mark or None)
        return self._text

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Width and height taken."""
        if available_width != self.width or self._lines is None:
            self._lay_out(available_width, available_height)
        return self.width, self.height

    def _lay_out(self, available_width: float, available_height: float) -> None:
        self.width = available_width
        self._room = available_width - self.style.leftIndent
        self.height = self.style.leading
        if self._wide is not None and self._wide <= self._room:
            self._lines = []
            return
        self._lines = None
        if self._wide is not None and self._room > 0:
            plain, look = as_laid_out(self.plain), self.style
            if holds_long_word(plain):
                plain = unescape(cut(escape(plain), look.fontName, look.fontSize, self._room))
            self._lines = broken(plain, look, self._room)
        if self._lines is None:
            self.height = self._paragraph().wrap(available_width, available_height)[1]
        else:
            self.height = self.style.leading * len(self._lines)

    def split(self, available_width: float, available_height: float) -> list[Any]:
        """Parts of the paragraph; a single line has none."""
        self.wrap(available_width, available_height)
        if self._lines is None:
            return self._paragraph().split(available_width, available_height)
        count, fit = len(self._lines), int(available_height / self.style.leading)
        if not count or _leaves_one(count, fit):
            return []
        if count <= fit:
            return [self]
        fit -= count == fit + 1  # the last line is given company
        first, rest = (" ".join(one.text for one in part)
                       for part in (self._lines[:fit], self._lines[fit:]))  # fmt: skip
        return [Line(first, self.style, self.mark), Line(rest, self.style)]

    def drawOn(self, canvas: Any, x: float, y: float, _sW: float = 0) -> None:  # noqa: N802, N803
        """Draw at a place. Lines are written straight there; the engine's own way saves and
        restores the whole state of the page for each."""
        look = self.style
        if self._lines is None:
            self._paragraph().drawOn(canvas, x, y, _sW)
            return
        if self.mark:
            ink.fill(canvas, look.bulletColor)
            foot = y + self.height - look.fontSize + look.bulletOffsetY
            ink.string(canvas, x, foot, self.mark, look.bulletFontName, look.bulletFontSize)
        if not self.plain:
            return
        ink.fill(canvas, look.textColor)
        first = y + self.height - look.fontSize
        if self._lines:
            at = [(x + self._from_left(one.left), first - look.leading * number)
                  for number, one in enumerate(self._lines)]  # fmt: skip
            shown = [(one.text, one.between) for one in self._lines]
            ink.lines(canvas, at, shown, look.fontName, look.fontSize, look.leading)
        else:
            left = self._from_left(self._room - (self._wide or 0.0))
            ink.string(canvas, x + left, first, self.plain, look.fontName, look.fontSize)

    def _from_left(self, over: float) -> float:
        """Where a line begins that leaves so much of its width."""
        right = self.style.alignment == TA_RIGHT
        return float(self.style.leftIndent + (max(over, 0.0) if right else 0.0))


def _measured(text: str, face: str, size: float) -> tuple[str, float | None]:
    """A text, cleaned, and its width where the face has all its letters."""
    return (_measured_once if len(text) < _KEPT else _measured_once.__wrapped__)(text, face, size)


@lru_cache(maxsize=1 << 13)
def _measured_once(text: str, face: str, size: float) -> tuple[str, float | None]:
    plain = clean(text)
    known = written_by(face).issuperset(plain)
    return plain, width(plain, face, size) if known else None


def _longest_word(text: str, face: str, size: float) -> float:
    words = text.split(" ")
    if written_by(face).issuperset(text):
        return max(word_width(word, face, size) for word in words)
    return max(width(word, face, size) for word in words)


class Blank(Flowable):  # type: ignore[misc]
    """A cell with nothing in it, as high as a line of its look. It may stand in many places."""

    without_canvas = True  # its size can be asked for without a page

    def __init__(self, high: float) -> None:
        super().__init__()
        self.height = high

    def wrap(self, available_width: float, _available_height: float) -> tuple[float, float]:
        """As wide as what is available."""
        return available_width, self.height

    def drawOn(self, *_place: Any) -> None:  # noqa: N802
        """Draw nothing."""


class Unbroken(Flowable):  # type: ignore[misc]
    """A figure on one line, whatever its length: it is set smaller where it needs more room.

    One that `spans` several columns of a table asks for no room in its own.
    """

    without_canvas = True  # its size can be asked for without a page

    def __init__(self, text: str, look: ParagraphStyle, *, spans: bool = False) -> None:
        super().__init__()
        self.style, self.spans = look, spans
        self.plain, wide = _measured(text, look.fontName, look.fontSize)
        self._one_face = wide is not None
        self.wide = width(self.plain, look.fontName, look.fontSize) if wide is None else wide

    def wrap(self, available_width: float, _available_height: float) -> tuple[float, float]:
        """As wide as what is available; the height does not change with the size."""
        self.width, self.height = available_width, float(self.style.leading)
        return self.width, self.height

    def drawOn(self, canvas: Any, x: float, y: float, _sW: float = 0) -> None:  # noqa: N802, N803
        """Draw the figure, at the right end where the look asks for that."""
        look = self.style
        shrunk = min(1.0, self.width / self.wide) if self.wide else 1.0
        size = look.fontSize * shrunk
        if look.alignment == TA_RIGHT:
            x += self.width - self.wide * shrunk
        y += self.height - look.fontSize
        ink.fill(canvas, look.textColor)
        if self._one_face:
            ink.string(canvas, x, y, self.plain, look.fontName, size)
            return
        for face, part in runs(self.plain, look.fontName):
            ink.string(canvas, x, y, part, face, size)
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
