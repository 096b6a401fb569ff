"""Plain text of one face broken into lines, as the paragraph engine breaks it, and words that no
line can hold cut before that engine sees them: it needs a time that grows with the square of them.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase import pdfmetrics
from reportlab.platypus.paragraph import split

from estimator.documents.grammar import fonts

_TAG = re.compile(r"(<[^>]*>|&[^;]*;)")
_FACE = re.compile(r'<font name="([^"]+)">')
_LONG_WORD = 120  # letters; no word of a language is as long, nor is an ordinary code
_JUST = 1e-8  # what the engine takes for nothing


class Broken(NamedTuple):
    """A line of a paragraph: its text, what it leaves of its width, and the words in it."""

    text: str
    left: float
    words: int

    @property
    def between(self) -> float:
        """Points added to each space where it is a little too wide: less than nothing."""
        spaces = self.words + self.text.count("\N{NO-BREAK SPACE}") - 1
        return self.left / spaces if self.left <= -_JUST and spaces > 0 else 0.0


def broken(text: str, look: ParagraphStyle, room: float) -> list[Broken] | None:
    """Lines no wider than `room`, each filled with as many words as it holds; None where a word
    alone is wider."""
    face, size = look.fontName, look.fontSize
    space = word_width(" ", face, size)
    shrink = look.spaceShrinkage * space
    found: list[Broken] = []
    line: list[str] = []
    taken = -space
    for word in split(text):
        wide = word_width(word, face, size)
        if wide > room:
            return None
        wanted = taken + space + wide
        if line and wanted > room + shrink * len(line):
            found.append(Broken(" ".join(line), room - taken, len(line)))
            line, taken = [word], wide
        else:
            line.append(word)
            taken = wanted
    if line:
        found.append(Broken(" ".join(line), room - taken, len(line)))
    return found


@lru_cache(maxsize=1 << 14)
def word_width(word: str, face: str, size: float) -> float:
    """Width of a word whose letters are all in the face."""
    return float(pdfmetrics.stringWidth(word, face, size))


def holds_long_word(markup: str) -> bool:
    """Whether a word may be too long for the engine."""
    return len(markup) > _LONG_WORD and any(len(one) > _LONG_WORD for one in markup.split(" "))


def cut(markup: str, face: str, size: float, room: float) -> str:
    """Paragraph markup with a space in each long word wherever a line of it is full. Takes a time
    that grows with the length of the text."""
    parts = [part for part in _TAG.split(markup) if part]
    lengths = iter(_lengths("".join(map(_as_letters, parts))))
    found: list[str] = []
    now, taken = face, 0.0
    for part in parts:
        if part.startswith("<"):
            named = _FACE.match(part)
            now = named[1] if named else face
            found.append(part)
            continue
        for letter in [part] if part.startswith("&") else part:
            if next(lengths) <= _LONG_WORD:
                taken = 0.0
            else:
                wide = _letter_width(letter, now, size)
                if taken and taken + wide > room:
                    found.append(" ")
                    taken = 0.0
                taken += wide
            found.append(letter)
    return "".join(found)


def _as_letters(part: str) -> str:
    """What is seen of a part of markup: nothing of a tag, one letter of an entity."""
    if part.startswith("<"):
        return ""
    return "&" if part.startswith("&") else part


def _lengths(plain: str) -> list[int]:
    """Of each letter, the length of the word it is in; 0 of a space."""
    found: list[int] = []
    for at, word in enumerate(plain.split(" ")):
        found += ([0] if at else []) + [len(word)] * len(word)
    return found


@lru_cache(maxsize=1 << 12)
def _letter_width(letter: str, face: str, size: float) -> float:
    shown = {"&amp;": "&", "&lt;": "<", "&gt;": ">"}.get(letter, letter)
    return fonts.width(shown, face, size)
