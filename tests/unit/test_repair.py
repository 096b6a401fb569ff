"""A repair: what it takes of the catalogue, what it holds for, and what it leaves alone."""

from __future__ import annotations

from dataclasses import replace

import pytest

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.job import ScopeChange
from estimator.domain.job_data import job_as_data
from estimator.domain.job_edit import apply_edit, edit_between
from estimator.domain.options import level_options
from estimator.domain.priced_job import reckon
from estimator.domain.quote import build_quote
from estimator.domain.repair import repair_faults, repairable, with_components
from estimator.services.open_catalogue import open_catalogue
from tests.golden.golden_job import golden_inputs

PUMPS = ("C08A", "C08B")


@pytest.fixture(scope="module")
def shipped():
    """The catalogue that comes with the program, as a wheel loader sees it."""
    return for_class(open_catalogue(), "WL28")


@pytest.fixture(scope="module")
def repair():
    """The golden machine, in for its pumps and valves alone."""
    job, _ = golden_inputs()
    return with_components(replace(job, level="repair", removed=(), added=(), ways={}), PUMPS,
                           "pumps noisy", "E. Marsh")  # fmt: skip


@pytest.fixture(scope="module")
def priced(repair, shipped):
    return reckon(repair, shipped, shares=False)


def test_it_takes_its_components_and_what_every_repair_needs(priced, shipped):
    of_components = [one for one in priced.lines if one.line.row.component in PUMPS]
    beside = [one for one in priced.lines if one.line.row.component not in PUMPS]
    assert of_components
    assert beside
    assert all("full" in one.line.row.levels for one in of_components)
    assert all("repair" in one.line.row.levels for one in beside)
    always = {
        row.id
        for row in (*shipped.operations.values(), *shipped.parts.values())
        if row.called_by == "level" and "full" in row.levels and row.component in PUMPS
    }
    assert always <= {one.id for one in of_components}


def test_it_costs_what_these_components_cost_in_a_full_rebuild(priced, repair, shipped):
    full = reckon(replace(repair, level="full"), shipped, shares=False)
    of_components = {one.id: one.amount for one in full.lines if one.line.row.component in PUMPS}
    assert of_components == {
        one.id: one.amount for one in priced.lines if one.line.row.component in PUMPS
    }
    assert priced.price.net < full.price.net


def test_it_holds_for_no_part_of_another_component(priced, shipped):
    assert {shipped.parts[one.part].component for one in priced.exposed} <= set(PUMPS)
    assert {one.component for one in priced.found} <= set(PUMPS)
    assert not {shipped.parts[part].component for part in priced.scope.not_looked_at} - set(PUMPS)


def test_its_usual_share_of_new_ends_where_a_driveline_rebuild_begins(shipped):
    row = shipped.machine_class
    assert row.usual_band("repair") == (0, row.driveline_band_low)
    assert row.usual_band("full") == (row.full_band_low, row.full_band_high)


def test_it_stands_beside_the_levels_of_a_rebuild(priced):
    assert [one.level for one in level_options(priced)] == ["repair", "full", "driveline"]


def test_the_quote_says_what_is_repaired_and_that_the_rest_is_not_judged(priced, shipped):
    clauses = build_quote(priced).clauses
    included = {one.id: one.text for one in clauses["included"]}
    named = " · ".join(shipped.components[code].name for code in PUMPS)
    assert included["INC-REPAIR"] == f"Repair of: {named}"
    assert "EXC-REPAIR" in {one.id for one in clauses["not_included"]}
    assert "INC-ENGINE" not in included


def test_a_repair_of_nothing_is_pointed_out(repair, shipped):
    bare = reckon(replace(repair, repaired=()), shipped, shares=False)
    assert "repairs-nothing" in {one.code for one in bare.warnings}
    assert "repairs-nothing" not in {one.code for one in reckon(repair, shipped).warnings}


@pytest.mark.parametrize(
    ("codes", "fault"),
    [(("C99A",), "unknown-component"), (("C08A", "C08A"), "component-twice"), (PUMPS, None)],
)
def test_components_that_are_none_or_twice(repair, shipped, codes, fault):
    job = replace(repair, repaired=tuple(ScopeChange(code, "why", "who") for code in codes))
    assert [one.code for one in repair_faults(job, shipped)] == ([fault] if fault else [])


def test_what_every_repair_takes_anyway_is_not_to_be_chosen(shipped):
    offered = repairable(shipped)
    assert set(PUMPS) <= set(offered)
    assert not {"C00A", "C00B", "C16A", "C17A"} & set(offered)


def test_components_chosen_before_keep_their_reason(repair):
    more = with_components(repair, ("C08A", "C01D"), "turbo whistles", "K. Dorn")
    assert [(one.row_id, one.reason) for one in more.repaired] == [
        ("C08A", "pumps noisy"), ("C01D", "turbo whistles"),
    ]  # fmt: skip


def test_it_is_one_edit_and_can_be_taken_back(repair):
    after = with_components(repair, ("C08A",), "", "")
    edit = edit_between(repair, after, "components")
    assert apply_edit(repair, edit) == after
    assert apply_edit(after, edit_between(after, repair, "undo")) == repair


def test_a_job_without_components_keeps_the_data_it_had(repair):
    assert "repaired" not in job_as_data(replace(repair, repaired=()))
    assert job_as_data(repair)["repaired"][0]["row"] == "C08A"
