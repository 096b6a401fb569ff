"""What the papers beside the quote write with: head, clauses, facts, and the laying out on as few
pages as they need."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from babel.numbers import get_currency_name

from estimator.documents.grammar import labels as shared
from estimator.documents.grammar.look import WIDTH, style
from estimator.documents.grammar.page import About, Pages, lay_out_counted
from estimator.documents.grammar.paper import Paper
from estimator.documents.grammar.spoken import tag, written_in
from estimator.documents.grammar.text import Grid, Heading
from estimator.documents.grammar.wording import Words, english_note
from estimator.documents.quote.how_it_works import pairs
from estimator.domain.money import round_half_up
from estimator.domain.quote import ClauseText
from estimator.domain.side_paper import PaperHead

_FILL_IN = re.compile(r"\{(\w+)\}")
_ONE = Decimal(1)
_BETWEEN = "   \u00b7   "


@dataclass(frozen=True)
class SidePaper(Paper):
    """A paper on its way: `tight` is how little room there is, from 0; `values` fill clauses in."""

    head: PaperHead
    words: Words
    tight: int = 0
    values: Mapping[str, str] = field(default_factory=dict)

    def clauses(self, section: str) -> list[str]:
        """Texts of a section in order, filled in; one nobody has confirmed bears a quiet mark."""
        return [self._said(one) for one in self.head.clauses.get(section, ())]

    def clause(self, section: str) -> str:
        """All texts of a section as one paragraph."""
        return " ".join(self.clauses(section))

    def _said(self, clause: ClauseText) -> str:
        mark = f"\u2060{shared.UNCONFIRMED_MARK}" if clause.unconfirmed else ""
        return _FILL_IN.sub(lambda one: self.values.get(one[1], one[0]), clause.text) + mark

    def part(self, text: str, key: str, before: float = 8) -> Heading:
        """A small heading that stays with what follows."""
        return Heading(text, style("part", before=before, after=2, keep=True), key)

    def facts(self, rows: list[tuple[str, str]], label: float = 76, whole: float = WIDTH) -> Grid:
        """Labels with their values."""
        return pairs(self, [(name, [value]) for name, value in rows if value], label, whole=whole)

    def machine_line(self) -> str:
        """Mass class, serial and hours of the machine."""
        return str(shared.MACHINE_LINE.format(
            mass=self.words.quantity(round_half_up(self.head.tonnes, _ONE)),
            serial=self.head.job.machine.serial,
            hours=self.words.quantity(self.head.job.machine.hours),
            day=self.words.day(self.head.job.inspected),
        ))  # fmt: skip

    def parties(self) -> list[tuple[str, str]]:
        """Who it is for and who it is from."""
        job = self.head.job
        return [
            (title, ", ".join(filter(None, (party.name, *party.address, party.contact))))
            for title, party in ((shared.TO, job.customer), (shared.FROM, job.workshop))
        ]


def side_pdf(
    head: PaperHead,
    locale: str,
    named: Callable[[Words], tuple[str, str]],
    story: Callable[[SidePaper], list[Any]],
    *,
    tightest: int = 0,
    paper: str = "",
    values: Callable[[Words], Mapping[str, str]] = lambda _: {},
) -> bytes:
    """A paper as PDF, on one page where one of `tightest` ways of setting it allows, else as it
    reads best. `named` gives its reference and its title. Raises ValueError for a locale whose
    formats are not known."""
    terms = head.job.terms
    words = Words.of(locale, terms.currency, terms.quoting_unit)
    about = _about(head, words, *named(words), paper)
    usual = b""
    for tight in range(tightest + 1):
        one = SidePaper(head, words, tight, values(words))
        data, count = _laid_out(one, about, story)
        if count == 1:
            return data
        if tight <= 1:  # what takes more than a page anyhow is set a little tighter, no more
            usual = data
    return usual


def _laid_out(
    one: SidePaper, about: About, story: Callable[[SidePaper], list[Any]]
) -> tuple[bytes, int]:
    return lay_out_counted(lambda _: story(one), about, Pages({}))


def _about(head: PaperHead, words: Words, reference: str, title: str, paper: str) -> About:
    job = head.job
    currency = get_currency_name(job.terms.currency, count=2, locale=written_in())
    foot = (", ".join(job.workshop.address), shared.PRICES_IN.format(currency=currency))
    said = [shared.UNCONFIRMED.format(mark=shared.UNCONFIRMED_MARK)] if head.unconfirmed else []
    said.append(english_note(words, head.partly_english))
    return About(
        sender=job.workshop.name,
        reference=reference,
        foot=_BETWEEN.join(filter(None, foot)),
        title=f"{reference} \u00b7 {title}",
        subject=job.machine.serial,
        language=tag(),
        day=job.date,
        locale=str(words.locale),
        paper=paper,
        note=" ".join(filter(None, said)),
    )
