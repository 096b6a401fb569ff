"""What the page rests on: carbon where it is given, every input with whose it is, the caution."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from estimator.documents.grammar import labels as shared
from estimator.documents.grammar.columns import Flow, Rule
from estimator.documents.grammar.told import told
from estimator.documents.quote import rebuild_or_new_labels as labels
from estimator.documents.quote.rebuild_or_new_paper import ComparisonPaper
from estimator.domain import new_machine as kinds
from estimator.domain.money import money_half_up
from estimator.domain.new_machine import INPUTS, KINDS, Input, input_of
from estimator.domain.rebuild_or_new.compared import Carbon

_RUN_ON, _NO_HEADINGS, _NO_SOURCES = 1, 3, 4  # how tight it must be for each


def basis(paper: ComparisonPaper) -> list[Any]:
    """Carbon, inputs, what is left out, and the caution."""
    lines = [
        _input_line(paper, name, value)
        for name in INPUTS
        if (value := input_of(paper.found.inputs, name)) is not None
    ]
    last = " ".join(filter(None, (_left_out(paper), labels.BEFORE_TAX)))
    return [
        *_carbon(paper),
        *_part(paper, labels.RESTS, "rests on", lines, 2),
        paper.text(last, "fine", before=1),
        Rule(before=3, after=2),
        paper.text(_caution(paper) or labels.NOT_ADVICE, "note"),
    ]


def _caution(paper: ComparisonPaper) -> str:
    """The clauses of the page; one that nobody has confirmed bears a quiet mark."""
    mark = f"\u2060{shared.UNCONFIRMED_MARK}"
    return " ".join(f"{one.text}{mark if one.unconfirmed else ''}" for one in paper.found.caution)


def _carbon(paper: ComparisonPaper) -> list[Any]:
    found = paper.found
    said = []
    if found.material is not None:
        said.append(_material(paper, found.material))
    if found.fuel is not None:
        said.append(_fuel(paper, found.fuel))
    if not said:
        return []
    return _part(paper, labels.CARBON, "carbon", [*said, labels.CARBON_METHOD], 1)


def _part(
    paper: ComparisonPaper, title: str, key: str, lines: list[str], columns: int
) -> list[Any]:
    """A heading with lines below it; run on, the heading among them, where room is scarce."""
    if paper.tight >= _NO_HEADINGS:
        return [paper.lead(f"{title}.", " ".join(lines), "fine", before=4)]
    heading = paper.section(title, key, name="part", before=5, need=40)
    if paper.tight >= _RUN_ON:
        return [*heading, paper.text(" ".join(lines), "fine")]
    return [*heading, Flow([paper.text(one, "fine", after=0.6) for one in lines], columns)]


def _whole(paper: ComparisonPaper, value: Decimal) -> str:
    return paper.words.number(abs(value), 0)


def _material(paper: ComparisonPaper, carbon: Carbon) -> str:
    said = labels.KEPT.format(
        kilograms=_whole(paper, carbon.amount), factor=paper.words.rate(carbon.factor.value),
        gas=carbon.factor.gas, result=_whole(paper, carbon.kilograms),
    )  # fmt: skip
    return f"{said} ({_factor(carbon)})."


def _fuel(paper: ComparisonPaper, carbon: Carbon) -> str:
    label = labels.BURNT_MORE if carbon.amount >= 0 else labels.BURNT_LESS
    said = label.format(
        litres=_whole(paper, carbon.amount), hours=paper.words.quantity(paper.found.rebuilt.hours),
        factor=paper.words.rate(carbon.factor.value), gas=carbon.factor.gas,
        result=_whole(paper, carbon.kilograms),
    )  # fmt: skip
    return f"{said} ({_factor(carbon)})."


def _factor(carbon: Carbon) -> str:
    factor = carbon.factor
    gwp = labels.GWP_OF.format(gwp=factor.gwp) if factor.gwp else labels.NO_GWP
    return str(
        labels.FACTOR_OF.format(
            covers=factor.covers, gwp=gwp, source=factor.source, edition=factor.edition
        )
    )


def _input_line(paper: ComparisonPaper, name: str, value: Input) -> str:
    words = paper.words
    said = labels.INPUT_LINE.format(
        title=told(KINDS[name].title, words), value=_written(paper, name, value)
    )
    source = told(value.source, words)
    if value.dated is not None:
        day = words.day(value.dated)
        source = labels.OF_DAY.format(source=source, day=day) if source else day
    origin = labels.ORIGINS.get(value.origin, value.origin)
    if source and paper.tight < _NO_SOURCES:
        origin = labels.INPUT_FROM.format(origin=origin, source=source)
    return f"{said} ({origin})."


def _written(paper: ComparisonPaper, name: str, value: Input) -> str:
    """A figure with its unit; low, likely and high where it has a spread."""
    unit = KINDS[name].unit
    ends = (value.low, value.likely, value.high) if value.spreads else (value.likely,)
    figures = " \u2013 ".join(_figure(paper, unit, one) for one in ends)
    label = {
        kinds.RATE: labels.A_YEAR, kinds.HOURS: labels.HOURS, kinds.MONTHS: labels.MONTHS,
        kinds.WEEKS: labels.WEEKS_OF, kinds.KILOGRAMS: labels.KILOGRAMS,
        kinds.LITRES: labels.LITRES, kinds.PER_HOUR: labels.AN_HOUR,
        kinds.PER_LITRE: labels.A_LITRE,
    }.get(unit, "{value}")  # fmt: skip
    return str(label.format(value=figures))


def _figure(paper: ComparisonPaper, unit: str, value: Decimal) -> str:
    words = paper.words
    if unit in (kinds.MONEY, kinds.PER_HOUR, kinds.PER_LITRE):
        amount = money_half_up(value, paper.found.inputs.currency)
        if unit != kinds.PER_LITRE or amount.amount == value:
            return words.money(amount)
        # Fuel is priced finer than the minor unit in some countries.
        return f"{words.rate(value)} {words.symbol}"
    if unit in (kinds.SHARE, kinds.RATE):
        return words.share(value, 2)
    return words.quantity(value)


def _left_out(paper: ComparisonPaper) -> str:
    found = paper.found
    names = [
        name
        for name, counted in (
            (labels.FUEL_LEFT, found.fuel_counted),
            (labels.UPKEEP_LEFT, found.upkeep_counted),
            (labels.WAITING_LEFT, found.waiting_counted),
            (labels.TRADE_LEFT, found.inputs.trade_in is not None),
        )
        if not counted
    ]
    return str(labels.LEFT_OUT.format(names=", ".join(names))) if names else ""
