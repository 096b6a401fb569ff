"""Pages: running head and foot, page x of y, bookmarks, and references that know their page.

A document is laid out with the page numbers that are expected; where one proves wrong it is laid
out again with those found, so that "page 3 of 5" and "the rates on page 3" are always true.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from io import BytesIO
from typing import Any

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate

from estimator.documents import labels
from estimator.documents.fonts import BOLD, REGULAR, clean, register, runs, width
from estimator.documents.look import (
    BOTTOM,
    INK,
    INK2,
    INK3,
    LINE2,
    PAGE_HEIGHT,
    PAGE_WIDTH,
    SIDE,
    TOP,
    WIDTH,
)

_MOST_PASSES = 5
_NOTE_ROOM = 9.0


@dataclass(slots=True)
class Pages:
    """Page numbers as expected; remembers which were told to the reader."""

    total: int
    sections: Mapping[str, int]
    told: dict[str, int] = field(default_factory=dict)

    def of(self, key: str) -> int:
        """Page that a section stands on."""
        return self.told.setdefault(key, self.sections.get(key, 1))


@dataclass(frozen=True, slots=True)
class About:
    """What stands on every page, and what a file manager shows of the document."""

    sender: str
    reference: str
    foot: str
    title: str
    subject: str
    language: str
    day: date
    note: str = ""  # at the foot of the first page alone


def _canvas_maker(about: About, found: dict[str, int]) -> Callable[..., Canvas]:
    def make(*args: Any, **options: Any) -> Canvas:
        options |= {"initialFontName": REGULAR, "lang": about.language, "invariant": 1}
        canvas = Canvas(*args, **options)
        canvas.section_pages = found
        canvas.setDateFormatter(lambda *_: f"D:{about.day:%Y%m%d}000000Z")
        canvas.setViewerPreference("DisplayDocTitle", "true")
        return canvas

    return make


def lay_out(story: Callable[[Pages], list[Any]], about: About, expected: Pages) -> bytes:
    """The document as bytes. `story` is asked for its flowables once for each pass."""
    register()
    pages = expected
    data = b""
    for _ in range(_MOST_PASSES):
        out, found = BytesIO(), dict[str, int]()
        document = _document(out, about, pages)
        document.build(story(pages), canvasmaker=_canvas_maker(about, found))
        data = out.getvalue()
        wrong = [key for key, page in pages.told.items() if found.get(key, page) != page]
        if document.page == pages.total and not wrong:
            return data
        pages = Pages(document.page, found)
    return data


def _document(out: BytesIO, about: About, pages: Pages) -> BaseDocTemplate:
    def furnish(canvas: Canvas, document: BaseDocTemplate) -> None:
        canvas.saveState()
        _head(canvas, about)
        _foot(canvas, about, document.page, pages.total)
        if about.note and document.page == 1:
            canvas.setFillColor(INK2)
            note = fitted(about.note, REGULAR, 7.9, WIDTH)
            _text(canvas, note, REGULAR, 7.9, SIDE, BOTTOM - 2)
        canvas.restoreState()

    return BaseDocTemplate(
        out,
        pagesize=(PAGE_WIDTH, PAGE_HEIGHT),
        pageTemplates=[
            PageTemplate(
                "first",
                [_frame(_NOTE_ROOM if about.note else 0)],
                onPage=furnish,
                autoNextPageTemplate="later",
            ),
            PageTemplate("later", [_frame()], onPage=furnish),
        ],  # fmt: skip
        title=clean(about.title),
        author=clean(about.sender),
        subject=clean(about.subject),
        creator=labels.PROGRAM,
    )


def _frame(above_foot: float = 0) -> Frame:
    bottom = BOTTOM + above_foot
    return Frame(
        SIDE, bottom, WIDTH, PAGE_HEIGHT - TOP - bottom,
        leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0,
    )  # fmt: skip


def _head(canvas: Canvas, about: About) -> None:
    y = PAGE_HEIGHT - 40
    reference = fitted(about.reference, REGULAR, 9, WIDTH * 0.55)
    taken = width(reference, REGULAR, 9)
    name = fitted(about.sender, BOLD, 11, WIDTH - taken - 16)
    canvas.setFillColor(INK)
    _text(canvas, name, BOLD, 11, SIDE, y)
    canvas.setFillColor(INK2)
    _text(canvas, reference, REGULAR, 9, PAGE_WIDTH - SIDE - taken, y)
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(1.2)
    canvas.line(SIDE, y - 8, PAGE_WIDTH - SIDE, y - 8)


def _foot(canvas: Canvas, about: About, page: int, total: int) -> None:
    y = BOTTOM - 20
    count = labels.PAGE_OF.format(page=page, total=total)
    taken = width(count, REGULAR, 7.9)
    canvas.setStrokeColor(LINE2)
    canvas.setLineWidth(0.5)
    canvas.line(SIDE, y + 12, PAGE_WIDTH - SIDE, y + 12)
    canvas.setFillColor(INK3)
    _text(canvas, fitted(about.foot, REGULAR, 7.9, WIDTH - taken - 16), REGULAR, 7.9, SIDE, y)
    canvas.setFillColor(INK)
    _text(canvas, count, REGULAR, 7.9, PAGE_WIDTH - SIDE - taken, y)


def _text(canvas: Canvas, text: str, face: str, size: float, x: float, y: float) -> None:
    for name, part in runs(text, face):
        canvas.setFont(name, size)
        canvas.drawString(x, y, part)
        x += canvas.stringWidth(part, name, size)


def fitted(text: str, face: str, size: float, room: float) -> str:
    """`text`, shortened with dots where it is wider than `room`; its full form stands elsewhere."""
    text = clean(text)
    if width(text, face, size) <= room:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if width(text[:middle].rstrip() + "\u2026", face, size) <= room:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + "\u2026"
