"""Variations from files: TOML or JSON, [[variation]] with its lines, ways and range, or a CSV table
(`variation_table`)."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

from estimator.domain.contract.remeasure import Wanted
from estimator.domain.contract.variation import CAUSES, ENDS, WAYS, Range, WayOffered
from estimator.domain.money import Money
from estimator.domain.problem import Place, Problem
from estimator.domain.scope_line import KINDS, LABOUR
from estimator.intake.contract_files import money, money_or_none, read_data
from estimator.intake.sections import Section
from estimator.intake.variation_table import read_table_of_variations
from estimator.intake.written_variation import (
    MUST,
    SUMS,
    TEXTS,
    WrittenLine,
    WrittenMeasure,
    WrittenVariation,
    rising,
)


def read_variations(
    path: Path, currency: str, *, pricing: bool = False
) -> tuple[list[WrittenVariation], list[Problem]]:
    """Variations of a file, and every fault. With `pricing` it is one that was raised before, so
    that only what changes need be given."""
    if path.suffix in (".toml", ".json"):
        found, problems = _of_sections(path, currency, pricing=pricing)
    else:
        found, problems = read_table_of_variations(path, currency, pricing=pricing)
    if not found and not problems:
        problems = [
            Problem("empty-file", Place(path.name), "holds no variation.", "Write [[variation]].")
        ]
    if pricing and len(found) > 1:
        said = "holds more than one variation."
        problems.append(Problem("several", found[1].place, said, "Price one after the other."))
    return found, problems


def _of_sections(
    path: Path, currency: str, *, pricing: bool
) -> tuple[list[WrittenVariation], list[Problem]]:
    data, problems = read_data(path)
    if data is None:
        return [], problems
    top = Section(path.name, "", data, problems)
    found = [_variation(part, currency, pricing=pricing) for part in top.sections("variation")]
    top.close()
    return found, problems


def _variation(part: Section, currency: str, *, pricing: bool) -> WrittenVariation:
    cells: dict[str, Any] = {}
    choices = {"cause": CAUSES, "end": ENDS, "chosen": WAYS}
    for name in (*MUST, *TEXTS, "chosen"):
        if name in part.data or (name in MUST and not pricing):
            cells[name] = part.text(name, choices=choices.get(name, ()))
    for name in ("photographs", "parts"):
        if name in part.data:
            cells[name] = part.texts(name)
    for name in ("answer_by", "waiting_from"):
        cells[name] = part.day_or_none(name)
    for name in SUMS:
        cells[name] = money_or_none(part, name, currency)
    cells["days"] = part.number_or_none("days", low=0, high=500)
    cells["safety"] = _flag(part, "safety")
    range_ = _range(part, currency)
    if range_ is not None:
        cells["range"] = range_
    if ways := tuple(_way(one, currency) for one in part.sections("way")):
        cells["ways"] = ways
    lines = tuple(_line(one) for one in part.sections("line"))
    measured = tuple(_measure(one) for one in part.sections("measured_again"))
    part.close()
    given = {name: value for name, value in cells.items() if value is not None}
    return WrittenVariation(given, lines, measured, Place(part.file, None, f"[{part.name}]"))


def _flag(part: Section, key: str) -> bool | None:
    part.taken.add(key)
    value = part.data.get(key)
    if value is not None and not isinstance(value, bool):
        part.fault(key, "bad-entry", f"is {str(value)[:40]!r}.", "Write true or false.")
        return None
    return value


def _range(part: Section, currency: str) -> Range | None:
    if "range" not in part.data:
        return None
    inner, before = part.section("range"), len(part.problems)
    sums: list[Money | None] = [money(inner, name, currency) for name in ("low", "likely", "high")]
    inner.close()
    if len(part.problems) > before:
        return None
    return rising(sums, lambda said: inner.fault("likely", "bad-entry", said, "Let them rise."))


def _way(part: Section, currency: str) -> WayOffered:
    way = WayOffered(
        way=part.text("way", choices=WAYS),
        what=part.text("what"),
        amount=money(part, "amount", currency),
        days=part.number("days", Decimal(0), low=0, high=500),
        warranty=part.text("warranty", ""),
        note=part.text("note", ""),
    )
    part.close()
    return way


def _line(part: Section) -> WrittenLine:
    kind = part.text("kind", choices=KINDS)
    bought = kind in KINDS and kind != LABOUR
    wanted = Wanted(
        kind=kind,
        what=part.text("what"),
        quantity=part.number("quantity", low=0),
        unit=part.text("unit", ""),
        trade=part.text("trade", "" if bought else None),
        unit_cost=part.number("unit_cost", None if bought else Decimal(0), low=0),
        currency=part.currency("currency") if "currency" in part.data else "",
        markup=part.text("markup", None if bought else ""),
        part=part.text("part", ""),
    )
    part.close()
    return WrittenLine(wanted, Place(part.file, None, f"[{part.name}]"))


def _measure(part: Section) -> WrittenMeasure:
    factor = part.number_or_none("factor", low=0, high=100)
    quantity = part.number_or_none("quantity", low=0)
    row = part.text("line")
    if (factor is None) == (quantity is None):
        said = "needs either a quantity or a factor."
        part.fault("quantity", "bad-entry", said, "Give one of the two.")
    value = factor if factor is not None else quantity
    part.close()
    place = Place(part.file, None, f"[{part.name}]")
    return WrittenMeasure(row, value or Decimal(0), factor is not None, place)
