"""Chances, factors, contingency and contributions of the golden job.

Expected files: computed by a separate quadrature over the factors (40 x 32 nodes a circuit, 27
points for the hub seats, exact beta characteristic functions), confirmed there on a lattice of
10 GBP and by 40 million weighted draws (P80 31,316.09 with a standard error of 16.91). It shares
no code with the program.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from estimator.domain.exposure.contingency import spread_of
from estimator.domain.exposure.distribution import Distribution
from estimator.domain.exposure.exposed_parts import cases_of
from estimator.domain.exposure.factors import FactorModel
from estimator.domain.exposure.own_cases import pool_grid
from estimator.domain.exposure.wear_out import scale_of

SIX_PLACES = 0.6e-6  # the expected files give six places
TWO_PLACES = 0.0051
HUBS = "hub bearing seat"


def rows_of(expected, kind: str) -> dict[str, dict[str, str]]:
    return {row["id"]: row for row in expected("exposure") if row["kind"] == kind}


def total_of(expected, code: str) -> float:
    return float(rows_of(expected, "total")[code]["expected_GBP"])


def open_rows(expected) -> dict[str, dict[str, str]]:
    return rows_of(expected, "exposed") | rows_of(expected, "firm by chance")


def test_which_parts_are_open_settled_and_firm(golden, expected):
    chances = golden.known.chances
    assert {part.part for part in golden.exposed} == set(rows_of(expected, "exposed"))
    assert set(golden.firm_by_chance) == set(rows_of(expected, "firm by chance"))
    assert {p for p, c in chances.items() if c.state is True} == set(
        rows_of(expected, "settled worn")
    )
    assert {p for p, c in chances.items() if c.state is False} == set(
        rows_of(expected, "settled sound")
    )
    spread = {one.id for one in golden.lines if one.line.certainty == "provisional"}
    assert spread == set(rows_of(expected, "provisional"))


@pytest.mark.parametrize(
    ("column", "attribute"),
    [
        ("chance_start", "start"),
        ("chance_prior", "prior"),
        ("chance_after_own_signs", "own"),
        ("chance_after_all_or_mean", "after"),
    ],
)
def test_chances_step_by_step(golden, expected, column, attribute):
    wanted = {part: float(row[column]) for part, row in open_rows(expected).items()}
    found = {part: getattr(golden.known.chances[part], attribute) for part in wanted}
    assert len(wanted) == 46
    assert found == pytest.approx(wanted, abs=SIX_PLACES)


def test_starting_chance_of_settled_parts(golden, expected):
    settled = rows_of(expected, "settled worn") | rows_of(expected, "settled sound")
    wanted = {part: float(row["chance_prior"]) for part, row in settled.items()}
    found = {part: golden.known.chances[part].prior for part in wanted}
    assert found == pytest.approx(wanted, abs=SIX_PLACES)


def test_signs_ratios_and_loadings(golden, expected):
    wanted = {
        part: (
            row["signs_used"], round(float(row["likelihood_ratio"] or 1), 4),
            float(row["life_loading_or_sd"]), float(row["circuit_loading"]),
        )
        for part, row in open_rows(expected).items()
    }  # fmt: skip
    found = {}
    for part in wanted:
        chance = golden.known.chances[part]
        used = ";".join(sign.finding for sign in chance.signs if sign.used)
        shared = chance.shared if chance.circuit else 0.0
        found[part] = (used, round(chance.ratio, 4), chance.life, shared)
    assert found == wanted


def test_what_each_chance_rests_on(golden, expected):
    wanted = {part: row["rests_on"].split(",")[0] for part, row in open_rows(expected).items()}
    found = {part: golden.known.chances[part].rests_on for part in wanted}
    assert found == wanted
    assert found["P-HB1"] == "own cases (14)"


def test_factors_after_the_inspection(golden, expected):
    model = golden.known.model
    wanted = {
        code: (float(row["chance_after_all_or_mean"]), float(row["life_loading_or_sd"]))
        for code, row in rows_of(expected, "factor").items()
    }
    found = {"life": model.life_moments()}
    found |= {circuit: model.circuit_moments(circuit) for circuit in model.circuits}
    assert set(found) == set(wanted)
    for code, pair in wanted.items():
        assert found[code] == pytest.approx(pair, abs=1e-3), code


def test_hub_seats_over_the_grid(golden, expected):
    cat = golden.cat
    row = cat.wear["P-HB1"]
    spreads = (float(cat.settings.scale_spread), float(cat.settings.shape_spread))
    grid = pool_grid(scale_of(row), float(row.shape), cases_of(HUBS, cat), *spreads)
    model = golden.known.model
    hub = next(item for item in model.items if item.part == "P-HB1")
    points = zip(
        grid, model.grid, model.weights.sum(axis=1), hub.chances, expected("hub_grid"), strict=True
    )
    for point, weight, after, chance, wanted in points:
        assert point.scale == pytest.approx(float(wanted["weibull_scale_h"]), abs=TWO_PLACES)
        assert point.shape == pytest.approx(float(wanted["weibull_shape"]), abs=1e-9)
        own_cases = float(wanted["weight_after_own_cases"])
        assert point.weight == pytest.approx(own_cases, abs=1e-8)
        assert weight == pytest.approx(own_cases, abs=1e-8)
        assert after == pytest.approx(float(wanted["weight_after_inspection"]), abs=2e-8)
        assert chance == pytest.approx(float(wanted["chance_at_job_hours"]), abs=1e-8)


def test_costs_if_worn(golden, expected):
    wanted = {
        part: [float(row[f"{name}_GBP"]) for name in ("low", "likely", "high", "mean_if_worn")]
        for part, row in rows_of(expected, "exposed").items()
    }
    for part in golden.exposed:
        cost = part.cost
        found = [cost.low, cost.likely, cost.high, cost.mean]
        assert found == pytest.approx(wanted[part.part], abs=TWO_PLACES), part.part


def test_contingency(golden, expected):
    held = golden.contingency
    assert held.bound == "percentile"
    assert held.amount.amount == 31317
    for code in ("P80", "FINE-P80", "LAT-P80"):
        assert held.at_confidence == pytest.approx(total_of(expected, code), abs=1), code
    assert held.mean == pytest.approx(total_of(expected, "MEAN"), abs=0.01)
    assert held.deviation == pytest.approx(total_of(expected, "SD"), abs=0.05)


@pytest.mark.parametrize("share", [0.1, 0.2, 0.5, 0.8, 0.9, 0.95])
def test_percentiles(golden, expected, share):
    wanted = total_of(expected, f"P{share * 100:.0f}")
    assert golden.contingency.percentiles[share] == pytest.approx(wanted, abs=1)


def test_percentiles_lie_where_the_draws_lie(golden, expected):
    # 40 million weighted draws, computed apart; within four standard errors
    for code, row in rows_of(expected, "draws").items():
        if not code.startswith("MC-P"):
            continue
        drawn, error = float(row["expected_GBP"]), float(row["contribution_GBP"])
        share = float(code.removeprefix("MC-P")) / 100
        assert abs(golden.contingency.percentiles[share] - drawn) < 4 * error, code
    mean = rows_of(expected, "draws")["MC-MEAN"]
    error = float(mean["contribution_GBP"])
    assert abs(golden.contingency.mean - float(mean["expected_GBP"])) < 4 * error


def test_shares_of_the_contingency(golden, expected):
    wanted = rows_of(expected, "exposed") | rows_of(expected, "provisional")
    shares = {share.id: share for share in golden.contingency.shares}
    assert set(shares) == set(wanted)
    for code, row in wanted.items():
        share = shares[code]
        assert share.amount.amount == int(row["share_GBP"]), code
        assert share.expected == pytest.approx(float(row["expected_GBP"]), abs=0.02), code
        assert share.contribution == pytest.approx(float(row["contribution_GBP"]), abs=0.05), code
    assert sum(share.amount.minor for share in shares.values()) == 31317_00


def test_contributions_of_the_groups(golden, expected):
    wanted = {
        code: (float(row["expected_GBP"]), float(row["contribution_GBP"]))
        for code, row in rows_of(expected, "group").items()
    }
    for code, (mean, contribution) in wanted.items():
        own = [share for share in golden.contingency.shares if share.group == code]
        assert sum(share.expected for share in own) == pytest.approx(mean, abs=0.1), code
        found = sum(share.contribution for share in own)
        assert found == pytest.approx(contribution, abs=0.3), code


def spreads_of(golden):
    return {one.id: spread_of(one) for one in golden.lines if one.line.certainty == "provisional"}


def open_items(golden):
    """The open parts as the factors see them, and their costs."""
    costs = {part.part: part.cost for part in golden.exposed}
    return [item for item in golden.known.model.items if item.part in costs], costs


def check_totals(expected, found: Distribution, prefix: str) -> None:
    mean = total_of(expected, f"{prefix}-MEAN")
    assert found.moments.mean == pytest.approx(mean, abs=TWO_PLACES)
    for share in (0.5, 0.8, 0.9):
        wanted = total_of(expected, f"{prefix}-P{share * 100:.0f}")
        assert found.percentile(share) == pytest.approx(wanted, abs=0.5)


def test_without_factors_it_would_be_less(golden, expected):
    """Wear that goes together costs money: the same parts as if each wore by itself."""
    items, costs = open_items(golden)
    alone = [replace(item, circuit="", life=0.0, shared=0.0) for item in items]
    model = FactorModel(alone, (), golden.known.model.grid)
    check_totals(expected, Distribution(model, costs, spreads_of(golden)), "IND")


def test_before_the_inspection_said_anything(golden, expected):
    items, costs = open_items(golden)
    unread = [replace(item, ratio=1.0) for item in items]
    model = FactorModel(unread, (), golden.known.model.grid)
    check_totals(expected, Distribution(model, costs, spreads_of(golden)), "PRIOR")
