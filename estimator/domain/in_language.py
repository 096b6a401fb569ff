"""A priced job or work with its names in a language, so that whoever prints it need not ask.

Figures, codes and everything the estimator typed stay as they are. What the language lacks stays
English.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TypeVar

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.names import Key, catalogue_in, names_in, row_in
from estimator.domain.exposure.cost_when_worn import ExposedPart
from estimator.domain.exposure.found_work import Found
from estimator.domain.priced_job import PricedJob
from estimator.domain.priced_work import PricedWork
from estimator.domain.pricing import PricedLine
from estimator.domain.scope_line import LABOUR, OUTWORK, PARTS, ScopeLine
from estimator.domain.teardown import ReturnOffer, TeardownOffer
from estimator.domain.totals import Price
from estimator.domain.wording import Put, Worded, with_values

_TABLES = {LABOUR: "operations", PARTS: "parts", OUTWORK: "outwork"}
Priced = TypeVar("Priced", PricedJob, PricedWork)


def in_language(priced: Priced, language: str) -> Priced:
    """The priced job or work with its catalogue's names in a language."""
    names = names_in(priced.cat.catalogue, language)
    if not names:
        return priced
    cat = catalogue_in(priced.cat, language)
    said = replace(
        priced,
        cat=cat,
        lines=_priced_lines(priced.lines, names),
        exposed=tuple(_exposed(one, priced.cat, cat) for one in priced.exposed),
        found=tuple(_found(one, names) for one in priced.found),
    )
    if isinstance(said, PricedJob):
        return replace(said, price=_price(said.price, cat))
    return said


def offer_in(offer: TeardownOffer, cat: ClassCatalogue, language: str) -> TeardownOffer:
    """A teardown offer that was made with the English `cat`, with its names in a language."""
    names = names_in(cat.catalogue, language)
    if not names:
        return offer
    parts = {row.name: row_in(row, "parts", names).name for row in cat.parts.values()}
    return replace(
        offer,
        lines=_priced_lines(offer.lines, names),
        boxed_return=_return_in(offer.boxed_return, names),
        reassembly=_return_in(offer.reassembly, names),
        destroyed=tuple(parts.get(name, name) for name in offer.destroyed),
    )


def _return_in(offer: ReturnOffer, names: Mapping[Key, str]) -> ReturnOffer:
    return replace(offer, lines=_priced_lines(offer.lines, names))


def _priced_lines(
    lines: tuple[PricedLine, ...], names: Mapping[Key, str]
) -> tuple[PricedLine, ...]:
    return tuple(_priced_line(one, names) for one in lines)


def _priced_line(one: PricedLine, names: Mapping[Key, str]) -> PricedLine:
    return replace(one, line=_line(one.line, names))


def _line(line: ScopeLine, names: Mapping[Key, str]) -> ScopeLine:
    before = line.worked_out
    if line.own is not None:
        return line
    row = row_in(line.row, _TABLES[line.kind], names)
    return replace(
        line,
        row=row,
        why=reworded(line.why, line.row.range_reason, row.range_reason),
        worked_out=None if before is None else _line(before, names),
    )


def reworded(text: str, english: str, said: str) -> str:
    """A text with `said` in the place of the text `english` that was put into it."""
    if english == said or not english:
        return text
    if text == english:
        return said
    if not isinstance(text, Worded):
        return text
    values: dict[str, Put] = {
        name: reworded(one, english, said) if isinstance(one, str) else one
        for name, one in text.values.items()
    }
    if values == text.values:
        return text
    return with_values(text, values)


def _exposed(one: ExposedPart, before: ClassCatalogue, cat: ClassCatalogue) -> ExposedPart:
    known = before.parts.get(one.part)
    if known is None or one.name != known.name:
        return one
    return replace(one, name=cat.parts[one.part].name)


def _found(one: Found, names: Mapping[Key, str]) -> Found:
    return replace(one, row=row_in(one.row, "found_work", names))


def _price(price: Price, cat: ClassCatalogue) -> Price:
    return replace(
        price,
        groups=tuple(replace(one, name=cat.groups[one.group].name) for one in price.groups),
        levies=tuple(replace(one, name=cat.levies[one.id].name) for one in price.levies),
    )
