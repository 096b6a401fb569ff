"""Finding rows of the catalogue by words, as they are typed.

What a row says is put together once, in small letters, one long text a catalogue: where a word
stands in it is then found without a step a row, so that 100,000 rows are searched between two keys.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

from estimator.domain.catalogue.catalogue import Catalogue, fits
from estimator.domain.catalogue.changes import cell_text, columns, rows_of, table_names
from estimator.domain.catalogue.rows import Row

_END = "\n"
_MANY = 5_000  # rows with a word: from there a step a row costs less than leaps between them


@dataclass(frozen=True, slots=True)
class FoundRow:
    """A row with its table, and its place among all rows."""

    index: int
    table: str
    row: Row


def searched_text(row: Row) -> str:
    """All that a row says, in small letters."""
    cells = (cell_text(getattr(row, name)) for name in columns(type(row)))
    return " ".join(cell for cell in cells if cell).casefold().replace(_END, " ")


class CatalogueSearch:
    """The rows of a catalogue with their text. Built once an edition; never changed, so that it may
    be made off the window's thread."""

    def __init__(self, rows: Iterable[tuple[str, Row]]) -> None:
        self.rows: tuple[FoundRow, ...] = tuple(
            FoundRow(index, table, row) for index, (table, row) in enumerate(rows)
        )
        self._texts = texts = [searched_text(one.row) for one in self.rows]
        self._text = _END.join(texts) + _END
        self._starts: list[int] = []
        at = 0
        for text in texts:
            self._starts.append(at)
            at += len(text) + 1

    def find(self, words: str) -> Sequence[FoundRow]:
        """The rows in which every word stands, in their order; all of them without a word."""
        wanted = sorted(set(words.casefold().split()), key=len, reverse=True)
        if not wanted:
            return self.rows
        longest, *others = wanted
        found = [self.rows[index] for index in islice(self._with(longest), _MANY + 1)]
        if len(found) > _MANY:
            pairs = zip(self.rows, self._texts, strict=True)
            found = [row for row, text in pairs if longest in text]
        if others:
            texts = self._texts
            found = [one for one in found if all(word in texts[one.index] for word in others)]
        return found

    def _with(self, word: str) -> Iterator[int]:
        """Rows that hold a word: the next one is looked for from where the row it was found in
        ends."""
        text, starts = self._text, self._starts
        at = text.find(word)
        while at >= 0:
            index = bisect_right(starts, at) - 1
            yield index
            if index + 1 == len(starts):
                return
            at = text.find(word, starts[index + 1])


def search_of(catalogue: Catalogue) -> CatalogueSearch:
    """The search over every row of a catalogue, translations and the workshop's figures too."""
    return CatalogueSearch(
        (table, row) for table in table_names(catalogue) for row in rows_of(catalogue, table)
    )


def seen_by(rows: Iterable[FoundRow], traits: frozenset[str]) -> list[FoundRow]:
    """The rows that a class with these traits sees."""
    return [one for one in rows if fits(one.row, traits)]
