"""From priced lines to a price: certainties apart, and what is printed adds up."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.job import ScopeChange
from estimator.domain.money import Money, money_half_up, money_sum
from estimator.domain.scope import FIRM, LABOUR, OUTWORK, PARTS, PROVISIONAL
from tests.golden.golden_job import golden_inputs
from tests.unit.changed import (
    finding_dropped,
    lines_and_price,
    row_changed,
    terms_changed,
)


@pytest.fixture(scope="module")
def golden(job, cat):
    return lines_and_price(job, cat)


def of(lines, **wanted):
    """Sum of the lines whose scope line has these attributes."""
    return sum(
        line.amount.minor
        for line in lines.values()
        if all(getattr(line.line, name) == value for name, value in wanted.items())
    )


def all_rows() -> list[str]:
    cat = golden_inputs()[1]
    return [*cat.operations, *cat.parts, *cat.outwork]


SCOPES = st.fixed_dictionaries(
    {
        "removed": st.sets(st.sampled_from(all_rows()), max_size=150),
        "dropped": st.sets(st.sampled_from([f.id for f in golden_inputs()[0].findings])),
        "added": st.sets(st.sampled_from(all_rows()), max_size=6),
        "level": st.sampled_from(["full", "driveline"]),
        "unit": st.sampled_from(["0.01", "0.05", "1", "5"]),
        "discount": st.sampled_from(["0", "0.02", "0.333", "0.9"]),
        "contingency": st.integers(0, 100_000),
        "tax": st.sampled_from(["T20", "T0X"]),
    }
)


def a_scope(choice):
    """Lines and price of an arbitrary scope of the golden catalogue."""
    job, cat = golden_inputs()
    unit = Decimal(choice["unit"])
    job = finding_dropped(job, *choice["dropped"])
    job = replace(
        terms_changed(
            job,
            quoting_unit=unit,
            discount_share=Decimal(choice["discount"]),
            tax_category=choice["tax"],
        ),
        level=choice["level"],
        removed=tuple(ScopeChange(one, "r", "b") for one in sorted(choice["removed"])),
        added=tuple(
            ScopeChange(one, "r", "b") for one in sorted(choice["added"] - choice["removed"])
        ),
    )
    held = choice["contingency"] * int(unit * 100)
    return job, *lines_and_price(job, cat, held)


@settings(max_examples=40)
@given(SCOPES)
def test_whatever_the_scope_printed_lines_add_up_to_printed_totals(choice):
    job, lines, price, _ = a_scope(choice)
    totals = price.totals
    held = price.contingency.minor
    # by certainty
    assert price.firm_lines.minor == of(lines, certainty=FIRM)
    assert price.provisional_lines.minor == of(lines, certainty=PROVISIONAL)
    assert price.firm_lines.minor + price.provisional_lines.minor == of(lines)
    # by kind, by group, by group and kind
    for kind in (LABOUR, PARTS, OUTWORK):
        assert price.by_kind[kind].minor == of(lines, kind=kind)
        assert sum(g.by_kind[kind].minor for g in price.groups) == of(lines, kind=kind)
    for group in price.groups:
        assert group.firm.minor == of(lines, group=group.group, certainty=FIRM)
        assert group.provisional.minor == of(lines, group=group.group, certainty=PROVISIONAL)
        assert group.lines.minor == sum(one.minor for one in group.by_kind.values())
    # down to the foot
    base = of(lines) - price.discount.minor + price.freight.minor + price.levy_sum.minor
    assert price.base.minor == base
    assert price.firm.minor + price.provisional_lines.minor == base
    assert price.net.minor == base + held
    assert totals.lines.minor == of(lines) + held
    assert totals.allowances == price.discount
    assert totals.charges == price.freight + price.levy_sum
    assert totals.gross == totals.net + totals.tax
    # every figure but tax is in the quoting unit
    for one in (price.discount, price.freight, price.base, price.net, price.levy_sum):
        assert one.amount % job.terms.quoting_unit == 0
    # hours too
    worked = [one.line.quantity for one in lines.values() if one.line.kind == LABOUR]
    assert price.hours == sum(worked)
    assert sum(price.hours_by_trade.values()) == sum(worked)
    assert sum(group.hours for group in price.groups) == sum(worked)


def test_an_empty_scope_comes_to_its_one_standing_levy(job, cat):
    nothing = finding_dropped(
        replace(job, removed=tuple(ScopeChange(one, "r", "b") for one in all_rows())),
        *(finding.id for finding in job.findings),
    )
    lines, price, _ = lines_and_price(nothing, cat)
    assert lines == {}
    assert [levy.id for levy in price.levies] == ["L4"]
    assert price.net == Money(8500, "GBP")
    assert price.freight == price.discount == Money(0, "GBP")


# -- discount -----------------------------------------------------------------------------------


def test_the_discount_is_on_firm_parts_alone(golden):
    lines, price, _ = golden
    firm_parts = Money(of(lines, kind=PARTS, certainty=FIRM), "GBP")
    assert firm_parts.amount == 82333
    assert price.discount.amount == 1647  # 2 % are 1,646.66


@pytest.mark.parametrize("share", ["0", "0.005", "0.1", "0.9"])
def test_the_discount_is_rounded_once(job, cat, share):
    lines, price, _ = lines_and_price(terms_changed(job, discount_share=Decimal(share)), cat)
    whole = Decimal(of(lines, kind=PARTS, certainty=FIRM)) / 100
    assert price.discount == money_half_up(whole * Decimal(share), "GBP", Decimal(1))


# -- freight ------------------------------------------------------------------------------------


def test_carriage_is_charged_once_for_each_supplier_and_once_for_outwork(golden):
    lines, price, _ = golden
    used = {line.line.row.supplier for line in lines.values() if line.line.kind == PARTS}
    assert used == {"S1", "S2", "S3", "S4", "S5", "S7", "S8", "S9"}  # no wheels
    assert price.freight.amount == 260 + 180 + 420 + 380 + 240 + 320 + 210 + 140 + 300


def test_a_supplier_that_nothing_is_bought_from_charges_nothing(job, cat, golden):
    fire = {one for one in cat.parts if cat.parts[one].supplier == "S9"}
    without = replace(job, removed=tuple(ScopeChange(one, "r", "b") for one in sorted(fire)))
    _, price, _ = lines_and_price(without, cat)
    assert (golden[1].freight - price.freight).amount == 140


def test_without_outwork_nothing_is_carried_out(job, cat, golden):
    without = replace(job, removed=tuple(ScopeChange(one, "r", "b") for one in cat.outwork))
    _, price, _ = lines_and_price(without, cat)
    assert (golden[1].freight - price.freight).amount == 300
    assert price.by_kind[OUTWORK] == Money(0, "GBP")


def test_carriage_in_a_foreign_currency_is_exchanged(job, catalogue, golden):
    abroad = for_class(row_changed(catalogue, "suppliers", "S3", currency="EUR"), "WL28")
    _, price, _ = lines_and_price(job, abroad)
    # 420 EUR at 0.86 are 361.20; the sum is rounded once
    assert (golden[1].freight - price.freight).amount == 59


# -- levies -------------------------------------------------------------------------------------


def test_levies_by_hand(golden):
    found = {levy.id: (levy.amount.amount, levy.capped) for levy in golden[1].levies}
    assert found == {"L1": (3600, True), "L2": (235, False), "L3": (39, False), "L4": (85, False)}


@pytest.mark.parametrize(
    ("cap", "amount", "capped"),
    [("3600", 3600, True), ("4826.92", 4827, False), ("4826.91", 4827, True), (None, 4827, False)],
)
def test_a_cap_binds_only_above_it(job, catalogue, cap, amount, capped):
    limit = None if cap is None else Decimal(cap)
    changed = for_class(row_changed(catalogue, "levies", "L1", cap=limit), "WL28")
    levy = lines_and_price(job, changed)[1].levies[0]
    assert (levy.amount.amount, levy.capped) == (amount, capped)


@settings(max_examples=25)
@given(st.sets(st.sampled_from(all_rows()), max_size=200))
def test_a_capped_levy_never_exceeds_its_cap(removed):
    job, cat = golden_inputs()
    changed = replace(job, removed=tuple(ScopeChange(one, "r", "b") for one in sorted(removed)))
    _, price, _ = lines_and_price(changed, cat)
    for levy in price.levies:
        cap = cat.levies[levy.id].cap
        assert cap is None or levy.amount.amount <= cap
        assert levy.amount.minor > 0


def test_a_levy_by_quantity_follows_the_part_bought(job, cat):
    dry = replace(job, removed=(ScopeChange("P-OIL", "customer's own oil", "b"),))
    assert "L2" not in {levy.id for levy in lines_and_price(dry, cat)[1].levies}


# -- tax ----------------------------------------------------------------------------------------


def test_tax_is_on_the_whole_net_in_minor_units(job, cat):
    lines, price, _ = lines_and_price(job, cat, contingency=3131700)
    assert price.net.amount == 275946
    assert price.totals.tax.amount == Decimal("55189.20")
    assert price.totals.gross.amount == Decimal("331135.20")
    assert money_sum((one.base for one in price.totals.taxes), "GBP") == price.net


def test_an_export_bears_no_tax(job, cat):
    price = lines_and_price(terms_changed(job, tax_category="T0X"), cat)[1]
    assert price.totals.tax == Money(0, "GBP")
    assert price.totals.taxes[0].category == "G"


def test_contingency_is_no_firm_money(job, cat):
    without = lines_and_price(job, cat)[1]
    held = lines_and_price(job, cat, contingency=500000)[1]
    assert held.firm == without.firm
    assert held.provisional_lines == without.provisional_lines
    assert held.base == without.base
    assert (held.net - without.net).minor == 500000
