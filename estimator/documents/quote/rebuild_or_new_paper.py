"""What every part of the page of rebuild or new writes with."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.documents.grammar.look import style
from estimator.documents.grammar.paper import Paper
from estimator.documents.grammar.text import Heading
from estimator.documents.grammar.wording import Words
from estimator.domain.money import Money
from estimator.domain.rebuild_or_new.compared import Comparison


@dataclass(frozen=True)
class ComparisonPaper(Paper):
    """A comparison on its way to paper; `tight` is how little room there is, from 0 to 4: at 1
    inputs run on in one paragraph, at 2 a heading goes, at 3 the small headings too, at 4 the
    sources of inputs, which the record holds.
    """

    found: Comparison
    words: Words
    tight: int

    def part_heading(self, text: str, key: str) -> Heading:
        """A small heading of a column."""
        return Heading(text, style("part", after=2, keep=True), key)

    def hour(self, amount: Money) -> str:
        """A cost per hour, minor units shown."""
        return self.words.money(amount, exact=True)
