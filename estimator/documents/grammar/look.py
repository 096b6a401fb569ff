"""How print looks: page, colours, sizes and paragraph styles.

Colour only carries meaning (blue priced, orange contingency) and never alone: firm is solid,
provisional hatched, contingency dotted, so that a grey printer keeps them apart. The workshop's
own colours are for rules and headings alone.
"""

from __future__ import annotations

from functools import cache

from reportlab.lib.colors import HexColor
from reportlab.lib.enums import TA_CENTER, TA_LEFT, TA_RIGHT
from reportlab.lib.pagesizes import A4
from reportlab.lib.styles import ParagraphStyle

from estimator.documents.grammar.dress import worn
from estimator.documents.grammar.fonts import BOLD, REGULAR, SEMIBOLD
from estimator.domain.house_style import INK as PLAIN_INK

WIDTH = A4[0] - 2 * 56.7  # of text on every paper: A4 less 20 mm on each side
TOP, BOTTOM = 58.0, 50.0  # what head and foot take where the house style adds nothing
GAP = 16.0  # between columns

INK = HexColor(PLAIN_INK)
PAPER = HexColor("#FFFFFF")
INK2 = HexColor("#45515C")
INK3 = HexColor("#5A6671")
LINE = HexColor("#DADFE3")
LINE2 = HexColor("#B4BCC3")
FIRM = HexColor("#0072B2")
FIRM_TEXT = HexColor("#005C91")
PROVISIONAL_LINE = HexColor("#0072B2")
PROVISIONAL_FILL = HexColor("#D6ECFA")
PROVISIONAL_TEXT = HexColor("#00598C")
CONTINGENCY_LINE = HexColor("#B07A00")
CONTINGENCY_DOT = HexColor("#C98600")
CONTINGENCY_FILL = HexColor("#FFF8E8")
CONTINGENCY_TEXT = HexColor("#7D5000")

# name: (face, size, leading, colour)
_TEXTS = {
    "title": (SEMIBOLD, 20, 24, INK),
    "figure": (SEMIBOLD, 21, 24, INK),
    "figure small": (SEMIBOLD, 15, 19, INK),
    "section": (SEMIBOLD, 12.5, 15.5, INK),
    "part": (SEMIBOLD, 10.5, 13, INK),
    "body": (REGULAR, 9.4, 12.2, INK),
    "list": (REGULAR, 8.8, 10.9, INK),
    "strong": (SEMIBOLD, 9.4, 12.2, INK),
    "label": (REGULAR, 9.4, 12.2, INK3),
    "second": (REGULAR, 8.6, 11, INK2),
    "cell": (REGULAR, 8.8, 10.6, INK),
    "cell strong": (SEMIBOLD, 8.8, 10.6, INK),
    "cell total": (BOLD, 9.4, 12, INK),
    "fine": (REGULAR, 7.2, 8.7, INK),
    "fine strong": (SEMIBOLD, 7.2, 8.7, INK),
    "fine head": (SEMIBOLD, 7.2, 8.7, INK3),
    "note": (REGULAR, 7.8, 9.2, INK2),
    "head": (SEMIBOLD, 8.4, 10.5, INK3),
    "firm": (SEMIBOLD, 10, 12.5, FIRM_TEXT),
    "provisional": (SEMIBOLD, 10, 12.5, PROVISIONAL_TEXT),
    "contingency": (SEMIBOLD, 10, 12.5, CONTINGENCY_TEXT),
}
_HEADS = ("title", "section")  # in the workshop's own colour where it has one
_ALIGN = {"left": TA_LEFT, "right": TA_RIGHT, "center": TA_CENTER}


def rule_colour() -> HexColor:
    """Colour of strong rules: the workshop's own, or ink."""
    return _own(worn().rule_colour)


@cache
def _own(colour: str) -> HexColor:
    return HexColor(colour)


def style(
    name: str,
    align: str = "left",
    before: float = 0,
    after: float = 0,
    indent: float = 0,
    keep: bool = False,
) -> ParagraphStyle:
    """A paragraph style by name; words longer than a line are broken, never clipped."""
    colour = worn().head_colour if name in _HEADS else ""
    return _style(name, align, before, after, indent, keep, colour)


@cache
def _style(
    name: str, align: str, before: float, after: float, indent: float, keep: bool, own: str
) -> ParagraphStyle:
    face, size, leading, colour = _TEXTS[name]
    colour = _own(own) if own else colour
    return ParagraphStyle(
        f"{name} {align}",
        fontName=face,
        fontSize=size,
        leading=leading,
        textColor=colour,
        alignment=_ALIGN[align],
        spaceBefore=before,
        spaceAfter=after,
        leftIndent=indent,
        bulletIndent=0,
        keepWithNext=int(keep),
        splitLongWords=1,
        allowWidows=0,
        allowOrphans=0,
    )


def face_of(name: str) -> str:
    """The face that a style writes in."""
    return _TEXTS[name][0]
