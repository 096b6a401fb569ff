"""Head and foot of a page: whose paper it is, which document, how far one is in it.

Where the house style has a logo or lines of its own, the first page opens with a letterhead and
every foot is as much higher; else both are one line.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from estimator.documents.grammar import ink, labels, logo
from estimator.documents.grammar.about import About
from estimator.documents.grammar.fonts import BOLD, REGULAR, clean, runs, width
from estimator.documents.grammar.look import (
    BOTTOM,
    INK,
    INK2,
    INK3,
    LINE2,
    PAPER,
    TOP,
    WIDTH,
    rule_colour,
)
from estimator.documents.grammar.sheets import Sheet, Space
from estimator.domain.house_style import HouseStyle

_LOGO = (170.0, 46.0)  # the most it takes in a letterhead, and
_SMALL_LOGO = (60.0, 15.0)  # on later pages
_NAME, _REFERENCE, _CONTACT, _FOOT = 11.0, 9.0, 8.2, 7.9  # sizes of type
_NAME_LINE, _LINE, _FOOT_LINE = 13.0, 10.2, 9.6
_BAND, _BAND_TEXT = (25.0, 13.0), 8.6  # from the upper edge to its foot, its height; its type
_BETWEEN = 16.0  # the least between name and reference
_ABOVE, _BELOW = 26.0, 10.0  # the letterhead; and between its rule and the text


def space_of(sheet: Sheet, style: HouseStyle) -> Space:
    """What head and foot leave of every page but the first."""
    return Space(sheet, TOP, BOTTOM + _FOOT_LINE * len(style.footer))


def first_top(style: HouseStyle) -> float:
    """Height of the head of the first page."""
    return _ABOVE + _block(style) + 6 + _BELOW if _has_letterhead(style) else TOP


def _has_letterhead(style: HouseStyle) -> bool:
    return style.logo is not None or bool(style.contact)


def _block(style: HouseStyle) -> float:
    """Height of the letterhead: the higher of what stands left and right."""
    left = _NAME_LINE
    right = _LINE * len(style.contact)
    if style.logo is not None:
        left = logo.fitted_size(style.logo, *_LOGO)[1] + 4
        right += _NAME_LINE
    return max(left + _LINE + 1, right)


def draw_head(canvas: Any, about: About, style: HouseStyle, sheet: Sheet, *, first: bool) -> None:
    """Draw the head of a page."""
    if first and _has_letterhead(style):
        _letterhead(canvas, about, style, sheet)
    else:
        _running_head(canvas, about, style, sheet)


def _rule(canvas: Any, sheet: Sheet, y: float) -> None:
    canvas.setStrokeColor(rule_colour())
    canvas.setLineWidth(1.2)
    canvas.line(sheet.side, y, sheet.right, y)


def _running_head(canvas: Any, about: About, style: HouseStyle, sheet: Sheet) -> None:
    y = sheet.height - 40
    left = sheet.side
    if style.logo is not None:
        size = logo.fitted_size(style.logo, *_SMALL_LOGO)
        logo.draw(canvas, style.logo, left, y - 3, size)
        left += size[0] + 7
    room = sheet.right - left - _BETWEEN  # a long reference has what a short name leaves
    most = max(WIDTH * 0.55, room - width(clean(about.sender), BOLD, _NAME))
    reference = fitted(about.reference, REGULAR, _REFERENCE, most)
    taken = width(reference, REGULAR, _REFERENCE)
    name = fitted(about.sender, BOLD, _NAME, room - taken)
    canvas.setFillColor(INK)
    write(canvas, name, BOLD, _NAME, left, y)
    canvas.setFillColor(INK2)
    write(canvas, reference, REGULAR, _REFERENCE, sheet.right - taken, y)
    _rule(canvas, sheet, y - 8)


def _letterhead(canvas: Any, about: About, style: HouseStyle, sheet: Sheet) -> None:
    """Logo or name over the reference at the left; at the right how to reach the workshop."""
    top = sheet.height - _ABOVE
    foot = top - _block(style)
    taken = 0.0
    lines = [(text, REGULAR, _CONTACT, _LINE) for text in style.contact]
    if style.logo is not None:
        size = logo.fitted_size(style.logo, *_LOGO)
        logo.draw(canvas, style.logo, sheet.side, top - size[1], size)
        taken = size[0]
        lines.insert(0, (about.sender, BOLD, _NAME, _NAME_LINE))
    else:
        name = fitted(about.sender, BOLD, _NAME, WIDTH * (0.5 if lines else 1))
        canvas.setFillColor(INK)
        write(canvas, name, BOLD, _NAME, sheet.side, top - _NAME)
        taken = width(name, BOLD, _NAME)
    canvas.setFillColor(INK2)
    reference = fitted(about.reference, REGULAR, _REFERENCE, WIDTH * 0.5)
    write(canvas, reference, REGULAR, _REFERENCE, sheet.side, foot + 2)
    room = WIDTH - max(taken, width(reference, REGULAR, _REFERENCE)) - 20
    y = top
    for text, face, size_of_type, leading in lines:
        shown = fitted(text, face, size_of_type, room)
        y -= leading
        canvas.setFillColor(INK if face == BOLD else INK2)
        write(canvas, shown, face, size_of_type,
              sheet.right - width(shown, face, size_of_type), y + 2)  # fmt: skip
    _rule(canvas, sheet, foot - 6)


def draw_band(canvas: Any, text: str, sheet: Sheet) -> None:
    """Draw a dark band with light words in it above the head: it survives a fax."""
    foot, height = sheet.height - _BAND[0], _BAND[1]
    canvas.setFillColor(INK)
    canvas.rect(sheet.side, foot, WIDTH, height, stroke=0, fill=1)
    canvas.setFillColor(PAPER)
    shown = fitted(text, BOLD, _BAND_TEXT, WIDTH - 12)
    write(canvas, shown, BOLD, _BAND_TEXT, sheet.side + 6, foot + 3.4)


def draw_foot(
    canvas: Any, about: About, style: HouseStyle, space: Space, count: tuple[int, int]
) -> None:
    """Draw the foot of a page: the workshop's own lines, then what the document says of itself."""
    sheet, y = space.sheet, BOTTOM - 20
    said = labels.PAGE_OF.format(page=count[0], total=count[1])
    taken = width(said, REGULAR, _FOOT)
    above = y + 12 + _FOOT_LINE * len(style.footer)
    canvas.setStrokeColor(LINE2)
    canvas.setLineWidth(0.5)
    canvas.line(sheet.side, above, sheet.right, above)
    canvas.setFillColor(INK3)
    for at, text in enumerate(style.footer):
        line = fitted(text, REGULAR, _FOOT, WIDTH)
        write(canvas, line, REGULAR, _FOOT, sheet.side, above - 12 - at * _FOOT_LINE)
    foot = fitted(about.foot, REGULAR, _FOOT, WIDTH - taken - 16)
    write(canvas, foot, REGULAR, _FOOT, sheet.side, y)
    canvas.setFillColor(INK)
    write(canvas, said, REGULAR, _FOOT, sheet.right - taken, y)


def draw_note(canvas: Any, text: str, space: Space) -> None:
    """What is said once, above the foot of the first page."""
    canvas.setFillColor(INK2)
    note = fitted(text, REGULAR, _FOOT, WIDTH)
    write(canvas, note, REGULAR, _FOOT, space.sheet.side, space.bottom - 2)


def write(canvas: Any, text: str, face: str, size: float, x: float, y: float) -> None:
    """Write one line, each part in the first face that has its letters."""
    for name, part in runs(text, face):
        ink.string(canvas, x, y, part, name, size)
        x += canvas.stringWidth(part, name, size)


@lru_cache(maxsize=256)
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
