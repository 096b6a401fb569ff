"""Carbon: mass of parts used again, and the difference of fuel, each by a stated factor.

Method: kilograms x factor and litres x factor, nothing else. It is no account of a whole machine:
making it, carrying it, the work on it and its end are not in these two figures. Factors are copied
from published tables with their edition; those that only count CO2 say so.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from estimator.domain.new_machine import Factor

US_GALLON = Decimal("3.785411784")  # litres, exact (NIST SP 811)
_DIESEL_GALLON = Decimal("10.21")  # kg CO2 per US gallon

FUEL_FACTORS: Mapping[str, Factor] = {
    "EPA 2025 diesel": Factor(
        value=(_DIESEL_GALLON / US_GALLON).quantize(Decimal("0.0001")),
        gas="CO2",
        covers="diesel burnt; CO2 alone, without methane, nitrous oxide and supply",
        gwp="",
        edition="January 2025",
        source="US EPA, Emission Factors for Greenhouse Gas Inventories, mobile combustion: "
        "10.21 kg per US gallon",
    ),
    "UK 2024 mineral diesel": Factor(
        value=Decimal("2.66155"),
        gas="CO2e",
        covers="mineral diesel burnt, without supply",
        gwp="IPCC AR5, 100 years",
        edition="2024",
        source="UK Government conversion factors, second-hand",
    ),
}
MATERIAL_FACTORS: Mapping[str, Factor] = {
    "IPCC 2019 steel, oxygen furnace": Factor(
        value=Decimal("1.58"),
        gas="CO2",
        covers="process CO2 of crude steel alone, without mining, power, casting or machining: "
        "less than a new part",
        gwp="",
        edition="2019 refinement",
        source="IPCC guidelines, volume 3, chapter 4",
    ),
    "IPCC 2019 steel, arc furnace": Factor(
        value=Decimal("0.18"),
        gas="CO2",
        covers="process CO2 of crude steel alone, without power: less than a new part",
        gwp="",
        edition="2019 refinement",
        source="IPCC guidelines, volume 3, chapter 4",
    ),
}


def of_material(kilograms: Decimal, factor: Factor) -> Decimal:
    """Kilograms of gas that making so much material anew gives off."""
    return kilograms * factor.value


def of_fuel(litres: Decimal, factor: Factor) -> Decimal:
    """Kilograms of gas that burning so much fuel gives off."""
    return litres * factor.value
