"""A new machine class by scaling from a like one: its own rows, as proposals to look at.

Hours and costs of shared rows scale by themselves. What is copied is what stands under the like
class alone: its row, the masses of its large pieces, rows that need its code or its type, and the
names of these in other languages. Pieces go with operating mass; litres, kilograms and metres with
mass ^ 0.8, the exponent of costs (judged, no published source). Every copied row is a starting
value and says what it was scaled from.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

from estimator.domain.catalogue.catalogue import TABLES, Catalogue
from estimator.domain.catalogue.changes import RowChange, columns
from estimator.domain.catalogue.name_rows import CatalogueName
from estimator.domain.catalogue.own_values import STARTING
from estimator.domain.catalogue.rows import ClassMass, MachineClass, Row
from estimator.domain.money import round_half_up

QUANTITY_EXPONENT = Decimal("0.8")
_PIECES = ("each", "set", "pair", "kit", "job")  # bought whole: their cost scales, not their number
_QUANTITIES = ("quantity", "quantity_low", "quantity_high")
_MASS_STEP, _BAND_STEP = Decimal(10), Decimal(500)
_LARGE = 100  # quantities from here are proposed in tens


@dataclass(frozen=True, slots=True)
class WantedClass:
    """A class as somebody wants it. Blank traits are those of the like class."""

    id: str
    type: str
    operating_mass_kg: Decimal
    net_power_kw: Decimal
    new_price_low: Decimal
    new_price_likely: Decimal
    new_price_high: Decimal
    price_date: date
    traits: tuple[str, ...] = ()


def class_from(catalogue: Catalogue, like: str, wanted: WantedClass) -> tuple[RowChange, ...]:
    """The rows that a class like `like` needs. Raises UnknownClass."""
    there = catalogue.machine_class(like)
    ratio = wanted.operating_mass_kg / there.operating_mass_kg
    told = f"scaled from {like} by mass, {ratio:.3f}; look at it"
    changes = [RowChange("classes", None, _class_row(there, wanted, ratio))]
    changes += _masses(catalogue, there, wanted, ratio, told)
    changes += _rows_of_its_own(catalogue, there, wanted, ratio, told)
    changes += _names(catalogue, there, wanted)
    return tuple(changes)


def _class_row(there: MachineClass, wanted: WantedClass, ratio: Decimal) -> MachineClass:
    low = round_half_up(there.mass_from_kg * ratio, _BAND_STEP)
    high = round_half_up(there.mass_to_kg * ratio, _BAND_STEP)
    return replace(
        there,
        id=wanted.id,
        type=wanted.type,
        traits=wanted.traits or there.traits,
        mass_from_kg=min(low, wanted.operating_mass_kg),
        mass_to_kg=max(high, wanted.operating_mass_kg),
        operating_mass_kg=wanted.operating_mass_kg,
        net_power_kw=wanted.net_power_kw,
        new_price_low=wanted.new_price_low,
        new_price_likely=wanted.new_price_likely,
        new_price_high=wanted.new_price_high,
        price_date=wanted.price_date,
        origin="own",
        source=f"mass, power and prices as entered; the rest as {there.id}",
    )


def _masses(
    catalogue: Catalogue, there: MachineClass, wanted: WantedClass, ratio: Decimal, told: str
) -> Iterator[RowChange]:
    every = catalogue.table("class_masses", ClassMass)
    mine = [row for row in every if row.class_id == there.id]
    for place, row in enumerate(mine, start=len(every)):  # after all others, in their order
        mass = max(round_half_up(row.mass_kg * ratio, _MASS_STEP), _MASS_STEP)
        made = replace(row, class_id=wanted.id, mass_kg=mass, origin=STARTING, source=told)
        yield RowChange("class_masses", None, made, place)


def _rows_of_its_own(
    catalogue: Catalogue, there: MachineClass, wanted: WantedClass, ratio: Decimal, told: str
) -> Iterator[RowChange]:
    """Copies of rows that need the like class, and `!` of the new one beside `!` of the like."""
    named = {there.id} if wanted.type == there.type else {there.id, there.type}
    barred = {f"!{name}" for name in named}
    for table in TABLES:
        for row in catalogue.table(table, TABLES[table]):
            if isinstance(row, MachineClass | ClassMass):
                continue
            if named & set(row.needs):
                needs = tuple(wanted.id if one in named else one for one in row.needs)
                made = _scaled_quantities(row, ratio, wanted.id)
                made = replace(made, needs=tuple(dict.fromkeys(needs)), origin=STARTING,
                               source=told)  # fmt: skip
                yield RowChange(table, None, made)
            elif barred & set(row.needs):
                yield RowChange(table, row, replace(row, needs=(*row.needs, f"!{wanted.id}")))


def _scaled_quantities(row: Row, ratio: Decimal, home: str) -> Row:
    """The row with litres and the like carried to the size; their cost stays as it is there."""
    unit = getattr(row, "unit", "")
    if not hasattr(row, "quantity") or unit in _PIECES:
        return row
    names = set(columns(type(row)))
    factor = ratio**QUANTITY_EXPONENT
    found: dict[str, Any] = {
        name: _proposed(value * factor)
        for name in _QUANTITIES
        if name in names and (value := getattr(row, name)) is not None and value > 0
    }
    if "at_class" in names:
        found["at_class"] = home
    return replace(row, **found)


def _proposed(value: Decimal) -> Decimal:
    step = Decimal(10) if value >= _LARGE else Decimal(1) if value >= 1 else Decimal("0.1")
    return max(round_half_up(value, step), step)


def _names(catalogue: Catalogue, there: MachineClass, wanted: WantedClass) -> Iterator[RowChange]:
    """Names of the pieces, and of the type where it is the same word, in every language."""
    for language, rows in catalogue.names.items():
        for row in rows:
            of_class = row.table in ("classes", "class_masses") and row.id == there.id
            if of_class and (row.table != "classes" or row.english == wanted.type):
                copied: CatalogueName = replace(row, id=wanted.id)
                yield RowChange(f"names/{language}", None, copied)
