"""Tests as likelihood ratios: one voice a family, one part or one circuit a test."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.domain.exposure.evidence import (
    combined_ratio,
    likelihood_ratio,
    signs_from,
    updated,
)
from tests.unit.changed import finding_added, finding_made, walked

CHANCES = st.floats(0.0001, 0.9999)
RATIOS = st.floats(0.001, 1000)


def test_ratios_by_hand(cat):
    test = cat.tests["T-CDM"]  # sensitivity 0.80, specificity 0.85
    assert likelihood_ratio(test, alarm=True) == pytest.approx(0.80 / 0.15)
    assert likelihood_ratio(test, alarm=False) == pytest.approx(0.20 / 0.85)


def test_an_alarm_speaks_for_wear_and_silence_against_it(cat):
    for test in cat.tests.values():
        assert likelihood_ratio(test, alarm=True) > 1 > likelihood_ratio(test, alarm=False)


def test_even_a_perfect_test_may_be_wrong_once(cat):
    perfect = replace(cat.tests["T-CDM"], sensitivity=Decimal(1), specificity=Decimal(1))
    assert likelihood_ratio(perfect, alarm=True) == pytest.approx(1e6)
    assert 0 < likelihood_ratio(perfect, alarm=False) <= 1e-6


@given(CHANCES, RATIOS)
def test_evidence_moves_a_chance_its_own_way_and_never_off_the_scale(chance, ratio):
    after = updated(chance, ratio)
    assert 0 <= after <= 1
    assert (after >= chance) if ratio >= 1 else (after <= chance)


@given(CHANCES, RATIOS, RATIOS)
def test_the_order_of_evidence_does_not_matter(chance, one, other):
    assert updated(updated(chance, one), other) == pytest.approx(
        updated(updated(chance, other), one), abs=1e-9
    )
    assert updated(updated(chance, one), 1 / one) == pytest.approx(chance, abs=1e-9)


def test_the_strongest_sign_of_a_family_counts_once(golden_walk, cat):
    signs = {
        sign.finding: sign
        for sign in signs_from(golden_walk.judgements.values(), cat.tests, "part")
        if sign.target == "P-MPR"
    }
    assert set(signs) == {"I43", "I44"}  # case drain 5.333, cycle time 2.333: one family
    assert signs["I43"].used
    assert not signs["I44"].used
    assert combined_ratio(signs.values(), "P-MPR") == pytest.approx(0.80 / 0.15)


def test_a_strong_silence_outweighs_a_weak_alarm_of_its_family(job, cat):
    """Case drain clear (1 / 4.25) against a slow cycle (2.333): the stronger one is the clear."""
    clear = finding_made("N1", measure="M0801", component="C08A", measured=Decimal(6), unit="L/min")
    findings = tuple(f for f in job.findings if f.id != "I43")
    got = walked(replace(job, findings=(*findings, clear)), cat)
    assert got.known.chances["P-MPR"].ratio == pytest.approx(0.20 / 0.85)


def test_repeating_a_sign_does_not_make_it_stronger(job, cat):
    again = [
        finding_made(f"N{number}", measure="M0801", component="C08A", measured=Decimal(20),
                     unit="L/min")
        for number in range(4)
    ]  # fmt: skip
    before = walked(job, cat).known.chances["P-MPR"]
    after = walked(finding_added(job, *again), cat).known.chances["P-MPR"]
    assert after.after == pytest.approx(before.after, abs=1e-12)


def test_a_hub_s_own_play_speaks_of_that_hub_alone(golden_walk, cat):
    signs = signs_from(golden_walk.judgements.values(), cat.tests, "part")
    hubs = {sign.finding: sign.target for sign in signs if sign.test == "T-HUB"}
    assert hubs == {"I27": "P-HB1", "I28": "P-HB2", "I29": "P-HB3", "I30": "P-HB4"}


def test_oil_speaks_of_its_circuit_and_of_no_part(golden_walk, cat):
    of_parts = signs_from(golden_walk.judgements.values(), cat.tests, "part")
    of_circuits = signs_from(golden_walk.judgements.values(), cat.tests, "circuit")
    assert {sign.target for sign in of_circuits} == {"EO", "CO", "TO", "HO", "AF", "AR"}
    assert not {sign.target for sign in of_parts} & {"EO", "CO", "TO", "HO", "AF", "AR"}
    assert {sign.finding: sign.alarm for sign in of_circuits} == {
        "I10": False, "I14": False, "I21": True, "I33": False, "I50": True, "I78": True,
    }  # fmt: skip


def test_a_test_without_a_result_says_nothing(job, cat):
    mute = finding_added(job, finding_made("N1", measure="M0501", kind="not tested"))
    before, after = walked(job, cat).known.chances, walked(mute, cat).known.chances
    assert after["P-HB1"].after == before["P-HB1"].after


def test_no_sign_on_a_part_is_a_ratio_of_one():
    assert combined_ratio((), "P-CRK") == 1
