"""The exposure as JSON: it fits its schema, every field is described, the figures are those of the
worked job, and the distribution can be reckoned again from what stands there alone."""

from __future__ import annotations

import copy
import csv
import json
import re
from pathlib import Path

import pytest

from estimator.command.exposure_data import FORM, exposure_data
from estimator.domain.exposure_sheet import build_exposure_sheet
from estimator.domain.priced_job import PricedJob
from estimator.installed import data_root
from estimator.services.open_catalogue import open_catalogue
from estimator.services.price_job import price_job
from estimator.services.print_exposure import make_exposure_sheet
from tests.command.draw_again import drawn
from tests.command.schema_check import faults
from tests.resolved import only_open

ROOT = Path(__file__).parents[2]
GOLDEN = ROOT / "tests" / "golden"


@pytest.fixture(scope="module")
def priced() -> PricedJob:
    return price_job(GOLDEN / "job", open_catalogue(GOLDEN / "catalogue"))


@pytest.fixture(scope="module")
def data(priced):
    return json.loads(json.dumps(exposure_data(make_exposure_sheet(priced))))


@pytest.fixture(scope="module")
def schema():
    path = data_root() / "resources" / "schemas" / "exposure.schema.json"
    return json.loads(path.read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def expected():
    path = GOLDEN / "expected" / "expected_exposure.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


# The schema


def test_the_golden_job_fits_the_schema(data, schema):
    assert list(faults(data, schema)) == []
    assert data["form"] == FORM


def fields_of(schema, at="$"):
    """Every field that a schema names, at any depth, with what it says of it."""
    for name, one in schema.get("properties", {}).items():
        yield f"{at}.{name}", one
        yield from fields_of(one, f"{at}.{name}")
    for name in ("items", "additionalProperties"):
        if isinstance(schema.get(name), dict):
            yield from fields_of(schema[name], at)
    for name, one in schema.get("$defs", {}).items():
        yield from fields_of(one, f"#{name}")


def test_every_field_is_described(schema):
    fields = list(fields_of(schema))
    assert len(fields) > 200
    for at, one in fields:
        assert re.fullmatch(r"\w.{5,}\.", one.get("description", "")), at


UNITS = ("in major units", "0 to 1", "hours x duty", ", h.", ", h;", "(no unit", "orking days",
         "standard deviations", "(a count)")  # fmt: skip


def test_every_number_names_its_unit(schema):
    """Money names its own once, in its definition; all else at each field."""
    assert "major units of `currency`" in schema["$defs"]["money"]["description"]
    numbers = [(at, one) for at, one in fields_of(schema)
               if one.get("type") in ("number", "integer") or one.get("$ref") == "#/$defs/decimal"
               or {"$ref": "#/$defs/decimal"} in one.get("anyOf", [])]  # fmt: skip
    assert len(numbers) > 60
    for at, one in numbers:
        assert any(unit in one["description"] for unit in UNITS), at


def spoilt(data, change):
    other = copy.deepcopy(data)
    change(other)
    return other


@pytest.mark.parametrize(
    "change",
    [
        lambda data: data.pop("mean"),
        lambda data: data.update(extra=1),
        lambda data: data.update(contingency=31317),
        lambda data: data.update(form="exposure/2"),
        lambda data: data["parts"][0]["chance"].update(prior=1.2),
        lambda data: data["parts"][0]["chance"].pop("signs"),
        lambda data: data["settled"][0].update(state="good"),
        lambda data: data["open_first"][0].update(cost=0),
        lambda data: data["curve"].update(above_base=[]),
        lambda data: data["parts"][0]["chance"].update(scale=0),
        lambda data: data["machine"].update(hours="many"),
    ],
)
def test_what_does_not_fit_is_told(data, schema, change):
    """The check itself: it must be able to fail."""
    assert list(faults(spoilt(data, change), schema))


@pytest.mark.parametrize("sample", ["wheel_loader", "crawler_excavator"])
def test_the_sample_jobs_fit_it_too(schema, sample):
    priced = price_job(ROOT / "sample_db" / sample, open_catalogue(None))
    assert list(faults(exposure_data(build_exposure_sheet(priced)), schema)) == []


def test_a_job_with_nothing_open_fits_it(priced, schema):
    data = exposure_data(build_exposure_sheet(only_open(priced)))
    assert list(faults(data, schema)) == []
    assert (data["contingency"], data["bound"], data["parts"]) == ("0.00", "nothing", [])


# The figures


def test_the_sums_are_those_of_the_worked_job(data):
    assert data["base"] == "244629.00"
    assert (data["contingency"], data["bound"], data["net"]) == \
        ("31317.00", "percentile", "275946.00")  # fmt: skip
    assert data["mean"] == pytest.approx(22734.90, abs=0.01)
    assert data["at_confidence"] == pytest.approx(31317.01, abs=0.02)
    assert data["finish"]["ready"]["0.8"] == "2027-03-12"


def test_chances_are_those_of_the_worked_job(data, expected):
    rows = {row["id"]: row for row in expected if row["kind"] in ("exposed", "firm by chance")}
    found = {one["part"]: one["chance"] for one in data["parts"] + data["firm_by_chance"]}
    assert set(found) == set(rows)
    for column, name in (("chance_start", "start"), ("chance_prior", "prior"),
                         ("chance_after_own_signs", "after_own_signs"),
                         ("chance_after_all_or_mean", "after_everything")):  # fmt: skip
        wanted = {part: float(row[column]) for part, row in rows.items()}
        assert {part: chance[name] for part, chance in found.items()} == \
            pytest.approx(wanted, abs=1e-6)  # fmt: skip


def test_settled_parts_stand_there_with_what_they_were_found_to_be(data, expected):
    for state in ("worn", "sound"):
        wanted = {row["id"] for row in expected if row["kind"] == f"settled {state}"}
        assert {one["part"] for one in data["settled"] if one["state"] == state} == wanted


def test_shares_add_up_to_the_contingency_by_part_and_by_group(data):
    rows = data["parts"] + data["provisional"] + data["found"]
    assert sum(float(one["share"]) for one in rows) == 31317
    assert sum(float(one["share"]) for one in data["groups"]) == 31317
    for group in data["groups"]:
        own = sum(float(one["share"]) for one in rows if one["group"] == group["group"])
        assert own == float(group["share"])


def test_the_curve_rises_and_agrees_with_the_percentiles(data):
    sums, shares = data["curve"]["above_base"], data["curve"]["share"]
    assert sums == sorted(sums)
    assert shares == sorted(shares)
    at = next(place for place, share in enumerate(shares) if share >= 0.8)
    assert sums[at - 1] <= data["percentiles"]["0.8"] <= sums[at]


def test_what_is_held_never_falls_with_the_confidence(data):
    held = [float(one["amount"]) for one in data["held"]]
    assert held == sorted(held)
    assert next(one for one in data["held"] if one["confidence"] == "0.8")["amount"] == "31317.00"


def test_looks_and_forms_are_there(data):
    falls = [float(one["fall"]) for one in data["open_first"]]
    assert len(falls) > 40
    assert falls == sorted(falls, reverse=True)
    assert [one["form"] for one in data["forms"] if one["chosen"]] == ["base and named contingency"]


# Reckoned again from the data alone


def test_drawing_again_from_the_data_alone_gives_the_same_distribution(data):
    """Every input is there: another way (sampling), other code, nothing but the JSON."""
    import numpy as np

    sums = drawn(data, 200_000, seed=2041)
    error = sums.std() / len(sums) ** 0.5
    assert abs(sums.mean() - data["mean"]) < 3 * error
    assert np.quantile(sums, 0.8) == pytest.approx(data["percentiles"]["0.8"], rel=0.01)
    assert np.quantile(sums, 0.95) == pytest.approx(data["percentiles"]["0.95"], rel=0.02)
    assert sums.std() == pytest.approx(data["standard_deviation"], rel=0.01)


@pytest.mark.parametrize("lost", ["settled", "circuit_tests"])
def test_drawing_again_shows_an_input_that_is_missing(data, lost):
    """The check itself: without an input the distribution is another."""
    sums = drawn({**data, lost: []}, 60_000, seed=2041)
    error = sums.std() / len(sums) ** 0.5
    assert abs(sums.mean() - data["mean"]) > 4 * error
