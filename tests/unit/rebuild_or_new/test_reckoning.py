"""Cost per hour both ways: what must hold whatever the figures are."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from estimator.domain.rebuild_or_new.annual import (
    equivalent_annual_cost,
    payment,
    present_factor,
    recovery_factor,
    worth_of_payments,
)
from estimator.domain.rebuild_or_new.reckoning import (
    Case,
    advantage,
    break_even,
    finance_cost,
    fuel_payback,
    monthly_payment,
    new_side,
    rebuilt_side,
)
from estimator.domain.rebuild_or_new.sensitivity import moves

NO_RANGE = {"rebuild_price": (Decimal(0), Decimal(0))}
TINY = Decimal("1e-18")


def number(low: float, high: float, places: int = 2) -> st.SearchStrategy[Decimal]:
    return st.decimals(Decimal(str(low)), Decimal(str(high)), places=places, allow_nan=False)


cases = st.builds(
    Case,
    rebuild_price=number(1, 900_000), new_price=number(1, 2_000_000),
    price_now=number(1, 2_000_000),
    trade_in=number(0, 200_000), weeks_rebuild=number(0, 60, 1), weeks_new=number(0, 120, 1),
    hire_week=number(0, 9_000), lost_day=number(0, 3_000), days_a_week=number(1, 7, 0),
    life_rebuilt=number(100, 30_000, 0), life_new=number(100, 60_000, 0),
    hours_a_year=number(100, 8_000, 0), interest=number(0, 0.4, 3),
    residual_rebuilt=number(0, 1), residual_new=number(0, 1), fuel_rebuilt=number(0, 200, 1),
    fuel_new=number(0, 200, 1), fuel_price=number(0, 5), upkeep_rebuilt=number(0, 90),
    upkeep_new=number(0, 90), financed_share=number(0, 1), finance_rate=number(0, 0.3, 3),
    finance_months=number(1, 120, 0),
)  # fmt: skip


@given(cases, number(1, 100_000))
def test_a_dearer_rebuild_costs_more_per_hour_and_year(case: Case, more: Decimal) -> None:
    dearer = replace(case, rebuild_price=case.rebuild_price + more)
    one, two = rebuilt_side(case), rebuilt_side(dearer)
    assert two.per_hour > one.per_hour
    assert two.per_year > one.per_year
    assert new_side(dearer) == new_side(case)


@given(cases)
def test_at_break_even_an_hour_costs_the_same(case: Case) -> None:
    turns = break_even(rebuilt_side(case), new_side(case))
    assert abs(advantage(replace(case, rebuild_price=turns))) < TINY
    assert advantage(replace(case, rebuild_price=turns - 1)) > 0
    assert advantage(replace(case, rebuild_price=turns + 1)) < 0
    assert (case.rebuild_price < turns) == (advantage(case) > 0)


@given(cases)
def test_break_even_does_not_hang_on_the_price_it_is_held_against(case: Case) -> None:
    other = replace(case, rebuild_price=case.rebuild_price * 3)
    assert break_even(rebuilt_side(other), new_side(other)) == break_even(
        rebuilt_side(case), new_side(case)
    )


@given(cases, st.sampled_from(["weeks_rebuild", "fuel_rebuilt", "upkeep_rebuilt"]))
def test_more_of_what_costs_never_makes_the_rebuild_cheaper(case: Case, name: str) -> None:
    more = replace(case, **{name: getattr(case, name) + 1})
    assert rebuilt_side(more).per_hour >= rebuilt_side(case).per_hour


@given(cases)
def test_worth_more_at_the_end_costs_less(case: Case) -> None:
    assume(case.residual_new <= Decimal("0.9"))
    better = replace(case, residual_new=case.residual_new + Decimal("0.1"))
    assert new_side(better).per_hour <= new_side(case).per_hour


@given(cases)
def test_without_interest_the_year_is_the_hour_times_the_hours(case: Case) -> None:
    free = replace(case, interest=Decimal(0), financed_share=Decimal(0))
    for side in (rebuilt_side(free), new_side(free)):
        assert abs(side.per_year - side.per_hour * free.hours_a_year) < Decimal("1e-9")


@given(cases)
def test_finance_at_the_interest_itself_costs_nothing(case: Case) -> None:
    """Where the monthly rate is the twelfth root of the year's, payments are worth their sum."""
    yearly = (1 + case.finance_rate / 12) ** 12 - 1
    same = replace(case, interest=yearly)
    assert abs(finance_cost(same)) < Decimal("1e-9") * max(case.new_price, 1)
    dearer = replace(case, interest=Decimal(0))
    assert finance_cost(dearer) >= -Decimal("1e-9")


def test_without_a_share_financed_there_is_no_payment() -> None:
    case = usual()
    assert monthly_payment(case) == finance_cost(case) == 0


def usual(**changes: Decimal) -> Case:
    plain = dict.fromkeys(Case.__dataclass_fields__, Decimal(0))
    return Case(**plain | {
        "rebuild_price": Decimal(270_000), "new_price": Decimal(465_000),
        "price_now": Decimal(465_000), "days_a_week": Decimal(5),
        "life_rebuilt": Decimal(8_000), "life_new": Decimal(12_000),
        "hours_a_year": Decimal(1_600), "interest": Decimal("0.06"),
    } | changes)  # fmt: skip


def test_an_example_by_hand() -> None:
    """(200,000 + 10 weeks x (1,000 + 5 x 100) - 50,000) / 8,000 + 20 x 1.5 + 4 = 54.625."""
    case = usual(
        rebuild_price=Decimal(200_000), price_now=Decimal(500_000), weeks_rebuild=Decimal(10),
        hire_week=Decimal(1_000), lost_day=Decimal(100), interest=Decimal(0),
        residual_rebuilt=Decimal("0.1"), fuel_rebuilt=Decimal(20), fuel_price=Decimal("1.5"),
        upkeep_rebuilt=Decimal(4),
    )  # fmt: skip
    side = rebuilt_side(case)
    assert (side.waiting, side.running) == (Decimal(15_000), Decimal(34))
    assert side.per_hour == Decimal("54.625")


def test_fuel_pays_what_new_costs_more() -> None:
    case = usual(fuel_rebuilt=Decimal(20), fuel_new=Decimal(15), fuel_price=Decimal(2))
    assert fuel_payback(case) == Decimal(19_500)  # 195,000 more / 10 an hour
    assert fuel_payback(replace(case, trade_in=Decimal(200_000))) == 0
    assert fuel_payback(replace(case, fuel_new=Decimal(20))) is None
    assert fuel_payback(replace(case, fuel_price=Decimal(0))) is None


@given(cases)
def test_moves_are_in_order_and_say_where_the_answer_turns(case: Case) -> None:
    price = (case.rebuild_price * Decimal("0.5"), case.rebuild_price * Decimal("1.5"))
    found = moves(case, {**NO_RANGE, "rebuild_price": price})
    assert [one.swing for one in found] == sorted((one.swing for one in found), reverse=True)
    assert all(one.swing > 0 for one in found)
    (own,) = (one for one in found if one.name == "rebuild_price")
    assert own.given
    assert own.swing * case.life_rebuilt - case.rebuild_price < TINY * case.life_rebuilt
    signs = {advantage(replace(case, rebuild_price=end)) < 0 for end in price}
    assert own.turns == (signs != {advantage(case) < 0})


def test_a_price_that_is_fixed_and_what_is_not_given_move_nothing() -> None:
    names = {one.name for one in moves(usual(), NO_RANGE)}
    assert "rebuild_price" not in names
    assert not names & {"hire_week", "trade_in", "fuel_rebuilt", "price_now", "days_a_week"}
    assert {"new_price", "life_rebuilt", "life_new"} <= names


@pytest.mark.parametrize("name", ["life_rebuilt", "hours_a_year"])
def test_a_life_of_nothing_is_refused(name: str) -> None:
    with pytest.raises(ValueError, match="above nothing"):
        rebuilt_side(usual(**{name: Decimal(0)}))
    with pytest.raises(ValueError, match="some length"):
        recovery_factor(Decimal("0.1"), Decimal(0))


@given(number(0, 0.4, 3), number(0.1, 40, 1), number(1, 900_000))
def test_equal_costs_are_worth_what_they_spread(
    rate: Decimal, years: Decimal, sum_: Decimal
) -> None:
    yearly = equivalent_annual_cost(sum_, rate, years)
    back = yearly * years if rate == 0 else yearly * (1 - present_factor(rate, years)) / rate
    assert abs(back - sum_) < Decimal("1e-12") * sum_
    monthly = payment(sum_, Decimal(0), Decimal(12))
    assert abs(worth_of_payments(monthly, Decimal(0), Decimal(12)) - sum_) < Decimal("1e-12") * sum_
