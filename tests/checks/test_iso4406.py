"""Cleanliness codes against the ISO 4406:1999 table.

Table: published, read in a filter supplier's catalogue that reproduces it (upper limits per mL,
codes 0 to 28; the value above 28 is not given there and is refused).
"""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.domain.cleanliness import (
    UPPER_LIMITS,
    CleanlinessError,
    code_of,
    codes_over,
    parsed,
    scale_number,
)

TABLE = {
    0: "0.01", 1: "0.02", 2: "0.04", 3: "0.08", 4: "0.16", 5: "0.32", 6: "0.64", 7: "1.3",
    8: "2.5", 9: "5", 10: "10", 11: "20", 12: "40", 13: "80", 14: "160", 15: "320", 16: "640",
    17: "1300", 18: "2500", 19: "5000", 20: "10000", 21: "20000", 22: "40000", 23: "80000",
    24: "160000", 25: "320000", 26: "640000", 27: "1300000", 28: "2500000",
}  # fmt: skip
JUST_ABOVE = Decimal("0.0001")
QUICK = settings(deadline=None, max_examples=200, database=None)
COUNTS = st.decimals(min_value=0, max_value=2_500_000, places=2)


def test_the_whole_table():
    assert dict(enumerate(UPPER_LIMITS)) == {code: Decimal(text) for code, text in TABLE.items()}


@pytest.mark.parametrize("code", TABLE)
def test_up_to_and_including_each_limit(code):
    # published: "more than ... up to and including ..."
    assert scale_number(Decimal(TABLE[code])) == code


@pytest.mark.parametrize("code", list(TABLE)[:-1])
def test_more_than_each_limit(code):
    assert scale_number(Decimal(TABLE[code]) + JUST_ABOVE) == code + 1


@pytest.mark.parametrize(
    ("count", "code"),
    [("0", 0), ("0.01", 0), ("0.0101", 1), ("1.3", 7), ("1.31", 8), ("2500", 18), ("2500.1", 19)],
)
def test_boundaries(count, code):
    # computed from the table by hand
    assert scale_number(Decimal(count)) == code


def test_a_code_of_three_counts():
    # computed from the table by hand: 1640, 412 and 38 per mL
    assert code_of(Decimal(1640), Decimal(412), Decimal(38)) == "18/16/12"


def test_the_table_is_no_power_of_two():
    # computed: 2^n / 100 is 0.93 to 1.02 of the limit, so a formula would give other codes
    ratios = [Decimal(2) ** code / 100 / limit for code, limit in enumerate(UPPER_LIMITS)]
    assert min(ratios) == pytest.approx(Decimal("0.98"), abs=Decimal("0.07"))
    assert max(ratios) > Decimal("1.02")
    by_formula = Decimal(2) ** 17 / 100  # 1310.72: code 17 by the formula, 18 by the table
    assert scale_number(by_formula) == 18


@QUICK
@given(st.lists(COUNTS, min_size=2, max_size=2).map(sorted))
def test_the_code_never_falls_as_counts_grow(counts):
    assert scale_number(counts[0]) <= scale_number(counts[1])


@QUICK
@given(COUNTS)
def test_a_count_lies_within_its_code(count):
    code = scale_number(count)
    assert count <= UPPER_LIMITS[code]
    assert code == 0 or count > UPPER_LIMITS[code - 1]


@QUICK
@given(st.lists(COUNTS, min_size=3, max_size=3).map(lambda counts: sorted(counts, reverse=True)))
def test_a_code_reads_back(counts):
    code = code_of(*counts)
    assert parsed(code) == tuple(scale_number(count) for count in counts)
    assert codes_over(code, code) == 0


@pytest.mark.parametrize(
    ("found", "target", "over"),
    [
        # by hand: the worst of the three counts
        ("20/18/15", "17/15/12", 3),
        ("21/19/16", "18/16/13", 3),
        ("17/15/12", "17/15/12", 0),
        ("16/14/11", "17/15/12", -1),
        ("17/15/14", "17/15/12", 2),
        ("16/14/13", "18/16/12", 1),
    ],
)
def test_codes_over_a_target(found, target, over):
    assert codes_over(found, target) == over


@pytest.mark.parametrize(
    "text", ["18/16", "18/16/13/2", "a/b/c", "16/18/13", "29/20/10", "", "18/16/-3"]
)
def test_what_is_no_code_is_refused(text):
    with pytest.raises(CleanlinessError):
        parsed(text)


@pytest.mark.parametrize("count", ["-0.01", "2500000.01"])
def test_counts_off_the_table_are_refused(count):
    with pytest.raises(CleanlinessError):
        scale_number(Decimal(count))


def test_counts_must_fall_from_fine_to_coarse():
    with pytest.raises(CleanlinessError):
        code_of(Decimal(100), Decimal(200), Decimal(10))
