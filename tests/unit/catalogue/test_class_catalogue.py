"""The catalogue as a class of machine sees it: rows that fit, scaled to its size."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.domain.catalogue.catalogue import UnknownClass, fits, for_class
from estimator.domain.catalogue.rows import Group
from tests.unit.changed import row_added, row_changed, row_of


@pytest.fixture(scope="module")
def two_sizes(catalogue):
    """The golden catalogue with a class of twice the mass and thrice the power beside its own."""
    home = row_of(catalogue, "classes", "WL28")
    larger = replace(
        home, id="WL56", operating_mass_kg=Decimal(56600), net_power_kw=home.net_power_kw * 3
    )
    return row_added(catalogue, "classes", larger)


@pytest.fixture(scope="module")
def larger(two_sizes):
    return for_class(two_sizes, "WL56")


def test_an_unknown_class_is_named(catalogue):
    with pytest.raises(UnknownClass, match="XX99"):
        for_class(catalogue, "XX99")


def test_at_home_every_row_stays_as_written(catalogue, cat):
    for table in ("operations", "parts", "outwork"):
        own = getattr(cat, table)
        for row in catalogue.tables[table]:
            if fits(row, cat.machine_class.all_traits):
                assert own[row.id] == row
    offered = {remedy for ways in cat.remedies.values() for remedy in ways}
    assert offered == set(catalogue.tables["remedies"])


def test_the_factor_at_home_is_exactly_one_for_every_scaling(cat):
    assert {cat.scale_factors[scaling, "WL28"] for scaling, _ in cat.scale_factors} == {1}


@pytest.mark.parametrize(
    ("scaling", "wanted"),
    [
        ("H00", 1.0),
        ("C00", 1.0),
        ("H06", 2**0.6),
        ("C08", 2**0.8),
        ("HP4", 3**0.4),
        ("CP8", 3**0.8),
    ],
)
def test_the_factor_is_the_ratio_of_the_drivers_to_the_exponent(larger, scaling, wanted):
    factor = larger.scale_factors[scaling, "WL28"]
    assert float(factor) == pytest.approx(wanted, abs=5e-7)
    assert larger.scale_factors[scaling, "WL56"] == 1


@pytest.mark.parametrize(
    ("table", "code", "name", "wanted"),
    [
        ("operations", "O0003", "hours", "18"),  # 12 x 1.515717 = 18.19, to the half hour
        ("operations", "O0001", "hours", "6"),  # does not move with size
        ("operations", "O1003", "hours_low", "21"),  # 14 x 1.515717 = 21.22
        ("operations", "O1003", "hours_high", "69.5"),  # 46 x 1.515717 = 69.72
        ("parts", "P-TCK", "unit_cost", "12101"),  # 6,950 x 1.741101 = 12,100.65
        (
            "parts",
            "P-LIN",
            "unit_cost",
            "1902",
        ),  # 790 x 2.408225 = 1,902.50 less a fifth of a penny
        ("parts", "P-CON", "exchange_charge", "1567"),  # 900 x 1.741101 = 1,566.99
        ("parts", "P-TRD", "unit_cost", "0"),  # a carrier is never bought
        ("outwork", "W20", "cost_each", "1358"),  # 780 x 1.741101 = 1,358.06
    ],
)
def test_hours_and_costs_are_carried_to_the_larger_class(larger, table, code, name, wanted):
    assert getattr(getattr(larger, table)[code], name) == Decimal(wanted)


def test_quantities_and_days_do_not_move_with_size(larger, cat):
    for code, row in cat.parts.items():
        assert larger.parts[code].quantity == row.quantity
        assert larger.parts[code].lead_weeks == row.lead_weeks
    for code, row in cat.outwork.items():
        assert larger.outwork[code].turn_round_days == row.turn_round_days


@pytest.mark.parametrize("mass", ["10", "9000", "28300", "120000"])
def test_scaled_values_still_rise_from_low_to_high_and_never_vanish(two_sizes, mass):
    scaled = for_class(
        row_changed(two_sizes, "classes", "WL56", operating_mass_kg=Decimal(mass)), "WL56"
    )
    for ways in scaled.remedies.values():
        for remedy in ways:
            assert 0 < remedy.low <= remedy.likely <= remedy.high
    for row in scaled.operations.values():
        assert row.hours > 0
        if row.hours_low is not None:
            assert row.hours_low <= row.hours <= row.hours_high


def test_a_scaled_value_is_a_multiple_of_its_step(larger):
    steps = {row.id: row.step for row in larger.catalogue.tables["scaling"]}
    for row in larger.operations.values():
        if larger.scale_factors[row.scaling, "WL28"] != 1:
            assert row.hours % steps[row.scaling] == 0


def test_a_row_may_stand_for_another_class_than_the_reference(two_sizes):
    changed = row_changed(two_sizes, "operations", "O0003", at_class="WL56")
    assert for_class(changed, "WL56").operations["O0003"].hours == 12
    # 12 x 0.5 ^ 0.6 = 7.92, to the half hour
    assert for_class(changed, "WL28").operations["O0003"].hours == Decimal(8)


@pytest.mark.parametrize(
    ("needs", "wanted"),
    [
        ((), True),
        (("tracks",), False),
        (("tracks", "slew"), True),
        (("!tyres",), True),
        (("!slew",), False),
        (("slew", "!slew"), False),
    ],
)
def test_a_row_fits_a_class_that_has_what_it_needs(needs, wanted):
    traits = frozenset({"slew"}) if "tracks" not in needs or len(needs) == 1 else {"tracks", "slew"}
    row = Group(id="G00", name="x", origin="own", needs=needs)
    assert fits(row, frozenset(traits)) is wanted


def test_a_class_s_id_family_and_type_are_traits_too(catalogue):
    for trait in ("WL28", "loader", "wheel loader"):
        only = row_changed(catalogue, "cautions", "K01", needs=(trait,))
        never = row_changed(catalogue, "cautions", "K01", needs=(f"!{trait}",))
        assert "K01" in for_class(only, "WL28").cautions
        assert "K01" not in for_class(never, "WL28").cautions


def test_rows_that_do_not_fit_are_not_there(catalogue):
    for table, code, attribute in (
        ("operations", "O0001", "operations"),
        ("parts", "P-LIN", "parts"),
        ("outwork", "W01", "outwork"),
        ("measures", "M0101", "measures"),
        ("wear", "P-CRK", "wear"),
        ("remedies", "P-CRK", "remedies"),
        ("loadings", "G01", "loadings"),
        ("warranty", "G01", "warranty"),
    ):
        without = row_changed(catalogue, table, code, needs=("tracks",))
        assert code not in getattr(for_class(without, "WL28"), attribute)


def test_own_cases_of_every_class_are_pooled(catalogue, cat):
    assert len(cat.own_cases["hub bearing seat"]) == 14
    assert len({case.machine_class for case in cat.own_cases["hub bearing seat"]}) == 3


def test_the_circuit_of_a_part_is_its_component_s(cat):
    assert cat.circuit_of("P-CRK") == "EO"
    assert cat.circuit_of("P-INJ") == ""
    assert cat.group_of("C06A") == "G06"
