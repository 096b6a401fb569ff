"""References inside a document: "page 3" in a text leads to the section it names.

A page number is put into texts as any number. It carries its section along in characters of the
private use area, which `fonts.clean` drops wherever a text is not set as a link.
"""

from __future__ import annotations

import re

_OPEN, _BETWEEN, _CLOSE = "\ue000", "\ue001", "\ue002"
_SHIFT = 0xE100
_LINK = re.compile(f"{_OPEN}([\ue120-\ue17e]+){_BETWEEN}([^{_OPEN}{_CLOSE}]*){_CLOSE}")


class PageNumber(int):
    """The page that a section stands on."""

    section: str

    def __new__(cls, page: int, section: str) -> PageNumber:
        """The number, and the section's key (letters as on a typewriter)."""
        made = super().__new__(cls, page)
        made.section = section
        return made

    def __str__(self) -> str:
        key = "".join(chr(_SHIFT + ord(letter)) for letter in self.section)
        return f"{_OPEN}{key}{_BETWEEN}{int(self)}{_CLOSE}"

    def __format__(self, form: str) -> str:
        return str(self) if not form else format(int(self), form)


def holds_link(text: str) -> bool:
    """Whether a reference stands in a text."""
    return _OPEN in text and _LINK.search(text) is not None


def parts(text: str) -> list[tuple[str, str]]:
    """A text as (plain part, key of its section) in order; "" for what leads nowhere."""
    found, at = [], 0
    for match in _LINK.finditer(text):
        found.append((text[at : match.start()], ""))
        found.append((match[2], "".join(chr(ord(one) - _SHIFT) for one in match[1])))
        at = match.end()
    found.append((text[at:], ""))
    return [(words, key) for words, key in found if words]
