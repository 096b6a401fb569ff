"""A new machine with every input given, for tests of every room."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from estimator.domain.new_machine import (
    CUSTOMER,
    SUPPLIER,
    TYPED,
    Input,
    NewMachine,
)
from estimator.domain.rebuild_or_new.carbon import FUEL_FACTORS, MATERIAL_FACTORS


def one(value: str, origin: str = TYPED, source: str = "") -> Input:
    """A figure without a spread."""
    return Input(Decimal(value), Decimal(value), Decimal(value), origin, source)


def spread(low: str, likely: str, high: str, origin: str = TYPED, source: str = "") -> Input:
    """A figure with its low and high end."""
    return Input(Decimal(low), Decimal(likely), Decimal(high), origin, source)


FULL = NewMachine(
    "GBP",
    new_price=Input(Decimal(455_000), Decimal(455_000), Decimal(455_000), SUPPLIER,
                    "quotation of Marlow Plant", date(2026, 11, 12)),
    lead_weeks=spread("18", "22", "30", SUPPLIER, "Marlow Plant"),
    trade_in=one("38000", CUSTOMER), life_new=one("14000"),
    life_rebuilt=one("8000", CUSTOMER, "wanted"),
    hours_a_year=one("1800", CUSTOMER, "meter readings"), interest=one("0.065"),
    residual_new=spread("0.1", "0.2", "0.25"), residual_rebuilt=spread("0.05", "0.1", "0.12"),
    fuel_rebuilt=one("19.5", CUSTOMER), fuel_new=one("17.2", SUPPLIER), fuel_price=one("1.08"),
    upkeep_rebuilt=one("9.4"), upkeep_new=one("6.8"),
    hire_week=one("2150", CUSTOMER, "hire list"), lost_day=one("260", CUSTOMER),
    days_a_week=one("6"), financed_share=one("0.8", SUPPLIER),
    finance_rate=one("0.059", SUPPLIER), finance_months=one("60", SUPPLIER),
    reused_kg=one("19400"), fuel_factor=FUEL_FACTORS["UK 2024 mineral diesel"],
    material_factor=MATERIAL_FACTORS["IPCC 2019 steel, oxygen furnace"],
)  # fmt: skip
