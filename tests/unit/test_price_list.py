"""Prices in every writing, what a list changes, and what linked items make of a part."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.domain.catalogue.work_rows import PartsGroup
from estimator.domain.price_list import compare as c
from estimator.domain.price_list.compare import compared, last_successor
from estimator.domain.price_list.item import item_of, items_of, part_key, part_keys
from estimator.domain.price_list.linked import (
    PartLink,
    PricedItem,
    linked_costs,
    moved_links,
    weeks_of_days,
)
from estimator.domain.price_list.mapping import ColumnUse, Mapping, mapping_data, mapping_from
from estimator.domain.price_list.units import unit_of
from estimator.intake.price_list_numbers import (
    BOTH,
    NoPrice,
    bare_number,
    is_unclear,
    mark_of_column,
    read_number,
)

# (thousands mark, decimal mark) of English, German, French and Swiss writing
WRITINGS = {"en": (",", "."), "de": (".", ","), "fr": ("\u202f", ","), "ch": ("\u2019", ".")}
DAY = date(2026, 11, 1)


def written(amount, writing, sign=""):
    thousands, mark = WRITINGS[writing]
    return f"{amount:,.2f}".replace(",", "\0").replace(".", mark).replace("\0", thousands) + sign


@given(
    st.lists(st.decimals("0.01", "9999999.99", places=2), min_size=1, max_size=8),
    st.sampled_from(sorted(WRITINGS)),
    st.sampled_from(["", " EUR", "\u00a0\u20ac", " CHF", "\u00a3"]),
)
def test_prices_of_a_column_are_read_in_any_writing(amounts, writing, sign):
    digits = [bare_number(written(amount, writing, sign)) for amount in amounts]
    mark = mark_of_column(one for one, _ in digits)
    assert mark == WRITINGS[writing][1]
    assert [read_number(one, mark) for one, _ in digits] == amounts
    assert {code for _, code in digits} == {
        {"\u00a0\u20ac": "EUR", "\u00a3": "GBP"}.get(sign, sign.strip())
    }


@given(st.decimals("1", "999", places=0), st.integers(0, 999))
def test_three_digits_after_one_mark_are_never_guessed(whole, rest):
    for mark in ".,":
        text = f"{whole}{mark}{rest:03}"
        assert is_unclear(text)
        with pytest.raises(NoPrice, match="unclear"):
            read_number(text, "")
        other = "," if mark == "." else "."
        assert read_number(text, mark) == Decimal(f"{whole}.{rest:03}")
        assert read_number(text, other) == Decimal(f"{whole}{rest:03}")


def test_what_is_no_price_or_written_with_other_marks():
    assert mark_of_column(["1,50", "1.50"]) == BOTH
    for text in ("POA", "12 or 13", "1-2", "", "--", "12 EUR GBP", "1/2"):
        with pytest.raises(NoPrice):
            bare_number(text)
    for digits, mark in (("1,2.3,4", ""), ("12,50", "."), ("1.23.456,00", ","), ("1,50,00", "")):
        with pytest.raises(NoPrice):
            read_number(digits, mark)
    assert read_number(bare_number("CHF 1\u2019250.-")[0], ".") == 1250
    assert read_number(bare_number("\u221212.50")[0], ".") == Decimal("-12.50")


@given(st.lists(st.text(alphabet="0aB -./_7", min_size=1, max_size=9), max_size=20))
def test_many_part_numbers_are_compared_as_each_is(numbers):
    assert part_keys(numbers) == [part_key(number) for number in numbers]


def test_leading_noughts_count_and_separators_do_not():
    assert part_key("00 12-3.a") == part_key("0012/3A") == "00123A"
    assert part_key("0123") != part_key("123")


# What a list changes

PRICES = st.integers(1, 10**7)
LISTS = st.dictionaries(st.sampled_from([f"K{n:02}" for n in range(40)]), PRICES, max_size=40)


def listed(prices, **cells):
    return [item_of(key, minor, "GBP", **cells) for key, minor in prices.items()]


@given(LISTS, LISTS, st.booleans())
def test_old_items_and_all_changes_make_the_new_ones(old, new, full):
    before = {item.key: item for item in listed(old)}
    found = compared(before, listed(new), full=full)
    after = dict(before)
    for change in found.changes:
        assert change.old == before.get(change.key)
        if change.new is None:
            del after[change.key]
        else:
            after[change.key] = change.new
    wanted = {item.key: item for item in listed(new)}
    assert after == (wanted if full else {**before, **wanted})
    assert found.same == sum(before.get(key) == item for key, item in wanted.items())
    assert len({change.key for change in found.changes}) == len(found.changes)
    back = compared(after, list(before.values()), full=True)
    for change in back.changes:  # and back again
        if change.new is None:
            del after[change.key]
        else:
            after[change.key] = change.new
    assert after == before


@given(LISTS)
def test_the_same_list_changes_nothing(prices):
    before = {item.key: item for item in listed(prices)}
    assert compared(before, listed(prices), full=True).changes == ()


def hundred(moved=1.03, **odd):
    """A hundred items whose prices moved alike, give or take a half per cent, but for some."""
    draw = random.Random(3)
    old = [item_of(f"K{n}", draw.randrange(1000, 90000), "GBP", unit="EA") for n in range(100)]
    new = [one._replace(minor=round(one.minor * moved * draw.uniform(0.995, 1.005))) for one in old]
    for key, change in odd.items():
        at = int(key[1:])
        new[at] = change(old[at])
    return {one.key: one for one in old}, new


def kinds(old, new, **wanted):
    found = compared(old, new, **{"full": True, **wanted})
    return {one.key: one for one in found.changes}, found


def test_one_that_moves_away_from_its_list_is_out_of_line():
    old, new = hundred(
        K5=lambda one: one._replace(minor=round(one.minor * 1.4)),
        K6=lambda one: one._replace(minor=round(one.minor * 0.6)),
        K7=lambda one: one._replace(minor=round(one.minor * 1.12)),
    )
    by_key, found = kinds(old, new)
    assert {key for key, one in by_key.items() if one.kind == c.OUTLIER} == {"K5", "K6"}
    assert by_key["K7"].kind == c.CHANGED
    assert found.moved == pytest.approx(1.03, abs=0.002)
    assert "1.4 times" in by_key["K5"].why
    assert found.usual() == frozenset(by_key) - {"K5", "K6"}


def test_a_whole_list_that_doubles_is_out_of_line_altogether():
    old, new = hundred(moved=2.5)
    by_key, _ = kinds(old, new)
    assert {one.kind for one in by_key.values()} == {c.OUTLIER}


@pytest.mark.parametrize("factor", [10, 100, 1000, 0.1, 0.01])
def test_a_price_for_another_quantity_is_a_trap(factor):
    old, new = hundred(K5=lambda one: one._replace(minor=max(round(one.minor * factor), 1)))
    assert kinds(old, new)[0]["K5"].kind == c.UNIT_TRAP


def test_units_and_quantities_that_changed():
    def to(unit, per, factor):
        return lambda one: item_of(one.key, round(one.minor * factor), "GBP", unit=unit, per=per)

    old, new = hundred(K1=to("SET", "1", 1), K2=to("EA", "100", 103), K3=to("EA", "100", 1))
    by_key, _ = kinds(old, new)
    assert (by_key["K1"].kind, by_key["K3"].kind) == (c.UNIT_TRAP, c.UNIT_TRAP)
    assert by_key["K2"].kind == c.CHANGED and by_key["K2"].ratio == pytest.approx(1.03, abs=0.001)


def test_another_currency_is_a_trap_and_never_a_ratio():
    old, new = hundred(K1=lambda one: item_of("K1", one.minor, "EUR", unit="EA"))
    by_key, _ = kinds(old, [*new, item_of("N", 100, "USD")], currency="GBP")
    assert (by_key["K1"].kind, by_key["K1"].ratio) == (c.CURRENCY_TRAP, None)
    assert by_key["N"].kind == c.CURRENCY_TRAP
    assert not by_key["N"].taken_unless_said


def test_what_takes_an_items_place_is_followed_and_rings_are_found():
    old = {one.key: one for one in listed({"A": 100, "B": 100, "C": 100, "R": 5, "S": 5})}
    new = [
        item_of("A", 100, "GBP", superseded_by="B"),
        item_of("B", 100, "GBP", superseded_by="C-1"),
        *listed({"C": 100, "C1": 90}),
        item_of("R", 5, "GBP", superseded_by="S"),
        item_of("S", 5, "GBP", superseded_by="R"),
        item_of("Z", 5, "GBP", superseded_by="nowhere"),
    ]
    by_key, _ = kinds(old, new)
    assert by_key["A"].kind == c.SUPERSEDED and "C1" in by_key["A"].why
    assert (by_key["R"].kind, by_key["S"].kind) == (c.RING, c.RING)
    assert "no list" in by_key["Z"].why
    items = {one.key: one for one in new}
    assert last_successor("A", items) == ("C1", False)
    assert last_successor("R", items)[1] is True


def test_rows_that_could_not_be_read_are_not_gone():
    old = {one.key: one for one in listed({"A": 100, "B": 100})}
    found = compared(old, [], full=True, faulty=frozenset({"A"}))
    assert [(one.kind, one.key) for one in found.changes] == [(c.GONE, "B")]


# What it costs

ROW = PartsGroup(
    origin="starting value", source="invented", id="P-1", component="C01A", name="Kit",
    scaling="C00", levels=("full",), called_by="level", quantity=Decimal(6), unit="set",
    unit_cost=Decimal(790), currency="GBP", price_date=date(2026, 1, 1), supplier="S1",
    lead_weeks=Decimal(2), markup="A",
)  # fmt: skip


def link(key, quantity=1):
    return PartLink("P-1", (), "S1", key, Decimal(quantity))


def cost(*parts, row=ROW):
    """Cost of the row of (item, quantity)."""
    links = [link(item.key, quantity) for item, quantity in parts]
    items = {("S1", item.key): PricedItem(item, "spring.xlsx", DAY) for item, _ in parts}
    (found,) = linked_costs({("P-1", ()): row}, links, items)
    return found


def test_several_items_make_a_part():
    liner = item_of("L1", 30000, "GBP", discount="25", lead="3", charge="500")
    ring = item_of("R9", 3333, "GBP", per="10")
    found = cost((liner, 1), (ring, 3)).after
    assert found.unit_cost == Decimal("235.00")  # 300 less a quarter, and 3 of 33.33 for ten: 9.999
    assert found.lead_weeks == 3 and found.exchange_charge == 5 and found.price_date == DAY
    assert found.origin == "supplier"
    assert "part L1" in found.source and "part R9" in found.source and "2026-11-01" in found.source


def test_costs_that_cannot_be_told_say_why():
    euro = item_of("E", 100, "EUR")
    assert cost((euro, 1), (item_of("G", 1, "GBP"), 1)).after is None
    assert "EUR" in cost((euro, 1)).why  # the catalogue prices nothing in it
    by_weight = cost((item_of("W", 100, "GBP", unit="KG"), 1))
    assert by_weight.after is None and "kg" in by_weight.why
    assert cost((item_of("W", 100, "GBP", unit="KG"), 12)).after.unit_cost == 12
    (gone,) = linked_costs({("P-1", ()): ROW}, [link("X")], {})
    assert gone.after is None and "X" in gone.why
    assert linked_costs({}, [link("X")], {}) == ()


def test_what_stays_as_it_is_makes_no_change():
    item = item_of("A", 79000, "GBP", lead="2")
    row = replace(ROW, price_date=DAY)
    items = {("S1", "A"): PricedItem(item, "spring.xlsx", DAY)}
    assert linked_costs({("P-1", ()): row}, [link("A")], items) == ()


def test_links_move_to_what_takes_the_items_place():
    items = {one.key: one for one in items_of(
        [item_of("A", 1, "GBP", superseded_by="B"), item_of("B", 1, "GBP")]
    )}  # fmt: skip
    assert moved_links([link("A"), link("B")], items) == (link("B"),)
    assert moved_links([link("A")], {"A": items["A"]}) == ()


def test_units_lead_times_and_mappings():
    assert [unit_of(one) for one in ("St\u00fcck", "PCE", "Satz", "KGM", "mtr.", "blob")] == [
        "each", "each", "set", "kg", "m", "blob",
    ]  # fmt: skip
    assert [weeks_of_days(Decimal(n)) for n in (7, 10, 1)] == [1, Decimal("1.5"), Decimal("0.2")]
    mapping = Mapping((ColumnUse("price", 2, "Preis"),), currency="EUR", heads=("a",),
                      discounts=(("A", Decimal("12.5")),))  # fmt: skip
    assert mapping_from(mapping_data(mapping)) == mapping
