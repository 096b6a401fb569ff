"""Rebuild or new against published examples: the source stands beside each figure.

PEEA: Principles of Engineering Economic Analysis, 5th edition, chapter 11, examples as reproduced
in its lecture slides; answers there are made with table factors of five figures.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from estimator.domain.rebuild_or_new.annual import (
    equivalent_annual_cost,
    payment,
    present_factor,
    recovery_factor,
    worth_of_payments,
)
from estimator.domain.rebuild_or_new.carbon import (
    FUEL_FACTORS,
    MATERIAL_FACTORS,
    US_GALLON,
    of_fuel,
    of_material,
)
from estimator.domain.rebuild_or_new.reckoning import Case, break_even, new_side, rebuilt_side

TABLES = Decimal("0.1")  # tolerance against answers made with table factors
CENT = Decimal("0.01")


def case(**figures: str) -> Case:
    """A case in which all that is not named is nothing; one hour a year makes hours years."""
    plain = dict.fromkeys(Case.__dataclass_fields__, Decimal(0))
    plain |= {"hours_a_year": Decimal(1), "life_new": Decimal(1), "life_rebuilt": Decimal(1)}
    return Case(**{**plain, **{name: Decimal(value) for name, value in figures.items()}})


def present(flows: list[int], rate: str) -> Decimal:
    """Present value of costs at the end of each year, the first now."""
    at = Decimal(rate)
    return sum((flow * present_factor(at, Decimal(n)) for n, flow in enumerate(flows)), Decimal(0))


def per_year(flows: list[int], rate: str) -> Decimal:
    return equivalent_annual_cost(present(flows, rate), Decimal(rate), Decimal(len(flows) - 1))


# Yearly cost


def test_peea_11_9_the_old_machine_is_kept() -> None:
    """EUAC(2-1) at 16.67 %, 5 years: 450,000(A|P) - 200,000(A|F) - 110,000 = 889.06 (by PMT)."""
    challenger = case(
        new_price="450000", interest="0.1667", life_new="5", residual_new=str(Decimal(4) / 9),
        upkeep_new="-110000",
    )  # fmt: skip
    assert abs(new_side(challenger).per_year - Decimal("889.06")) < CENT


def test_peea_11_10_the_old_press_is_replaced() -> None:
    """At 15 %, 5 years: -27,000 now, +7,000 a year, +10,000 at the end: -428.56 (table factors),
    -428.6356 reckoned."""
    flows = [27_000, -7_000, -7_000, -7_000, -7_000, -17_000]
    assert abs(per_year(flows, "0.15") - Decimal("-428.56")) < TABLES
    assert abs(per_year(flows, "0.15") - Decimal("-428.6356")) < CENT
    challenger = case(
        new_price="36000", trade_in="9000", interest="0.15", life_new="5",
        residual_new=str(Decimal(10_000) / 36_000), upkeep_new="-7000",
    )  # fmt: skip
    assert abs(new_side(challenger).per_year - Decimal("-428.6356")) < CENT


def test_peea_11_3_a_forecast_turns_the_answer() -> None:
    """At 15 %, 10 years: keep and replace after 5 years 8,532.30, replace now 8,615.20."""
    keep = [0, 7_000, 8_000, 9_000, 10_000, 11_000 - 2_000 + 31_000,
            0, 1_000, 2_000, 3_000, 4_000 - 15_000]  # fmt: skip
    now = [27_000, *(1_000 * n for n in range(9)), 9_000 - 3_000]
    assert abs(per_year(keep, "0.15") - Decimal("8532.30")) < TABLES
    assert abs(per_year(now, "0.15") - Decimal("8615.20")) < TABLES


@pytest.mark.parametrize(
    ("capital", "kept_a_year", "first", "more", "growth", "rate", "best"),
    [
        (20_000, "0", 2_500, 2_500, "1", "0.015", 4),  # PEEA 11.18 (d)
        (10_000, "0.8", 2_500, 0, "1.1", "0.15", 7),  # (e)
        (10_000, "0.75", 2_500, 0, "1.1", "0.15", 8),  # (f)
    ],
)
def test_peea_11_18_the_economic_life(
    capital: int, kept_a_year: str, first: int, more: int, growth: str, rate: str, best: int
) -> None:
    at, left = Decimal(rate), Decimal(kept_a_year)

    def yearly(years: int) -> Decimal:
        upkeep = ((first + more * n) * Decimal(growth) ** n for n in range(years))
        spent = sum((cost * present_factor(at, Decimal(n + 1)) for n, cost in enumerate(upkeep)),
                    Decimal(capital))  # fmt: skip
        salvage = capital * left**years * present_factor(at, Decimal(years))
        return equivalent_annual_cost(spent - salvage, at, Decimal(years))

    assert min(range(1, 26), key=yearly) == best


# Cost per hour


def test_ep_1110_1_8_depreciation_per_hour() -> None:
    """EP 1110-1-8, volume 8, 31 July 2003, figure 2-1, page 2: a scraper of 20,000 h depreciates by
    46.78 an hour: [1,181,907 x (1 - 0.20) - 0.944 x 10,560] / 20,000."""
    list_price, discount, tax, freight = 1_197_389, 89_804, 64_240, 10_082
    whole = list_price - discount + tax + freight
    assert whole == 1_181_907
    tyres = Decimal("0.944") * 10_560
    side = new_side(
        case(new_price=str(whole), residual_new="0.20", trade_in=str(tyres), life_new="20000",
             hours_a_year="1540")
    )  # fmt: skip
    assert abs(side.per_hour - Decimal("46.78")) < CENT
    assert round(side.years, 2) == Decimal("12.99")


def test_break_even_is_where_both_come_to_the_same() -> None:
    """The figures of the project's own notes on the trade: R* = L (c_new - c_run) + S - H."""
    known = case(
        rebuild_price="328170", new_price="779000", price_now="779000", life_rebuilt="8000",
        life_new="12000", hours_a_year="800", residual_rebuilt="0.05", residual_new="0.2",
        weeks_rebuild="13", hire_week="2500", upkeep_rebuilt="12", upkeep_new="8",
    )  # fmt: skip
    rebuilt, new = rebuilt_side(known), new_side(known)
    c_new = (Decimal(779_000) - Decimal(155_800)) / 12_000 + 8
    assert break_even(rebuilt, new) == 8000 * (c_new - 12) + Decimal("38950") - 13 * 2500


# The library of the profession


def test_payments_as_published() -> None:
    """numpy-financial's documentation: pmt(0.075/12, 12*15, 200000) = -1854.0247200054619."""
    monthly = payment(Decimal(200_000), Decimal("0.075"), Decimal(180))
    assert abs(monthly - Decimal("1854.0247200054619")) < Decimal("1e-9")


@pytest.mark.parametrize("rate", [0.001, 0.015, 0.06, 0.15, 0.35])
@pytest.mark.parametrize("years", [1, 2.5, 7, 13])
def test_formulae_agree_with_numpy_financial(rate: float, years: float) -> None:
    library = pytest.importorskip("numpy_financial")
    at, n = Decimal(str(rate)), Decimal(str(years))
    assert float(recovery_factor(at, n)) == pytest.approx(-library.pmt(rate, years, 1), rel=1e-12)
    assert float(present_factor(at, n)) == pytest.approx(-library.pv(rate, years, 0, 1), rel=1e-12)
    month = (1 + rate) ** (1 / 12) - 1
    worth = float(worth_of_payments(Decimal(100), at, n * 12))
    assert worth == pytest.approx(-library.pv(month, years * 12, 100), rel=1e-10)


def test_present_values_agree_with_numpy_financial() -> None:
    """Its documentation: npv(0.281, [-100, 39, 59, 55, 20]) = -0.0084785916384548798."""
    flows = [-100, 39, 59, 55, 20]
    assert abs(present(flows, "0.281") - Decimal("-0.0084785916384548798")) < Decimal("1e-12")


# Carbon


def test_diesel_is_the_hubs_factor_per_litre() -> None:
    """US EPA, Emission Factors for Greenhouse Gas Inventories, January 2025, mobile combustion CO2:
    10.21 kg per US gallon; a gallon is 3.785411784 litres (NIST SP 811)."""
    factor = FUEL_FACTORS["EPA 2025 diesel"]
    assert Decimal("3.785411784") == US_GALLON
    assert factor.value == Decimal("2.6972")
    assert (factor.gas, factor.gwp, factor.edition) == ("CO2", "", "January 2025")
    assert of_fuel(US_GALLON * 100, factor) == pytest.approx(Decimal(1021), abs=Decimal("0.01"))


def test_other_factors_are_the_tables() -> None:
    """UK Government 2024, mineral diesel 2.66155 kg CO2e/L (second-hand); IPCC 2019, crude steel:
    oxygen furnace 1.58, arc furnace 0.18 t CO2 per t (process CO2 alone)."""
    british = FUEL_FACTORS["UK 2024 mineral diesel"]
    assert (british.value, british.gas) == (Decimal("2.66155"), "CO2e")
    assert "AR5" in british.gwp
    values = {name: one.value for name, one in MATERIAL_FACTORS.items()}
    assert values == {"IPCC 2019 steel, oxygen furnace": Decimal("1.58"),
                      "IPCC 2019 steel, arc furnace": Decimal("0.18")}  # fmt: skip
    for one in MATERIAL_FACTORS.values():
        assert of_material(Decimal(1000), one) == 1000 * one.value
        assert one.gas == "CO2" and "process CO2" in one.covers


def test_no_factor_of_co2e_is_without_its_set_of_warming_potentials() -> None:
    for one in (*FUEL_FACTORS.values(), *MATERIAL_FACTORS.values()):
        assert (one.gas == "CO2e") == bool(one.gwp)
        assert one.edition and one.source and one.covers
