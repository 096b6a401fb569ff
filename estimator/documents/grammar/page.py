"""Pages: paper, running head and foot, page x of y, bookmarks, and references that know their page.

How many pages there are is written under each when all are made. References are laid out with the
page numbers that are expected; where one proves wrong the document is laid out again with those
found, so that "the rates on page 3" is always true. The first times it is not laid out to its end
once a section has proved to stand elsewhere.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import partial
from io import BytesIO
from typing import Any

from babel.core import Locale
from reportlab.pdfbase.pdfdoc import PDFObjectReference
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import ActionFlowable, BaseDocTemplate, Frame, PageTemplate, Spacer

from estimator.documents.grammar import labels, letterhead
from estimator.documents.grammar.about import About
from estimator.documents.grammar.archive import Attached, Described, make_keepable
from estimator.documents.grammar.dress import worn
from estimator.documents.grammar.fonts import REGULAR, clean, register
from estimator.documents.grammar.letterhead import fitted
from estimator.documents.grammar.links import PageNumber
from estimator.documents.grammar.look import WIDTH
from estimator.documents.grammar.sheets import SHEETS, Sheet, Space, using, usual_sheet

__all__ = ["About", "Attached", "Later", "Pages", "fitted", "lay_out", "lay_out_counted"]

_MOST_PASSES = 5
_MOST_LEFT_OFF = 2  # passes before those that end at the first wrong number
_NOTE_ROOM = 9.0
_FOOT = "%foot"  # a line that no text on a page can hold: the engine escapes line ends in them
_PRINTED = 4  # an annotation's flag: it belongs to the page (ISO 32000-1, table 165)


@dataclass(slots=True)
class Pages:
    """Page numbers as expected; remembers which were told to the reader."""

    sections: Mapping[str, int]
    told: dict[str, int] = field(default_factory=dict)

    def of(self, key: str) -> PageNumber:
        """Page that a section stands on; in a text it leads there."""
        return PageNumber(self.told.setdefault(key, self.sections.get(key, 1)), key)

    def wrong(self, found: Mapping[str, int]) -> bool:
        """Whether a section stands elsewhere than was told."""
        return any(found.get(key, page) != page for key, page in self.told.items())


class _ToldWrong(Exception):
    """A section does not stand on the page that was told."""


class _Keepable(Canvas):  # type: ignore[misc]
    """A canvas whose file can be kept: described, in known colours, no link without an end."""

    about: About
    section_pages: dict[str, int]
    _code: list[str]  # operators of the page being drawn

    def foot_later(self, draw: Callable[[int], None]) -> None:
        """Leave room in the order of drawing for the foot of this page: `draw` is called with the
        number of pages when that is known."""
        self._feet.append(draw)
        self._code.append(_FOOT)

    def _draw_feet(self) -> None:
        pages, code = self._doc.Pages.pages, self._code
        for page, draw in zip(pages, self._feet, strict=True):
            self._code = []
            draw(len(pages))
            drawn = "\n".join(self._code)
            page.stream = page.stream.replace(f"\n{_FOOT}\n", f"\n{drawn}\n", 1)
        self._code = code

    def linkRect(self, *args: Any, **options: Any) -> Any:  # noqa: N802 - the engine's name
        """A link that is told to belong to the printed page."""
        self._led_to.add(args[1])
        return super().linkRect(*args, **{"F": _PRINTED, **options})

    def begin(self, about: About, found: dict[str, int]) -> None:
        """Tell what the document is."""
        self.about, self.section_pages = about, found
        self._led_to: set[str] = set()
        self._feet: list[Callable[[int], None]] = []
        self.setDateFormatter(lambda *_: f"D:{about.day:%Y%m%d}000000Z")
        self.setViewerPreference("DisplayDocTitle", "true")

    def save(self) -> None:
        """Write the file."""
        if self._code:
            self.showPage()
        self._draw_feet()
        for key in sorted(self._led_to - set(self.section_pages)):
            nowhere = self._bookmarkReference(key)  # a text that names no section leads to page 1
            nowhere.setPage(PDFObjectReference("Page1"))
            nowhere.fit()
        about = self.about
        make_keepable(
            self,
            Described(
                title=clean(about.title), author=clean(about.sender), subject=clean(about.subject),
                creator=labels.PROGRAM, language=about.language, day=about.day,
            ),
            about.attached,
        )  # fmt: skip
        super().save()


def _canvas_maker(about: About, found: dict[str, int]) -> Callable[..., Canvas]:
    def make(*args: Any, **options: Any) -> Canvas:
        options |= {"initialFontName": REGULAR, "lang": about.language, "invariant": 1}
        canvas = _Keepable(*args, **options)
        canvas.begin(about, found)
        return canvas

    return make


class Later(ActionFlowable):  # type: ignore[misc]
    """Part of a story that is not made until the document has come to it: what is laid out again
    from the start is not made for nothing."""

    def __init__(self, make: Callable[[], list[Any]]) -> None:
        super().__init__()
        self.make = make


class _Document(BaseDocTemplate):  # type: ignore[misc]
    """The engine's document, with parts that are made when it comes to them."""

    def filterFlowables(self, flowables: list[Any]) -> None:  # noqa: N802 - the engine's name
        """Put what was to be made later in its place."""
        while flowables and isinstance(flowables[0], Later):
            flowables[:1] = flowables[0].make() or [Spacer(0, 0)]


def lay_out(story: Callable[[Pages], list[Any]], about: About, expected: Pages) -> bytes:
    """The document as bytes, in the house style that is worn. `story` is asked for its flowables
    once for each pass."""
    return lay_out_counted(story, about, expected)[0]


def lay_out_counted(
    story: Callable[[Pages], list[Any]], about: About, expected: Pages
) -> tuple[bytes, int]:
    """The same, and the number of its pages."""
    register()
    space = letterhead.space_of(_sheet(about), worn())
    pages, made = expected, (b"", 0)
    with using(space):
        for number in range(_MOST_LEFT_OFF + _MOST_PASSES):
            out, found = BytesIO(), dict[str, int]()
            document = _document(out, about, space)
            if number < _MOST_LEFT_OFF:
                document.afterPage = partial(_leave_off, pages, found)
            try:
                document.build(story(pages), canvasmaker=_canvas_maker(about, found))
            except _ToldWrong:
                pages = Pages({**pages.sections, **found})
                continue
            made = out.getvalue(), document.page
            if not pages.wrong(found):
                break
            pages = Pages(found)
    return made


def _leave_off(pages: Pages, found: Mapping[str, int]) -> None:
    """Raises _ToldWrong where it is known by now: the rest of the pass would be for nothing."""
    if pages.wrong(found):
        raise _ToldWrong


def _sheet(about: About) -> Sheet:
    """The paper: as the document asks, else as the workshop has it, else as the country has."""
    named = about.paper or worn().paper
    if named:
        return SHEETS[named]
    territory = Locale.parse(about.locale).territory if about.locale else None
    return usual_sheet(territory or "")


def _document(out: BytesIO, about: About, space: Space) -> BaseDocTemplate:
    style, sheet = worn(), space.sheet

    def furnish(canvas: Canvas, document: BaseDocTemplate) -> None:
        first = document.page == 1
        canvas.saveState()
        if about.band:
            letterhead.draw_band(canvas, about.band, sheet)
        letterhead.draw_head(canvas, about, style, sheet, first=first)
        canvas.foot_later(partial(_draw_foot, canvas, about, space, document.page))
        if about.note and first:
            letterhead.draw_note(canvas, about.note, space)
        canvas.restoreState()

    top = letterhead.first_top(style)
    note = _NOTE_ROOM if about.note else 0.0
    return _Document(
        out,
        pagesize=(sheet.width, sheet.height),
        pageTemplates=[
            PageTemplate(
                "first",
                [_frame(sheet, top, space.bottom + note)],
                onPage=furnish,
                autoNextPageTemplate="later",
            ),
            PageTemplate("later", [_frame(sheet, space.top, space.bottom)], onPage=furnish),
        ],
        title=clean(about.title),
        author=clean(about.sender),
        subject=clean(about.subject),
        creator=labels.PROGRAM,
    )


def _draw_foot(canvas: Canvas, about: About, space: Space, page: int, total: int) -> None:
    letterhead.draw_foot(canvas, about, worn(), space, (page, total))


def _frame(sheet: Sheet, top: float, bottom: float) -> Frame:
    return Frame(
        sheet.side, bottom, WIDTH, sheet.height - top - bottom,
        leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0,
    )  # fmt: skip
