"""The classes of machine as they are chosen among: by family and mass, and found by what is typed.
No Qt."""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.domain.catalogue.rows import MachineClass

KG_PER_TONNE = 1000
_MASS = re.compile(r"(?<![\w.,])(\d+(?:[.,]\d+)?)\s*t?(?!\w)")


def in_order(classes: Iterable[MachineClass]) -> list[MachineClass]:
    """Classes by family, the lighter ones first."""
    return sorted(classes, key=lambda one: (one.family.casefold(), one.mass_from_kg, one.id))


def class_words(one: MachineClass, say: Formats) -> str:
    """A class as one reads it."""
    return _("{type}, {low} to {high} t").format(
        type=one.type,
        low=say.number(one.mass_from_kg / KG_PER_TONNE),
        high=say.number(one.mass_to_kg / KG_PER_TONNE),
    )


def class_found(classes: Iterable[MachineClass], typed: str, say: Formats) -> str:
    """Code of the class that typed words speak of, "" for none.

    Each word stands in its code, family or type; a number such as "20 t" is its mass. Of several it
    is the one whose band holds that mass or comes nearest to it, the first where none is typed.
    """
    text = typed.casefold()
    mass = _MASS.search(text)
    words = (text if mass is None else text.replace(mass[0], " ", 1)).split()
    fits = [one for one in in_order(classes) if all(word in _said(one, say) for word in words)]
    if not fits or not (words or mass):
        return ""
    if mass is None:
        return fits[0].id
    kg = Decimal(mass[1].replace(",", ".")) * KG_PER_TONNE
    return min(fits, key=lambda one: (_apart(one, kg), abs(one.operating_mass_kg - kg))).id


def _said(one: MachineClass, say: Formats) -> str:
    return f"{one.id} {one.family} {class_words(one, say)}".casefold()


def _apart(one: MachineClass, kg: Decimal) -> Decimal:
    """By how much a mass lies outside the band of a class."""
    return max(one.mass_from_kg - kg, kg - one.mass_to_kg, Decimal(0))
