"""How a figure was reached: kept once, walked to any depth, ready for JSON and for reading."""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal
from graphlib import TopologicalSorter

import pytest

from estimator.domain.money import Money
from estimator.domain.reasons import (
    Figure,
    Reasons,
    UnknownFigure,
    missing_inputs,
    plain,
    shown,
    why_as_data,
    why_as_text,
)


@pytest.fixture
def diamond() -> Reasons:
    """Top rests on left and right, both on the leaf, which rests on the root."""
    reasons = Reasons()
    reasons.note(Figure("root", "Root", 3))
    reasons.note(
        Figure(
            "leaf",
            "Leaf",
            Decimal("1.50"),
            unit="h",
            inputs=("root",),
            numbers=(("typed", "1.50"),),
        )
    )
    reasons.note(Figure("left", "Left", Money(150, "GBP"), inputs=("leaf",), formula="leaf x 1"))
    reasons.note(Figure("right", "Right", Money(50, "GBP"), inputs=("leaf",), rule="a rule"))
    reasons.note(
        Figure("top", "Top", Money(200, "GBP"), inputs=("left", "right"), source="a.csv, row 2")
    )
    return reasons


def test_a_figure_reached_two_ways_is_refused(diamond):
    diamond.note(diamond.get("leaf"))  # the same again is no second way
    with pytest.raises(ValueError, match="leaf"):
        diamond.note(Figure("leaf", "Leaf", Decimal("1.51"), unit="h"))
    assert diamond.get("leaf").value == Decimal("1.50")


def test_an_unknown_figure_is_named():
    with pytest.raises(UnknownFigure, match="nowhere"):
        Reasons().get("nowhere")
    with pytest.raises(UnknownFigure):
        list(Reasons().below("nowhere"))
    with pytest.raises(UnknownFigure):
        why_as_data(Reasons(), "nowhere")
    with pytest.raises(UnknownFigure):
        why_as_text(Reasons(), "nowhere")


def test_the_walk_goes_down_once_and_marks_what_it_meets_again(diamond):
    assert [(level, figure.name, again) for level, figure, again in diamond.below("top")] == [
        (0, "top", False),
        (1, "left", False),
        (2, "leaf", False),
        (3, "root", False),
        (1, "right", False),
        (2, "leaf", True),  # and not down to the root again
    ]


@pytest.mark.parametrize(
    ("most", "names"), [(1, ["top", "left", "leaf", "root"]), (0, ["top"]), (2, None), (None, None)]
)
def test_the_walk_takes_the_first_inputs_asked_for(diamond, most, names):
    everything = ["top", "left", "leaf", "root", "right", "leaf"]
    walked = [figure.name for _, figure, _ in diamond.below("top", None, most)]
    assert walked == (everything if names is None else names)
    text = why_as_text(diamond, "top", None, most)
    assert ("more figures" in text) is (most == 1)


@pytest.mark.parametrize(("depth", "count"), [(0, 1), (1, 3), (2, 5), (3, 6), (9, 6), (None, 6)])
def test_the_walk_stops_at_the_depth_asked_for(diamond, depth, count):
    assert len(list(diamond.below("top", depth))) == count


def test_data_are_nested_to_the_depth_asked_for(diamond):
    whole = why_as_data(diamond, "top")
    assert whole["value"] == "2.00"
    assert whole["unit"] == "GBP"
    assert [one["name"] for one in whole["inputs"]] == ["left", "right"]
    assert whole["inputs"][0]["inputs"][0]["numbers"] == {"typed": "1.50"}
    assert "formula" not in whole
    assert why_as_data(diamond, "top", 0)["inputs"] == ["left", "right"]
    assert why_as_data(diamond, "top", 1)["inputs"][1]["inputs"] == ["leaf"]


def test_data_survive_json_without_losing_a_digit(diamond):
    again = json.loads(json.dumps(why_as_data(diamond, "top"), allow_nan=False))
    assert again["inputs"][0]["inputs"][0]["value"] == "1.50"


@pytest.mark.parametrize(
    ("value", "wanted"),
    [
        (Money(-123456, "GBP"), "-1234.56"),
        (Decimal("1E+3"), "1000"),
        (Decimal("0.10"), "0.10"),
        (date(2026, 11, 30), "2026-11-30"),
        (7, 7),
        (0.25, 0.25),
        ("open", "open"),
    ],
)
def test_values_as_json_can_carry_them(value, wanted):
    assert plain(value) == wanted


def test_values_as_a_line_of_text_shows_them():
    assert shown(Money(123456, "GBP")) == "1,234.56 GBP"
    assert shown(0.123456, "share") == "0.1235 share"
    assert shown(Decimal("12.5"), "h") == "12.5 h"
    assert shown("open") == "open"


def test_text_is_indented_and_says_where_a_figure_comes_from(diamond):
    lines = why_as_text(diamond, "top").splitlines()
    assert lines[0] == "Top: 2.00 GBP  [top]"
    assert "    source: a.csv, row 2" in lines
    assert "  Left: 1.50 GBP  [left]" in lines
    assert "      = leaf x 1" in lines
    assert "        typed: 1.50" in lines
    assert lines[-1] == "    Leaf: 1.50 h  [leaf]  (as above)"


def test_inputs_that_were_never_noted_are_found(diamond):
    assert missing_inputs(diamond.figures) == []
    diamond.note(Figure("more", "More", 1, inputs=("lost", "leaf", "gone")))
    assert missing_inputs(diamond.figures) == ["gone", "lost"]


# -- the figures of a whole job -----------------------------------------------------------------


def test_every_figure_of_a_job_rests_on_figures_that_are_there(priced):
    assert missing_inputs(priced.reasons.figures) == []


def test_no_figure_of_a_job_rests_on_itself(priced):
    graph = {name: figure.inputs for name, figure in priced.reasons.figures.items()}
    assert len(list(TopologicalSorter(graph).static_order())) == len(graph)


def test_every_figure_of_a_job_is_ready_for_json(priced):
    for name in priced.reasons.figures:
        data = why_as_data(priced.reasons, name, 1)
        assert json.loads(json.dumps(data, allow_nan=False))["name"] == name


def test_the_price_reaches_down_to_every_line_and_finding_it_rests_on(priced):
    below = {figure.name for _, figure, _ in priced.reasons.below("gross")}
    assert {f"line/{one.id}" for one in priced.lines} <= below
    assert {f"contribution/{share.id}" for share in priced.contingency.shares} <= below
    rested_on = {code for one in priced.lines for code in one.line.because}
    assert {f"finding/{code}" for code in rested_on} <= below
    text = why_as_text(priced.reasons, "gross")
    assert text.count("[line/P-TCK]") >= 1
    assert text.startswith("Price with tax: 331,135.20 GBP")


@pytest.mark.parametrize(
    "name",
    ["net", "labour", "parts", "outwork", "firm_lines", "provisional_lines", "levies", "base"],
)
def test_a_sum_is_the_sum_of_what_it_names(priced, name):
    figures = priced.reasons.figures
    signs = {"discount": -1}
    total = sum(figures[one].value.minor * signs.get(one, 1) for one in figures[name].inputs)
    assert figures[name].value.minor == total


def test_a_group_is_the_sum_of_its_lines_and_its_contingency(priced):
    for group in priced.price.groups:
        figure = priced.reasons.get(f"group/{group.group}")
        below = sum(priced.reasons.get(one).value.minor for one in figure.inputs)
        assert figure.value.minor == below
