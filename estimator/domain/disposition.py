"""From a finding to a disposition: what the rule says and why, and what the estimator made of it.

Rule (trade notes, proposal): over 100 % worn, a crack or a failed safety item - replace; over the
recondition percent or past the rebuild limit - recondition; up to the reuse percent - reuse;
between, reuse only if the life left reaches the life wanted. Not seen, not tested or a sign in
alarm - open. Within the gauge's error of a limit the answer is provisional.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue, Settings
from estimator.domain.catalogue.rows import WORN
from estimator.domain.catalogue.work_rows import ConditionTest, Measure
from estimator.domain.cleanliness import codes_over
from estimator.domain.findings import Finding
from estimator.domain.fixed_words import fixed
from estimator.domain.units import converted
from estimator.domain.wear import (
    Limits,
    is_beyond,
    percent_worn,
    remaining_life,
    within_gauge_error,
)
from estimator.domain.wording import worded

READINGS = ("measure", "pressure", "flow", "drift", "leak-down")
UNSEEN = ("not seen", "not tested")
AT_SERVICE_LIMIT = 100  # percent worn
BY_SIGHT = ("crack", "hose", "count", "visual", "safety")


@dataclass(frozen=True, slots=True)
class Judgement:
    """A finding with everything that follows from it alone.

    `worn` is the rule's answer for the parts it settles (None: it settles nothing);
    `alarm` the answer of a test (None: no test, or no result).
    """

    finding: Finding
    kind: str
    component: str
    what: str
    unit: str
    parts: tuple[str, ...]
    sign_of: tuple[str, ...]
    test: str
    limits: Limits | None
    measured: Decimal | None  # in `unit`
    worn_percent: Decimal | None
    life_left: Decimal | None
    gauge_limit: str  # limit it cannot be told from: "", "rebuild" or "service"
    alarm: bool | None
    worn: bool | None
    rule_disposition: str
    rule_reason: str

    @property
    def disposition(self) -> str:
        """What counts: the estimator's word where there is one, else the rule's."""
        return self.finding.override or self.rule_disposition

    @property
    def says(self) -> bool:
        """Whether it says by itself what its parts are: a reading against limits, or a look. A
        reading without limits, a sign, and what was not seen say nothing of them."""
        return self.worn is not None

    @property
    def settles(self) -> bool:
        """Whether its parts are no longer open: it says what they are, or the estimator's word
        puts them right without waiting to see."""
        if not self.parts or self.disposition == "open":
            return False
        return self.says or self.disposition in WORN

    @property
    def provisional(self) -> bool:
        """Whether what it calls in is priced but still to be measured, and why not firm."""
        return bool(self.provisional_reason)

    @property
    def provisional_reason(self) -> str:
        """Why the extent is not known yet; "" where it is."""
        finding = self.finding
        if self.gauge_limit:
            return worded(
                "reading within gauge error of the {limit} limit", limit=fixed(self.gauge_limit)
            )
        if self.kind in ("count", "hose") and self.worn:
            return worded("counted from outside; settled when open")
        if finding.quantity_low is not None and finding.quantity_low != finding.quantity_high:
            return worded("extent still to be measured")
        if self.kind == "crack" and self.disposition == "recondition":
            return worded("length and depth known only when the crack is opened")
        return ""


def judge(finding: Finding, cat: ClassCatalogue, hours: Decimal, life_wanted: Decimal) -> Judgement:
    """What follows from one checked finding.

    `hours` is how long the part has run where the finding does not say; `life_wanted` the machine
    hours wanted after the rebuild.
    """
    measure = cat.measures.get(finding.measure)
    test_id = finding.test or (measure.test if measure else "")
    test = cat.tests.get(test_id)
    kind = finding.kind or (measure.kind if measure else "visual")
    limits = limits_of(finding, measure)
    typed = finding.new is not None  # limits typed with the finding are in its own unit
    unit = finding.unit if typed or not measure else measure.unit
    measured = _in_unit(finding.measured, finding.unit, unit)
    gauge = _in_unit(finding.gauge_error, finding.unit, unit)
    if gauge is None and measure is not None:
        gauge = _in_unit(measure.gauge_error, measure.unit, unit)
    wear = None
    gauge_limit = ""
    if limits is not None and measured is not None:
        run = finding.hours_on_part if finding.hours_on_part is not None else hours
        wear = _wear(measured, limits, run)
        gauge_limit = within_gauge_error(measured, gauge, limits)
    alarm = _alarm(finding, measure, test, limits, measured)
    rule, reason = _rule(finding, kind, alarm, test is not None, wear, cat.settings, life_wanted)
    return Judgement(
        finding=finding,
        kind=kind,
        component=finding.component or (measure.component if measure else ""),
        what=finding.what or (measure.name if measure else ""),
        unit=unit,
        parts=finding.part or ((measure.part,) if measure and measure.part else ()),
        sign_of=finding.sign_of or _targets(measure, test),
        test=test_id,
        limits=limits,
        measured=measured,
        worn_percent=wear.percent if wear else None,
        life_left=wear.life_left if wear else None,
        gauge_limit=gauge_limit,
        alarm=alarm,
        worn=rule != "reuse" if wear is not None or kind in BY_SIGHT else None,
        rule_disposition=rule,
        rule_reason=reason,
    )


def _in_unit(value: Decimal | None, unit: str, to_unit: str) -> Decimal | None:
    """A value in another unit of its kind; nothing, or what has no unit, stays as it is."""
    return value if value is None or not unit or not to_unit else converted(value, unit, to_unit)


def limits_of(finding: Finding, measure: Measure | None) -> Limits | None:
    """The limits typed with the finding, else the catalogue's, else none. Raises LimitError."""
    if finding.new is not None and finding.rebuild_limit is not None:
        assert finding.service_limit is not None  # the three go together: checked on intake
        return Limits(finding.new, finding.rebuild_limit, finding.service_limit)
    if measure is None or measure.new is None:
        return None
    assert measure.rebuild_limit is not None
    assert measure.service_limit is not None
    return Limits(measure.new, measure.rebuild_limit, measure.service_limit)


def _targets(measure: Measure | None, test: ConditionTest | None) -> tuple[str, ...]:
    if measure and measure.sign_of:
        return measure.sign_of
    return test.target if test is not None and test.on == "part" else ()


def _alarm(
    finding: Finding,
    measure: Measure | None,
    test: ConditionTest | None,
    limits: Limits | None,
    measured: Decimal | None,
) -> bool | None:
    """Whether a test raises its alarm. A result written down wins over the limits."""
    if finding.result in ("alarm", "clear"):
        return finding.result == "alarm"
    if test is None:
        return None
    if limits is not None and measured is not None:
        return is_beyond(measured, limits.rebuild, limits)
    if measure is not None and measured is not None:
        low, high = measure.band_low, measure.band_high
        if low is not None or high is not None:
            return (low is not None and measured < low) or (high is not None and measured > high)
    if finding.metals or finding.cleanliness:
        return _oil_alarm(finding, test)
    return None


def _oil_alarm(finding: Finding, test: ConditionTest) -> bool:
    found = _ppm(finding.metals)
    over_metal = any(
        found.get(metal, Decimal(0)) > limit for metal, limit in _ppm(test.metals).items()
    )
    over_code = bool(
        finding.cleanliness
        and test.cleanliness
        and test.cleanliness_over is not None
        and codes_over(finding.cleanliness, test.cleanliness) >= test.cleanliness_over
    )
    return over_metal or over_code


def _ppm(metals: tuple[str, ...]) -> dict[str, Decimal]:
    """{"Fe": 86} from ("Fe 86",)."""
    return {one.split()[0]: Decimal(one.split()[1]) for one in metals}


@dataclass(frozen=True, slots=True)
class _Wear:
    """What a reading says against its limits."""

    percent: Decimal
    life_left: Decimal | None
    past_rebuild: bool


def _wear(measured: Decimal, limits: Limits, hours: Decimal) -> _Wear:
    percent = percent_worn(measured, limits)
    return _Wear(
        percent, remaining_life(percent, hours), is_beyond(measured, limits.rebuild, limits)
    )


def _rule(
    finding: Finding,
    kind: str,
    alarm: bool | None,
    is_test: bool,
    wear: _Wear | None,
    settings: Settings,
    life_wanted: Decimal,
) -> tuple[str, str]:
    """(disposition, reason) by rule."""
    if kind in UNSEEN:
        return "open", fixed(kind)
    if wear is not None:
        return _by_wear(wear, settings, life_wanted)
    if kind in ("oil", "test", *READINGS):
        if alarm is None:
            why = worded("sign: no result") if is_test else worded("sign: no likelihood set")
            return "reuse", why
        return ("open", worded("sign: alarm")) if alarm else ("reuse", worded("sign: clear"))
    return _by_sight(finding, kind)


def _by_sight(finding: Finding, kind: str) -> tuple[str, str]:
    """What was seen or counted, with no limit to hold it against."""
    worn = finding.result == "worn"
    if kind == "crack":
        if finding.result == "sound":
            return "reuse", worded("no crack found")
        return "replace", worded("crack")
    if kind in ("count", "hose"):
        if finding.measured:
            return "replace", worded("counted")
        return "reuse", worded("none counted")
    if kind == "safety":
        return ("replace" if worn else "reuse"), worded("safety item")
    return ("recondition" if worn else "reuse"), worded("seen")


def _by_wear(wear: _Wear, settings: Settings, life_wanted: Decimal) -> tuple[str, str]:
    if wear.percent > AT_SERVICE_LIMIT:
        return "replace", worded("beyond service limit")
    if wear.past_rebuild:
        return "recondition", worded("beyond rebuild limit")
    if wear.percent > settings.recondition_percent:
        return "recondition", worded("over {percent} % worn", percent=settings.recondition_percent)
    if wear.percent <= settings.reuse_percent:
        return "reuse", worded("{percent} % worn or less", percent=settings.reuse_percent)
    left = wear.life_left
    reason = worded(
        "remaining life {left:,} h, {wanted:,f} wanted", left=int(left or 0), wanted=life_wanted
    )
    return ("reuse" if left is not None and left >= life_wanted else "recondition"), reason
