"""From a finding to a disposition: every kind, every branch of the rule, and who overrules it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.domain.disposition import Judgement, judge
from estimator.domain.findings import DISPOSITIONS
from tests.golden.golden_job import golden_inputs
from tests.unit.changed import finding_made

HOURS, WANTED = Decimal(10000), Decimal(8000)


def judged(cat, hours: Decimal = HOURS, wanted: Decimal = WANTED, **cells) -> Judgement:
    return judge(finding_made(**cells), cat, hours, wanted)


# P-EDG: new 45 mm, rebuild limit 28, service limit 22, gauge 0.5; 25 % is 39.25, 60 % is 31.2 mm
@pytest.mark.parametrize(
    ("reading", "disposition", "reason"),
    [
        ("46", "reuse", "25 % worn or less"),
        ("45", "reuse", "25 % worn or less"),
        ("39.25", "reuse", "25 % worn or less"),
        ("31.2", "recondition", "remaining life 6,666 h, 8,000 wanted"),
        ("31.19", "recondition", "over 60 % worn"),
        ("27.9", "recondition", "beyond rebuild limit"),
        ("22", "recondition", "beyond rebuild limit"),
        ("21.9", "replace", "beyond service limit"),
        ("0", "replace", "beyond service limit"),
    ],
)
def test_a_reading_against_its_limits(cat, reading, disposition, reason):
    got = judged(cat, measure="M1101", measured=Decimal(reading), unit="mm")
    assert (got.rule_disposition, got.rule_reason) == (disposition, reason)
    assert got.worn is (disposition != "reuse")
    assert got.settles


@pytest.mark.parametrize(
    ("wanted", "disposition"),
    [("6666.6", "reuse"), ("6667", "recondition"), ("0", "reuse"), ("20000", "recondition")],
)
def test_between_reuse_and_recondition_the_life_left_decides(cat, wanted, disposition):
    # 60 % worn after 10,000 h leaves 6,666.7 h
    got = judged(cat, wanted=Decimal(wanted), measure="M1101", measured=Decimal("31.2"), unit="mm")
    assert got.rule_disposition == disposition


@pytest.mark.parametrize(("hours", "disposition"), [("8000", "reuse"), ("7999", "recondition")])
def test_just_the_life_wanted_is_enough(cat, hours, disposition):
    # half worn: as many hours are left as were run
    reading = {"measure": "M1101", "measured": Decimal("33.5"), "unit": "mm"}
    assert judged(cat, hours=Decimal(hours), **reading).rule_disposition == disposition


def test_a_part_that_has_run_no_hours_leaves_no_rate_to_rely_on(cat):
    got = judged(cat, hours=Decimal(0), measure="M1101", measured=Decimal(35), unit="mm")
    assert got.life_left is None
    assert got.rule_disposition == "recondition"


def test_the_thresholds_are_the_workshop_s_own(cat):
    settings = replace(cat.settings, reuse_percent=Decimal(10), recondition_percent=Decimal(20))
    strict = replace(cat, catalogue=replace(cat.catalogue, settings=settings))
    reading = {"measure": "M1101", "measured": Decimal("40.2"), "unit": "mm"}  # 20.87 % worn
    assert judged(cat, **reading).rule_disposition == "reuse"
    assert judged(strict, **reading).rule_reason == "over 20 % worn"


@pytest.mark.parametrize(
    ("reading", "limit"),
    [("28.5", "rebuild"), ("27.5", "rebuild"), ("27.4", ""), ("22.5", "service"), ("21.4", "")],
)
def test_within_gauge_error_of_a_limit_the_answer_is_provisional(cat, reading, limit):
    got = judged(cat, measure="M1101", measured=Decimal(reading), unit="mm")
    assert got.gauge_limit == limit
    assert got.provisional is bool(limit)
    if limit:
        assert got.provisional_reason == f"reading within gauge error of the {limit} limit"


def test_the_error_of_the_gauge_that_was_used_counts(cat):
    reading = {"measure": "M1101", "measured": Decimal(30), "unit": "mm"}
    assert judged(cat, **reading).gauge_limit == ""
    assert judged(cat, **reading, gauge_error=Decimal(2)).gauge_limit == "rebuild"
    assert judged(cat, **(reading | {"measured": Decimal("28.2")}),
                  gauge_error=Decimal("0.1")).gauge_limit == ""  # fmt: skip


# (cells, disposition by rule, reason, worn, settles)
BY_SIGHT = [
    ({"kind": "crack", "result": "", "measured": Decimal(85)}, "replace", "crack", True, True),
    ({"kind": "crack", "result": "sound"}, "reuse", "no crack found", False, True),
    ({"kind": "visual", "result": "worn"}, "recondition", "seen", True, True),
    ({"kind": "visual", "result": "sound"}, "reuse", "seen", False, True),
    ({"kind": "safety", "result": "worn"}, "replace", "safety item", True, True),
    ({"kind": "safety", "result": "sound"}, "reuse", "safety item", False, True),
    ({"kind": "count", "measured": Decimal(2)}, "replace", "counted", True, True),
    ({"kind": "count", "measured": Decimal(0)}, "reuse", "none counted", False, True),
    ({"kind": "hose", "measured": Decimal(46)}, "replace", "counted", True, True),
    ({"kind": "hose", "measured": Decimal(0)}, "reuse", "none counted", False, True),
    ({"kind": "not seen"}, "open", "not seen", None, False),
    ({"kind": "not tested"}, "open", "not tested", None, False),
    ({"kind": "oil", "result": "alarm"}, "open", "sign: alarm", None, False),
    ({"kind": "oil", "result": "clear"}, "reuse", "sign: clear", None, False),
    ({"kind": "test", "result": "alarm"}, "open", "sign: alarm", None, False),
    ({"kind": "test", "result": "clear"}, "reuse", "sign: clear", None, False),
    ({"kind": "test"}, "reuse", "sign: no likelihood set", None, False),
    ({"kind": "oil", "test": "T-EO"}, "reuse", "sign: no result", None, False),
]


@pytest.mark.parametrize(("cells", "disposition", "reason", "worn", "settles"), BY_SIGHT)
def test_what_is_seen_counted_or_tested(cat, cells, disposition, reason, worn, settles):
    got = judged(cat, part=("P-TPM",), **cells)
    assert (got.rule_disposition, got.rule_reason) == (disposition, reason)
    assert got.worn is worn
    assert got.settles is settles


def test_a_sign_in_alarm_says_nothing_of_the_part_it_is_overruled_to_reuse(cat):
    """Clutch pressure below its band is a sign; the estimator's word does not make it a reading."""
    got = judged(
        cat,
        measure="M0302",
        part=("P-TVB",),
        measured=Decimal("14.1"),
        unit="bar",
        override="reuse",
        override_reason="gauge line was blocked",
    )
    assert got.rule_disposition == "open"
    assert got.worn is not True


# -- alarms of tests ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("measure", "reading", "unit", "alarm"),
    [
        ("M0302", "15.9", "bar", True),  # clutch pressure, band from 16 bar
        ("M0302", "16.0", "bar", False),
        ("M0302", "1600", "kPa", False),
        ("M0604", "5", "bar", False),  # brake pressure, band up to 5 bar
        ("M0604", "5.1", "bar", True),
        ("M0301", "2039", "rpm", True),  # stall speed, band 2,040 to 2,160
        ("M0301", "2040", "rpm", False),
        ("M0301", "2160", "rpm", False),
        ("M0301", "2161", "rpm", True),
        ("M0801", "16", "L/min", False),  # case drain, rebuild limit 16
        ("M0801", "16.1", "L/min", True),
        ("M0801", "16100", "mL/min", True),
        ("M0204", "1230", "rpm", False),  # fan speed falls: rebuild limit 1,230
        ("M0204", "1229", "rpm", True),
    ],
)
def test_a_test_raises_its_alarm_beyond_its_limit_or_band(cat, measure, reading, unit, alarm):
    assert judged(cat, measure=measure, measured=Decimal(reading), unit=unit).alarm is alarm


@pytest.mark.parametrize(
    ("measure", "cells", "alarm"),
    [
        ("M0109", {"metals": ("Fe 100", "Pb 25")}, False),
        ("M0109", {"metals": ("Fe 100.1",)}, True),
        ("M0109", {"metals": ("Pb 26", "Fe 2")}, True),
        ("M0109", {"metals": ("Cu 500",)}, False),  # no limit is set for copper
        ("M0304", {"cleanliness": "20/18/15"}, True),  # 2 over 18/16/13
        ("M0304", {"cleanliness": "19/17/14"}, False),
        ("M0304", {"cleanliness": "17/15/12", "metals": ("Fe 121",)}, True),
        ("M0109", {}, None),
        ("M0109", {"metals": ("Fe 5",), "result": "alarm"}, True),  # slivers on the plug
        ("M0304", {"cleanliness": "22/20/17", "result": "clear"}, False),
    ],
)
def test_an_oil_sample_alarms_by_metal_or_code_and_a_written_result_wins(
    cat, measure, cells, alarm
):
    assert judged(cat, measure=measure, **cells).alarm is alarm


def test_a_sign_is_of_the_measure_s_parts_else_of_the_test_s(cat):
    assert judged(cat, measure="M0501", measured=Decimal(1), unit="mm").sign_of == ("P-HB1",)
    assert judged(cat, measure="M0801", measured=Decimal(1), unit="L/min").sign_of == ("P-MPR",)
    assert judged(cat, measure="M0109", metals=("Fe 5",)).sign_of == ()
    own = judged(cat, measure="M0801", measured=Decimal(1), unit="L/min", sign_of=("P-SPR",))
    assert own.sign_of == ("P-SPR",)


# -- units --------------------------------------------------------------------------------------


def test_a_reading_in_another_unit_is_converted(cat):
    got = judged(cat, measure="M0108", measured=Decimal(142), unit="kPa")
    assert (got.measured, got.unit) == (Decimal("1.42"), "bar")


def test_limits_typed_with_a_finding_are_in_the_finding_s_own_unit(cat):
    in_bar = judged(
        cat,
        measure="M0108",
        measured=Decimal("1.42"),
        unit="bar",
        new=Decimal("1.55"),
        rebuild_limit=Decimal("1.35"),
        service_limit=Decimal("1.20"),
    )
    in_kilopascal = judged(
        cat,
        measure="M0108",
        measured=Decimal(142),
        unit="kPa",
        new=Decimal(155),
        rebuild_limit=Decimal(135),
        service_limit=Decimal(120),
    )
    assert in_kilopascal.worn_percent == in_bar.worn_percent
    assert in_kilopascal.disposition == in_bar.disposition


def test_the_gauge_error_typed_with_a_finding_is_in_the_finding_s_own_unit(cat):
    # 142 kPa is 7 kPa from the rebuild limit of 1.35 bar: a gauge good to 2 kPa can tell
    got = judged(cat, measure="M0108", measured=Decimal(142), unit="kPa", gauge_error=Decimal(2))
    assert got.gauge_limit == ""


# -- the estimator's word -----------------------------------------------------------------------


@pytest.mark.parametrize("override", DISPOSITIONS)
def test_the_estimator_s_word_counts_and_the_rule_s_stays_on_record(cat, override):
    got = judged(
        cat,
        measure="M0401",
        measured=Decimal("0.33"),
        unit="mm",
        override=override,
        override_reason="as agreed",
    )
    assert got.disposition == override
    assert got.rule_disposition == "recondition"
    assert got.worn is True
    assert got.settles is (override != "open")


@pytest.mark.parametrize(
    ("cells", "reason"),
    [
        ({"kind": "count", "measured": Decimal(9)}, "counted from outside; settled when open"),
        ({"kind": "hose", "measured": Decimal(9)}, "counted from outside; settled when open"),
        ({"kind": "count", "measured": Decimal(0)}, ""),
        ({"kind": "visual", "result": "worn"}, ""),
        ({"kind": "visual", "result": "worn", "quantity": Decimal(2), "quantity_low": Decimal(1),
          "quantity_high": Decimal(3)}, "extent still to be measured"),
        ({"kind": "visual", "result": "worn", "quantity": Decimal(2), "quantity_low": Decimal(2),
          "quantity_high": Decimal(2)}, ""),
        ({"kind": "crack", "override": "recondition", "override_reason": "weld"},
         "length and depth known only when the crack is opened"),
        ({"kind": "crack"}, ""),
    ],
)  # fmt: skip
def test_why_an_extent_is_not_known_yet(cat, cells, reason):
    assert judged(cat, part=("P-SEN",), **cells).provisional_reason == reason


READINGS = st.decimals(0, 60, places=2)


@given(READINGS, READINGS)
def test_more_wear_never_brings_a_milder_disposition(one, other):
    cat = golden_inputs()[1]
    severity = ("reuse", "recondition", "replace")
    worn, less = min(one, other), max(one, other)  # the edge grows thinner
    got = [
        severity.index(judged(cat, measure="M1101", measured=reading, unit="mm").rule_disposition)
        for reading in (less, worn)
    ]
    assert got[0] <= got[1]
