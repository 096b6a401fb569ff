"""From the text of a cell to a value, or a fault that says how to mend it."""

from __future__ import annotations

from dataclasses import fields
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.domain.catalogue.column import Limits
from estimator.domain.findings import Finding
from estimator.intake.cells import BadCell, columns_of, parse_cell, shortened

FREE = Limits()


def bad(text: str, wanted: object, limits: Limits = FREE) -> BadCell:
    with pytest.raises(BadCell) as caught:
        parse_cell(text, wanted, limits)
    assert caught.value.message
    assert len(caught.value.message) < 300
    return caught.value


@pytest.mark.parametrize(
    ("text", "value"),
    [("12", "12"), ("-0.05", "-0.05"), ("+3", "3"), ("1e3", "1000"), ("007", "7"), (".5", "0.5")],
)
def test_numbers(text, value):
    assert parse_cell(text, Decimal, FREE) == Decimal(value)


@pytest.mark.parametrize(
    "text",
    [
        "twelve", "1,234", "1.234,5", "1 234", "1'234", "12 mm", "50%", "£5", "0x10", "1e", "--1",
        "1/2", "½", "NaN", "nan", "sNaN", "Infinity", "-inf", "=1+1", "1.2.3", "-", "<b>1</b>",
        "1e9999999999999999999", "1" * 41,
    ],
)  # fmt: skip
@pytest.mark.parametrize("wanted", [Decimal, Decimal | None, int])
def test_what_is_no_number_is_refused_with_how_to_write_one(text, wanted):
    assert "digits" in bad(text, wanted).remedy


@pytest.mark.parametrize("text", ["1_000", "1_5"])
def test_a_mark_between_digits_is_no_decimal_point(text):
    """1_5 for 1.5 would be read as fifteen."""
    bad(text, Decimal)


@pytest.mark.parametrize("text", ["1e999999", "-1e999999", "1e400", "1e30", "9" * 40])
def test_a_number_beyond_all_measure_is_refused(text):
    """Nothing in a workshop needs thirty digits; sums with such numbers fail far from the cell."""
    bad(text, Decimal)


@pytest.mark.parametrize("text", ["1e30", "1e5000", "1e20000"])
@pytest.mark.parametrize("limits", [FREE, Limits(low=Decimal(1), high=Decimal(12))])
def test_a_whole_number_beyond_all_measure_is_refused(text, limits):
    """Written out, 1e999999 takes a minute and 1e9999999 an hour: refuse it before."""
    bad(text, int, limits)


@pytest.mark.parametrize("text", ["2.5", "0.1", "1e-3"])
def test_a_part_of_a_whole_is_refused(text):
    assert "whole" in bad(text, int).message


@pytest.mark.parametrize(("text", "value"), [("3", 3), ("3.0", 3), ("3e2", 300)])
def test_whole_numbers(text, value):
    got = parse_cell(text, int | None, FREE)
    assert got == value
    assert isinstance(got, int)


@pytest.mark.parametrize(
    ("text", "limits", "fits"),
    [
        ("0", Limits(low=Decimal(0)), True),
        ("-0.01", Limits(low=Decimal(0)), False),
        ("0", Limits(above=Decimal(0)), False),
        ("0.001", Limits(above=Decimal(0)), True),
        ("1", Limits(high=Decimal(1)), True),
        ("1.001", Limits(high=Decimal(1)), False),
        ("5", Limits(low=Decimal(1), high=Decimal(5), above=Decimal(0)), True),
    ],
)
def test_bounds(text, limits, fits):
    if fits:
        assert parse_cell(text, Decimal, limits) == Decimal(text)
    else:
        assert text in bad(text, Decimal, limits).message


@pytest.mark.parametrize(
    ("text", "value"),
    [("yes", True), ("NO", False), ("1", True), ("0", False), ("True", True), ("false", False)],
)
def test_yes_or_no(text, value):
    assert parse_cell(text, bool, FREE) is value


@pytest.mark.parametrize("text", ["y", "2", "ja", "on", "-1", "yes;no"])
def test_neither_yes_nor_no_is_refused(text):
    assert "yes or no" in bad(text, bool).remedy


def test_dates():
    assert parse_cell("2026-11-30", date, FREE) == date(2026, 11, 30)


@pytest.mark.parametrize(
    "text",
    ["31/12/2026", "12/31/2026", "31.12.2026", "2026-13-01", "2026-02-30", "2026-11-30T10:00",
     "30 Nov 2026", "46000", "today", "0000-01-01", "2026-1-5"],
)  # fmt: skip
def test_other_dates_are_refused_with_how_to_write_one(text):
    assert "2026-11-30" in bad(text, date).remedy


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("A;B", ("A", "B")),
        (" A ; B ", ("A", "B")),
        ("A;;B;", ("A", "B")),
        (";", ()),
        (" ; ; ", ()),
        ("A B;C", ("A B", "C")),
        ("A,B", ("A,B",)),
    ],
)
def test_lists_are_parted_by_semicolons(text, value):
    assert parse_cell(text, tuple[str, ...], FREE) == value


def test_each_part_of_a_list_is_one_of_the_choices():
    limits = Limits(choices=("full", "driveline"))
    assert parse_cell("full;driveline", tuple[str, ...], limits) == ("full", "driveline")
    wrong = bad("full;half", tuple[str, ...], limits)
    assert "half" in wrong.message
    assert "driveline" in wrong.remedy


def test_choices_are_taken_as_written():
    limits = Limits(choices=("", "sound", "worn"))
    assert parse_cell("worn", str, limits) == "worn"
    for text in ("Worn", "worn ", "worn;sound", "bad"):
        assert "sound" in bad(text, str, limits).remedy


@pytest.mark.parametrize(("refers", "good", "wrong"), [
    ("currency", "GBP", ["gbp", "XYZ", "£", "GBP;EUR"]),
    ("unit", "L/min", ["l/min", "lpm", "GBP", "bar "]),
])  # fmt: skip
def test_currencies_and_units_are_those_known(refers, good, wrong):
    limits = Limits(refers=refers)
    assert parse_cell(good, str, limits) == good
    for text in wrong:
        bad(text, str, limits)


# -- text is data -------------------------------------------------------------------------------

AS_WRITTEN = [
    "=cmd|' /C calc'!A0",
    "@SUM(A1:A9)",
    "+44 20 7946 0000",
    "-1+1|cmd",
    "<b>bold</b>",
    "<para>text</para>",
    "&lt;script&gt;",
    "'; drop table quotes; --",
    "{machine} %s {0}",
    "שלום לקוח",
    "مرحبا",
    "日本語の注記",
    "naïve café — ½ €",
    "emoji 🛠️",
    "line\nbreak",
    "tab\there",
    'quote " within',
    "back\\slash",
]


@pytest.mark.parametrize("text", AS_WRITTEN)
def test_text_is_kept_as_it_was_written(text):
    assert parse_cell(text, str, FREE) == text


@pytest.mark.parametrize("sign", [*range(1, 9), 11, 12, *range(14, 32)])
def test_a_control_character_is_refused(sign):
    assert "control" in bad(f"a{chr(sign)}b", str).message
    assert "control" in bad(f"A;a{chr(sign)}b", tuple[str, ...]).message


@pytest.mark.parametrize("sign", ["\x7f", "\x80", "\x85", "\x9f"])
def test_control_characters_beyond_the_first_thirty_two_are_refused_too(sign):
    bad(f"a{sign}b", str)


@pytest.mark.parametrize("sign", ["\u202e", "\u202d", "\u2066", "\u2067", "\u2069"])
def test_signs_that_turn_the_direction_of_text_are_refused(sign):
    """They make a printed line read otherwise than it was written."""
    bad(f"price {sign}0001 agreed", str)


def test_half_of_a_character_is_refused():
    """JSON may carry one; it can be neither stored nor printed."""
    bad("a\ud800b", str)


@pytest.mark.parametrize(("length", "fits"), [(2000, True), (2001, False)])
def test_a_text_is_no_book(length, fits):
    text = "x" * length
    if fits:
        assert parse_cell(text, str, FREE) == text
    else:
        assert "2,001" in bad(text, str).message


def test_a_shown_text_is_cut():
    assert shortened("short") == "'short'"
    assert len(shortened("x" * 10_000)) <= 42
    assert "\n" not in shortened("a\nb")


# -- columns of a row class ---------------------------------------------------------------------


def test_columns_are_the_fields_that_carry_limits():
    columns = columns_of(Finding)
    assert set(columns) == {one.name for one in fields(Finding)} - {"place"}
    assert {name for name, (_, _, must) in columns.items() if must} == {"id", "date"}
    assert columns["date"][0] is date


# -- nothing a cell holds is an exception of another kind ---------------------------------------

WANTED = st.sampled_from([str, int, Decimal, Decimal | None, int | None, bool, date,
                          tuple[str, ...]])  # fmt: skip
ODD = st.one_of(
    st.text(min_size=1, max_size=60),
    st.text("0123456789E+-._,/;:% NaInfity", min_size=1, max_size=45),
    st.integers().map(str),
    st.floats().map(repr),
    st.builds("{}e{}".format, st.integers(-99, 99), st.integers(-6000, 6000)),
)
BOUNDS = st.sampled_from([FREE, Limits(low=Decimal(0)), Limits(above=Decimal(0), high=Decimal(9))])


@given(ODD, WANTED, BOUNDS)
def test_any_text_is_a_value_or_a_bad_cell(text, wanted, limits):
    try:
        value = parse_cell(text, wanted, limits)
    except BadCell as caught:
        assert len(caught.message) < 300
    else:
        assert len(str(value)) < 10_000
