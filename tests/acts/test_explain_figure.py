"""Asking why: every figure of a job answers, to any depth."""

from __future__ import annotations

import json

import pytest

from estimator.domain.priced_job import PricedJob
from estimator.domain.reasons import missing_inputs
from estimator.services.compare_options import offer_teardown
from estimator.services.errors import NotFound
from estimator.services.explain_figure import explain_as_data, explain_as_text, figure_names


def test_every_figure_rests_on_figures_that_are_there(priced: PricedJob) -> None:
    offer_teardown(priced)
    assert missing_inputs(priced.reasons.figures) == []


def test_every_money_figure_is_reached_from_the_gross_price(priced: PricedJob) -> None:
    met = {figure.name for _, figure, _ in priced.reasons.below("gross")}
    for one in priced.lines:
        assert f"line/{one.id}" in met
    for part in priced.exposed:
        assert f"chance/{part.part}" in met
        assert f"cost_if_worn/{part.part}" in met


def test_a_line_names_rate_hours_source_and_origin(priced: PricedJob) -> None:
    text = explain_as_text(priced, "line/O0003")
    for piece in (
        "1,088.00 GBP",
        "charged hours x rate",
        "72.50 GBP/h",
        "1.25",
        "operations.csv",
        "starting value",
        "always at this rebuild level",
        "wage: 16.40",
    ):
        assert piece in text


def test_depth_stops_the_walk(priced: PricedJob) -> None:
    shallow = explain_as_data(priced, "gross", depth=0)
    assert shallow["inputs"] == ["net", "tax"]
    deep = json.dumps(explain_as_data(priced, "gross"))
    assert "cost_rate/HF" in deep


def test_a_line_called_by_a_finding_leads_to_it(priced: PricedJob) -> None:
    data = explain_as_data(priced, "line/P-UJT")
    finding = data["inputs"][0]
    assert finding["name"] == "finding/I23"
    assert finding["numbers"]["reading"] == "0.33 mm"
    assert finding["inputs"][0]["value"] == "80.00"


def test_an_unknown_figure_is_answered_with_near_ones(priced: PricedJob) -> None:
    with pytest.raises(NotFound) as caught:
        explain_as_text(priced, "line/P-TCX")
    assert "line/P-TCK" in caught.value.remedy


def test_names_can_be_listed_by_their_start(priced: PricedJob) -> None:
    names = figure_names(priced, "chance/")
    assert "chance/P-HB2" in names
    assert all(name.startswith("chance/") for name in names)
