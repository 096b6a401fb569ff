"""What every section of the quote writes with: the quote, its formats, clauses and paragraphs."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from estimator.documents.grammar import labels
from estimator.documents.grammar.page import Pages
from estimator.documents.grammar.paper import Paper
from estimator.documents.grammar.wording import Words, apart, listed, odds, unit_of, within
from estimator.domain.money import Money, money_half_up, money_sum
from estimator.domain.priced_job import PricedJob
from estimator.domain.quote import ClauseText, Quote
from estimator.domain.quote_length import SHORT
from estimator.domain.scope import ScopeLine
from estimator.domain.tax import Totals
from estimator.domain.totals import Price

_FILL_IN = re.compile(r"\{(\w+)\}")
_PAGES = {"rates_page": "rates", "annex_page": "annex"}
_UNSEEN_NAMED = 3
_NOT_HELD_NAMED = 2  # on the first page; more stand in the annex
_FIXED, _NAMED = "fixed price", "base and named contingency"


@dataclass(frozen=True)
class Sheet(Paper):
    """A quote on its way to paper."""

    quote: Quote
    words: Words
    pages: Pages

    @property
    def priced(self) -> PricedJob:
        """The priced job behind the quote."""
        return self.quote.priced

    @property
    def price(self) -> Price:
        """Its price."""
        return self.priced.price

    @property
    def fixed(self) -> bool:
        """Whether it is one fixed price: nothing in it moves, so no part of it is set apart."""
        return self.priced.job.terms.commercial_form == _FIXED

    @property
    def form(self) -> str:
        """Its commercial form, as the sections of its clauses are named."""
        form = self.priced.job.terms.commercial_form
        if form == _NAMED and not self.price.contingency:
            return "form without contingency"
        return f"form {form}"

    @property
    def not_held_in_annex(self) -> bool:
        """Whether the kinds of work for which nothing is held are too many for the first page."""
        return len(self.quote.not_held) > _NOT_HELD_NAMED and self.quote.length != SHORT

    @property
    def charges_held(self) -> Money:
        """Charges for all exchange units together."""
        currency = self.priced.job.terms.currency
        return money_sum(
            (money_half_up(one.charge_each.amount * one.quantity, currency)
             for one in self.quote.exchange_units), currency,
        )  # fmt: skip

    def clauses(self, section: str) -> list[str]:
        """Texts of a section in order, sums and dates filled in."""
        return [self._marked(one) for one in self.quote.clauses.get(section, ())]

    def _marked(self, clause: ClauseText) -> str:
        """A clause filled in; one that nobody has confirmed with a quiet mark behind it."""
        mark = f"\u2060{labels.UNCONFIRMED_MARK}" if clause.unconfirmed else ""
        return self.filled(clause.text) + mark

    def clause(self, section: str) -> str:
        """All texts of a section as one paragraph."""
        return " ".join(self.clauses(section))

    def formed(self, section: str) -> list[str]:
        """Texts of a section as this commercial form has them, else as all forms do."""
        return self.clauses(f"{self.form}: {section}") or self.clauses(section)

    def filled(self, text: str) -> str:
        """`text` with sums, dates and names in the place of {names in braces}."""
        return _FILL_IN.sub(self._fill_in, text)

    def _fill_in(self, match: re.Match[str]) -> str:
        if match[1] in _PAGES:
            return str(self.pages.of(_PAGES[match[1]]))
        return self._values.get(match[1], match[0])

    @cached_property
    def _values(self) -> Mapping[str, str]:
        quote, job, words = self.quote, self.priced.job, self.words
        offer = quote.teardown
        return {
            "contingency": words.money(self.price.contingency),
            "inspected": words.day(job.inspected),
            "unseen": self._unseen_names(),
            "largest_groups": self._largest_groups(),
            "odds": odds(job.terms.confidence),
            "found_faulty": self._found_faulty(),
            "charges_held": words.money(self.charges_held),
            "order_by": words.day(quote.order_by),
            "valid_until": words.day(quote.valid_until),
            "storage_per_day": words.money(offer.storage_per_day),
            "report_day": words.day(offer.report_day),
            "boxed_return": words.money(offer.boxed_return.net),
            "reassembly": words.money(offer.reassembly.net),
            "longest_days": str(offer.longest_days),
            "destroyed": apart(within(name) for name in offer.destroyed),
        }

    def _found_faulty(self) -> str:
        if self.fixed:
            return labels.FOUND_AT_OUR_RISK
        return labels.FOUND_FROM_CONTINGENCY if self.price.contingency else labels.FOUND_AGREED

    def _unseen_names(self) -> str:
        names = [within(name) for name in self.quote.unseen]
        shown = listed(names[:_UNSEEN_NAMED])
        if len(names) <= _UNSEEN_NAMED:
            return shown
        return labels.AND_OTHERS.format(names=shown, count=len(names) - _UNSEEN_NAMED)

    def _largest_groups(self) -> str:
        return ", ".join(
            f"{within(name)}\u00a0({self.words.money(amount)})"
            for name, amount in self.quote.most_of_it
        )

    def taxes(self, totals: Totals) -> list[tuple[str, Money, Money]]:
        """Each tax of a total as (name with rate, base, tax)."""
        rows = self.priced.cat.tax.values()
        found = []
        for tax in totals.taxes:
            names = [row.name for row in rows
                     if row.code == tax.category and row.rate_percent == tax.rate]  # fmt: skip
            name = names[0] if names else labels.TAX
            label = labels.TAX_RATE.format(name=name, rate=self.words.percent(tax.rate))
            found.append((label, tax.base, tax.tax))
        return found

    def exemptions(self) -> list[str]:
        """Reasons printed where a category bears no tax."""
        used = {(tax.category, tax.rate) for tax in self.price.totals.taxes}
        return [row.exemption for row in self.priced.cat.tax.values()
                if row.exemption and (row.code, row.rate_percent) in used]  # fmt: skip

    def sum_line(self, totals: Totals) -> str:
        """Net, tax and gross of an offer in one line."""
        taxes = " + ".join(
            f"{name} {self.words.money(tax, exact=True)}" for name, _, tax in self.taxes(totals)
        )
        return (
            f"{self.words.money(totals.net)} + {taxes} = "
            f"{self.words.money(totals.gross, exact=True)}"
        )

    def quantity(self, line: ScopeLine) -> str:
        """Quantity and unit of a line, kept together."""
        return f"{self.words.quantity(line.quantity)}\u00a0{unit_of(line.unit, line.quantity)}"

    def hours(self, values: Iterable[Decimal]) -> list[str]:
        """Hours of one column."""
        return self.words.column(values)
