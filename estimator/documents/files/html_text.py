"""Text on its way into a web page: escaped, without hidden signs; sums whole, days as <time>.

Sums and days are written by `PageWords`, which puts marks of the private use area round them and
remembers each. A mark that it did not put there is dropped like any other hidden sign, so that no
text from outside can pass for one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from html import escape

from estimator.documents.grammar import links
from estimator.documents.grammar.fonts import clean
from estimator.documents.grammar.wording import Words
from estimator.domain.money import Money

_OPEN, _CLOSE = "\ue010", "\ue011"
_MARKED = re.compile(f"{_OPEN}([^{_OPEN}{_CLOSE}]*){_CLOSE}")
_SUM = ""


@dataclass(frozen=True, slots=True)
class PageWords(Words):
    """Formats of a page: as in print, and it knows which text is a day and which a sum."""

    made: dict[str, str] = field(default_factory=dict)  # what was written: its day, "" for a sum

    @classmethod
    def of(cls, locale: str, currency: str, quoting_unit: Decimal) -> PageWords:
        """Formats for a locale such as en_GB. Raises ValueError where none are known."""
        known = Words.of(locale, currency, quoting_unit)
        return cls(known.locale, known.currency, known.estimate_digits)

    def day(self, day: date) -> str:
        """A date in full."""
        return self._kept(Words.day(self, day), day.isoformat())

    def money(self, money: Money, *, exact: bool = False) -> str:
        """A sum with its currency."""
        return self._kept(Words.money(self, money, exact=exact), _SUM)

    def _kept(self, text: str, meaning: str) -> str:
        self.made[text] = meaning
        return f"{_OPEN}{text}{_CLOSE}"


@dataclass(frozen=True)
class Writer:
    """Makes markup of text. `ends` are the sections that a reference may lead to; where days are
    written as in another language than the page they are `foreign`."""

    words: PageWords
    ends: frozenset[str]
    foreign: bool = False

    def text(self, text: str) -> str:
        """Text as markup: escaped; references lead to their section, days and sums are marked."""
        return "".join(
            f'<a href="#{key}">{self._run(part)}</a>' if key in self.ends else self._run(part)
            for part, key in links.parts(text)
        )

    def _run(self, text: str) -> str:
        found, at = [], 0
        for match in _MARKED.finditer(text):
            found += [plain(text[at : match.start()]), self._marked(match[1])]
            at = match.end()
        return "".join([*found, plain(text[at:])])

    def _marked(self, text: str) -> str:
        meaning = self.words.made.get(text)
        if meaning is None:
            return plain(text)
        if meaning == _SUM:
            return f'<span class="sum">{plain(text)}</span>'
        told = f' lang="{self.words.locale.language}"' if self.foreign else ""
        return f'<time datetime="{meaning}"{told}>{plain(text)}</time>'


def plain(text: str) -> str:
    """Text as markup, escaped, composed, without control, direction and private signs."""
    return escape(clean(str(text)), quote=True)


def unmarked(text: str) -> str:
    """The same without any mark: for attributes and titles."""
    return plain(_MARKED.sub(r"\1", text))


def apart(parts: Iterable[str]) -> str:
    """Pieces of data in one line, each with a direction of its own."""
    return ", ".join(f"<bdi>{plain(one)}</bdi>" for one in parts if clean(one).strip())
