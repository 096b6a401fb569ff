"""Wear limits of the golden catalogue as a handbook or supplier states them, and percent worn.

Each limit is read from the catalogue's own row, so that a slip in the row fails here. Limits that
are not marked with a source in the row are invented and not checked.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pint
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from estimator.domain.disposition import Judgement, judge
from estimator.domain.findings import Finding
from estimator.domain.units import UNITS, UnitError, converted, kind_of
from estimator.domain.wear import (
    LimitError,
    Limits,
    is_beyond,
    percent_worn,
    remaining_life,
    within_gauge_error,
)

HOURS, WANTED = Decimal(10_000), Decimal(8_000)
QUICK = settings(deadline=None, max_examples=200, database=None)
READINGS = st.decimals(min_value="-1000", max_value="1000", places=3)


@pytest.fixture
def judged(golden_catalogue):
    """A function from one look or reading to what the rule makes of it."""

    def run(measure: str, measured: str | None = None, **more) -> Judgement:
        finding = Finding(
            id="I1", measure=measure, inspector="A. Rowe", date=date(2026, 11, 16),
            measured=None if measured is None else Decimal(measured), **more,
        )  # fmt: skip
        return judge(finding, golden_catalogue, HOURS, WANTED)

    return run


@pytest.mark.parametrize(
    ("measure", "limit"),
    [
        # read as excerpt: TM 5-3805-280-24-1 p. 6-257, boom, arm and bucket at most 20 mm in 5 min
        # under load, oil 50 +/- 5 degC, engine off
        ("M0804", "20"),
        # read as excerpt: TM 5-3895-382-24, more than 350 kPa between cylinders
        ("M0102", "350"),
        # read as excerpt: a cylinder repairer's guide, chrome at least 0.016 mm
        ("M0806", "0.016"),
    ],
    ids=["lift drift, mm", "compression spread, kPa", "rod chrome, mm"],
)
def test_service_limits_from_a_handbook(golden_catalogue, judged, measure, limit):
    row = golden_catalogue.measures[measure]
    assert row.service_limit == Decimal(limit)
    grows = row.service_limit > row.new
    step = Decimal("0.0001") * (1 if grows else -1)
    at, past = judged(measure, limit), judged(measure, str(Decimal(limit) + step))
    assert at.worn_percent == 100
    assert at.rule_disposition == "recondition"
    assert past.worn_percent > 100
    assert past.rule_disposition == "replace"
    assert past.rule_reason == "beyond service limit"


@pytest.mark.parametrize(
    ("measured", "unit", "percent"),
    [
        ("20", "mm", 100),
        ("0.7874015748", "in", 100),  # 20 mm / 25.4
        ("4", "mm", 0),
    ],
)
def test_drift_in_other_units(judged, measured, unit, percent):
    found = judged("M0804", measured, unit=unit)
    assert found.unit == "mm"
    assert found.worn_percent == pytest.approx(Decimal(percent), abs=Decimal("0.00001"))


def test_compression_in_psi(judged):
    # 350 kPa = 50.763 psi (computed with pint 0.25.3)
    assert judged("M0102", "50.763", unit="psi").worn_percent <= 100
    assert judged("M0102", "50.764", unit="psi").rule_disposition == "replace"


@pytest.mark.parametrize(
    ("metals", "alarm"),
    [
        # read as excerpt: lubricant handbook 2004, warning above Fe 100, Pb 25 ppm
        (("Fe 100",), False),
        (("Fe 100.1",), True),
        (("Fe 86", "Pb 14", "Cu 11", "Si 12"), False),
        (("Pb 25",), False),
        (("Pb 26", "Fe 10"), True),
    ],
)
def test_engine_oil_warning(golden_catalogue, judged, metals, alarm):
    assert golden_catalogue.tests["T-EO"].metals == ("Fe 100", "Pb 25")
    found = judged("M0109", metals=metals)
    assert found.alarm is alarm
    assert found.rule_disposition == ("open" if alarm else "reuse")


@pytest.mark.parametrize(
    ("code", "alarm"),
    [("17/15/12", False), ("18/16/13", False), ("18/16/14", True), ("19/17/14", True),
     ("20/18/15", True), ("16/14/11", False), ("19/15/12", True)],
)  # fmt: skip
def test_hydraulic_oil_target(golden_catalogue, judged, code, alarm):
    # target read in filter suppliers' tables: variable piston pump at 140 to 210 bar, 17/15/12;
    # an alarm from two codes over it is judged
    row = golden_catalogue.tests["T-HO"]
    assert (row.cleanliness, row.cleanliness_over) == ("17/15/12", 2)
    assert judged("M0807", cleanliness=code).alarm is alarm


def test_transmission_oil_by_code_or_by_metal(judged):
    # limits invented; either one alone raises the alarm
    assert judged("M0304", cleanliness="18/16/13", metals=("Fe 120",)).alarm is False
    assert judged("M0304", cleanliness="18/16/13", metals=("Fe 121",)).alarm is True
    assert judged("M0304", cleanliness="20/16/13", metals=("Fe 20",)).alarm is True


@pytest.mark.parametrize(
    ("percent", "hours", "disposition"),
    [
        # common practice, no source: to 25 % reuse; to 60 % reuse if the life left reaches the
        # life wanted, else recondition; to 100 % recondition; beyond, replace
        ("25", "10000", "reuse"),
        ("26", "100", "recondition"),  # 285 h left
        ("50", "10000", "reuse"),  # 10,000 h left
        ("55.5", "10000", "reuse"),  # 8,018 h left
        ("55.6", "10000", "recondition"),  # 7,985 h left
        ("60", "12000", "reuse"),  # 8,000 h left, 8,000 wanted
        ("60.1", "90000", "recondition"),
        ("100", "10000", "recondition"),
        ("100.1", "10000", "replace"),
        ("-5", "10000", "reuse"),
    ],
)
def test_bands_of_wear(judged, percent, hours, disposition):
    found = judged(
        "M0804", percent, new=Decimal(0), rebuild_limit=Decimal(100), service_limit=Decimal(100),
        hours_on_part=Decimal(hours),
    )  # fmt: skip
    assert found.worn_percent == Decimal(percent)
    assert found.rule_disposition == disposition


def test_crack_and_safety_are_replaced_whatever_their_size(judged):
    assert judged("V08", "1").rule_disposition == "replace"
    assert judged("V14", result="worn").rule_disposition == "replace"
    assert judged("V14", result="sound").rule_disposition == "reuse"


# -- percent worn: (new - measured) / (new - limit) x 100; common practice, no source -------------


@st.composite
def limits(draw):
    new, service = draw(READINGS), draw(READINGS)
    assume(abs(new - service) >= Decimal("0.01"))
    return Limits(new, new + (service - new) / 2, service)


@QUICK
@given(limits())
def test_new_is_0_and_the_limit_100_percent(found):
    assert percent_worn(found.new, found) == 0
    assert percent_worn(found.service, found) == 100
    assert percent_worn(found.rebuild, found) == pytest.approx(Decimal(50), abs=Decimal("1e-9"))


@QUICK
@given(limits(), READINGS, READINGS)
def test_more_wear_never_reads_as_less(found, one, other):
    direction = 1 if found.grows else -1
    less, more = sorted((one, other), key=lambda reading: reading * direction)
    assert percent_worn(less, found) <= percent_worn(more, found)
    assert is_beyond(more, less, found) is (more != less)
    assert (percent_worn(more, found) > 100) is is_beyond(more, found.service, found)


@QUICK
@given(limits(), READINGS, st.sampled_from(["in", "um", "m"]))
def test_percent_worn_is_the_same_in_any_unit(found, measured, unit):
    def to(value: Decimal) -> Decimal:
        return converted(value, "mm", unit)

    other = Limits(to(found.new), to(found.rebuild), to(found.service))
    expected = percent_worn(measured, found)
    assert percent_worn(to(measured), other) == pytest.approx(expected, abs=Decimal("1e-9"))


@QUICK
@given(limits(), READINGS)
def test_a_bore_that_grows_reads_like_a_pin_that_shrinks(found, measured):
    mirrored = Limits(-found.new, -found.rebuild, -found.service)
    assert percent_worn(-measured, mirrored) == percent_worn(measured, found)


@given(READINGS)
@QUICK
def test_a_limit_equal_to_new_is_refused(value):
    with pytest.raises(LimitError):
        Limits(value, value, value)


@pytest.mark.parametrize(("new", "rebuild", "service"), [(0, 30, 20), (0, -1, 20), (20, 25, 0)])
def test_a_rebuild_limit_outside_is_refused(new, rebuild, service):
    with pytest.raises(LimitError):
        Limits(Decimal(new), Decimal(rebuild), Decimal(service))


@pytest.mark.parametrize(
    ("percent", "hours", "left"),
    [
        # by hand: (100 - percent) / (percent per hour so far)
        ("50", "6660", "6660"),
        ("55", "6660", "5449.090909"),
        ("25", "10000", "30000"),
        ("125", "10000", "-2000"),
    ],
)
def test_life_left(percent, hours, left):
    assert remaining_life(Decimal(percent), Decimal(hours)) == Decimal(left)


@pytest.mark.parametrize(("percent", "hours"), [("0", "5000"), ("-3", "5000"), ("40", "0")])
def test_life_left_is_unknown_where_no_wear_shows(percent, hours):
    assert remaining_life(Decimal(percent), Decimal(hours)) is None


@pytest.mark.parametrize(
    ("measured", "limit"),
    [
        # by hand: turbocharger axial play, rebuild 0.10, service 0.14, gauge 0.01 mm
        ("0.105", "rebuild"), ("0.11", "rebuild"), ("0.09", "rebuild"), ("0.0899", ""),
        ("0.1101", ""), ("0.13", "service"), ("0.15", "service"), ("0.1501", ""),
    ],
)  # fmt: skip
def test_within_gauge_error(measured, limit):
    found = Limits(Decimal("0.05"), Decimal("0.10"), Decimal("0.14"))
    assert within_gauge_error(Decimal(measured), Decimal("0.01"), found) == limit
    assert within_gauge_error(Decimal(measured), None, found) == ""


# -- units, against pint 0.25.3 -------------------------------------------------------------------

# What each unit is in pint's words. Never the text itself: `mil` and `cfm` mean other things there.
PINT = {
    "mm": "millimeter", "um": "micrometer", "m": "meter", "in": "inch",
    "kPa": "kilopascal", "bar": "bar", "MPa": "megapascal", "psi": "psi",
    "L/min": "liter/minute", "mL/min": "milliliter/minute", "US gal/min": "US_liquid_gallon/minute",
    "s": "second", "min": "minute", "Nm": "newton*meter", "lbf ft": "force_pound*foot",
    "kg": "kilogram", "g": "gram", "lb": "pound", "L": "liter", "US gal": "US_liquid_gallon",
}  # fmt: skip


@pytest.fixture(scope="module")
def registry():
    return pint.UnitRegistry()


def several() -> list[str]:
    """Units that another unit of their kind can be converted to."""
    kinds = [kind for kind, _ in UNITS.values()]
    return [unit for unit, (kind, _) in UNITS.items() if kinds.count(kind) > 1]


def test_every_unit_that_converts_is_checked():
    # pint counts in no unit; one each is one
    assert set(several()) == {*PINT, "count", "each"}
    assert converted(Decimal(3), "each", "count") == 3


@pytest.mark.parametrize("unit", PINT)
def test_factors(registry, unit):
    one = registry.Quantity(1.0, PINT[unit])
    for other, words in PINT.items():
        if kind_of(other) == kind_of(unit):
            wanted = one.to(words).magnitude
            assert float(converted(Decimal(1), unit, other)) == pytest.approx(wanted, rel=1e-10)
        else:
            with pytest.raises(UnitError):
                converted(Decimal(1), unit, other)


@pytest.mark.parametrize(
    ("value", "unit", "to", "wanted"),
    [
        # exact by international definition (NIST SP 811, from memory; the same in pint)
        ("1", "in", "mm", "25.4"),
        ("1", "lb", "kg", "0.45359237"),
        ("1", "US gal", "L", "3.785411784"),
    ],
)
def test_exact_definitions(value, unit, to, wanted):
    assert converted(Decimal(value), unit, to) == Decimal(wanted)


@pytest.mark.parametrize("text", ["mil", "cfm", "ton", "gpm", "gal", "inch", "PSI", "", "hp"])
def test_doubtful_units_are_refused(text):
    # computed with pint: cfm is read as centifermi, mil as no length, ton as the short ton
    with pytest.raises(UnitError):
        kind_of(text)
