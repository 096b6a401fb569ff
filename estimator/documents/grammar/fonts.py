"""Type for print: the faces, what each can write, and the face to fall back on.

Source Sans writes almost everything; Noto Sans stands behind it for what it lacks (Greek and
Cyrillic in full), and a wide face behind both for Chinese, Japanese and Korean. Every face is
embedded as a subset, so that a quote looks the same wherever it is opened.
"""

from __future__ import annotations

import unicodedata
from functools import cache
from itertools import groupby
from xml.sax.saxutils import escape, quoteattr

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from estimator.documents.grammar.links import holds_link, parts
from estimator.installed import data_root

REGULAR = "SourceSansPro-Regular"
SEMIBOLD = "SourceSansPro-Semibold"
BOLD = "SourceSansPro-Bold"
ITALIC = "SourceSansPro-It"

_WIDE = "DroidSansFallback"
_BEHIND = {
    REGULAR: ("NotoSans-Regular", _WIDE),
    SEMIBOLD: ("NotoSans-Bold", _WIDE),
    BOLD: ("NotoSans-Bold", _WIDE),
    ITALIC: (REGULAR, "NotoSans-Regular", _WIDE),
}
_UNKNOWN = "\N{REPLACEMENT CHARACTER}"  # shows that a character could not be written
_SPACES_GONE = dict.fromkeys(map(ord, "\u00a0\u202f\u2007"))
_LAYOUT_SPACES = str.maketrans({"\u202f": "\u00a0", "\u2007": "\u00a0"})


@cache
def written_by(face: str) -> frozenset[str]:
    """Characters that a face can write; registers the face on first use."""
    font = TTFont(face, str(data_root() / "resources" / "fonts" / f"{face}.ttf"))
    pdfmetrics.registerFont(font)
    return frozenset(map(chr, font.face.charToGlyph))


def register() -> None:
    """Make the four everyday faces known; the ones behind them follow when they are needed."""
    for face in _BEHIND:
        written_by(face)


def clean(text: str) -> str:
    """`text` in composed form, without control and direction characters.

    Line breaks and tabs become spaces: a cell or heading is one run of text.
    """
    if text.isascii() and text.isprintable():
        return text
    composed = unicodedata.normalize("NFC", text)
    if composed.translate(_SPACES_GONE).isprintable():
        return composed
    return "".join(_kept(character) for character in composed)


def _kept(character: str) -> str:
    if character in "\n\r\t\v\f\x85\u2028\u2029":
        return " "
    kind = unicodedata.category(character)
    return "" if kind in ("Cc", "Cf", "Cs", "Co", "Cn") else character


def as_laid_out(text: str) -> str:
    """`text` with the no-break spaces that the paragraph engine knows."""
    return text.translate(_LAYOUT_SPACES)


def runs(text: str, face: str = REGULAR) -> list[tuple[str, str]]:
    """`text`, cleaned, as (face, part) in order: each part in the first face that can write it."""
    text = clean(text)
    if written_by(face).issuperset(text):
        return [(face, text)] if text else []
    found: list[tuple[str, str]] = []
    for character in text:
        chosen = _face_for(character, face)
        if chosen is None:
            found.append((_BEHIND[face][-2], _UNKNOWN))
        elif character == " " and found:
            found.append((found[-1][0] if " " in written_by(found[-1][0]) else face, character))
        else:
            found.append((chosen, character))
    return [
        (name, "".join(part for _, part in members))
        for name, members in groupby(found, key=lambda one: one[0])
    ]


@cache
def _face_for(character: str, face: str) -> str | None:
    for name in (face, *_BEHIND[face]):
        if character in written_by(name):
            return name
    return None


def marked(text: str, face: str = REGULAR, *, tagged: bool = False) -> str:
    """`text` as paragraph markup: escaped, with a font tag round each run in another face.

    `tagged` puts a tag round the runs in `face` too, for use inside text of another face.
    The paragraph engine breaks lines at a narrow no-break space, so it is given the wider one.
    """
    if holds_link(text):
        return "".join(_linked(*part, face, tagged) for part in parts(text))
    return "".join(
        escape(as_laid_out(part))
        if name == face and not tagged
        else f'<font name="{name}">{escape(as_laid_out(part))}</font>'
        for name, part in runs(text, face)
    )


def _linked(words: str, key: str, face: str, tagged: bool) -> str:
    shown = marked(words, face, tagged=tagged)
    return f"<a href={quoteattr('#' + key)}>{shown}</a>" if key else shown


def width(text: str, face: str, size: float) -> float:
    """Width in points of `text`, fallback runs included."""
    return sum(float(pdfmetrics.stringWidth(part, name, size)) for name, part in runs(text, face))
