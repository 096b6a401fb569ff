"""What an inspector writes of a machine of the sample: readings that its wear paths give.

How deep they looked: "part" (the first groups only, the rest still to do), "whole" (everything that
can be reached on the machine; internals *not seen*), "strip" (the machine lies open: every part
that wears has been looked at).
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from random import Random

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import ConditionTest, Measure
from estimator.domain.findings import Finding
from estimator.domain.job import Event

from .wear_path import (
    OUTSIDE,
    PartProcess,
    WornMachine,
    draw_machine,
    is_worn,
    wear_of,
)

PART, WHOLE, STRIP = "part", "whole", "strip"
PART_GROUPS = 5  # component groups looked at when an inspection is half done
TAKEN = {PART: 0.8, WHOLE: 0.42, STRIP: 0.4}  # share of the catalogue's measures that were taken
NAMED = 0.15  # of the others, those that the inspector writes down as not seen or not tested
OVERRULED = 0.12
MOST_SHOWN = 1.7  # a reading is never further than this from new, the rebuild limit being 1
WORN_WORDS = ("worn", "scored", "torn", "leaking", "rubbed through")
SOUND_WORDS = ("sound", "nothing found", "as it should be")
OVERRULES = (
    ("replace", "renewed whenever it is apart"),
    ("replace", "costs no more than putting it right"),
    ("open", "a sign only; judged when it is open"),
)
ORDINARY = PartProcess("", "", OUTSIDE, 13_000.0, 1.3, 0.3, 0.0, 0.0)  # parts without a chance


@dataclass(frozen=True, slots=True)
class Seen:
    """A machine as it stands in the yard, with how far each of its parts is worn."""

    cat: ClassCatalogue
    machine: WornMachine
    wear: Mapping[str, float]

    def worst(self, parts: tuple[str, ...]) -> float:
        """Wear of the worst of some parts; of an ordinary one where none is known."""
        return max((self.wear[part] for part in parts if part in self.wear), default=0.6)


@dataclass(frozen=True, slots=True)
class Look:
    """How deep who looked when."""

    depth: str
    inspector: str
    day: datetime.date


def see_machine(
    cat: ClassCatalogue,
    processes: Mapping[str, PartProcess],
    hours: float,
    duty: float,
    history: tuple[Event, ...],
    random: Random,
) -> Seen:
    """Draw a machine of a class and let all its parts wear until now."""
    machine = draw_machine(cat.machine_class.id, hours, duty, tuple(cat.circuits), random)
    measured = {one.part for one in cat.measures.values() if one.part}
    wear = {}
    for part in sorted({*cat.wear, *measured}):
        fitted = max((float(e.hours) for e in history if part in e.renewed), default=0.0)
        wear[part] = wear_of(processes.get(part, ORDINARY), machine, random, fitted)
    return Seen(cat, machine, wear)


def findings_of(seen: Seen, look: Look, random: Random) -> tuple[Finding, ...]:
    """The findings of an inspection, numbered I01, I02 ..."""
    found = list(_on_machine(seen, look, random))
    settled = {part for one in found for part in _settles(one, seen.cat)}
    if look.depth == STRIP:
        found += _in_parts(seen, look, settled, random)
    elif look.depth == WHOLE:
        found += _not_seen(seen, look, settled)
    group = seen.cat.group_of
    found.sort(key=lambda one: group(_component(one, seen.cat)))
    return tuple(replace(one, id=f"I{at:02d}") for at, one in enumerate(found, start=1))


def _on_machine(seen: Seen, look: Look, random: Random) -> Iterator[Finding]:
    cat = seen.cat
    groups = list(cat.groups)[: PART_GROUPS + 1]
    for code, measure in cat.measures.items():
        if look.depth == PART and cat.group_of(measure.component) not in groups:
            continue
        blank = Finding(id="I", measure=code, inspector=look.inspector, date=look.day)
        if random.random() > TAKEN[look.depth]:
            if look.depth != STRIP and random.random() < NAMED and (measure.part or measure.test):
                kind = "not tested" if measure.test else "not seen"
                yield replace(blank, kind=kind, part=(measure.part,) if measure.part else ())
            continue
        finding = _reading(blank, measure, seen, random)
        yield _overruled(finding, measure, look, random)


def _overruled(finding: Finding, measure: Measure, look: Look, random: Random) -> Finding:
    """The inspector's own word instead of the rule's, now and then, with its reason."""
    if not measure.part or random.random() > OVERRULED or finding.result == "sound":
        return finding
    word, reason = OVERRULES[random.randrange(2 if look.depth == STRIP else 3)]
    return replace(finding, override=word, override_reason=reason, overridden_by=look.inspector)


def _reading(blank: Finding, measure: Measure, seen: Seen, random: Random) -> Finding:
    test = seen.cat.tests.get(measure.test)
    targets = (measure.part,) if measure.part else measure.sign_of
    if not targets and test is not None and test.on == "part":
        targets = test.target
    wear = seen.worst(targets)
    if measure.kind == "oil" and test is not None:
        return _oil(blank, test, seen, random)
    if measure.new is not None:
        return replace(blank, measured=_against_limits(measure, wear, random), unit=measure.unit)
    if measure.kind in ("visual", "safety"):
        worn = is_worn(wear) and measure.kind == "visual" or wear > 1.5  # noqa: PLR2004
        words = WORN_WORDS if worn else SOUND_WORDS
        return replace(blank, result="worn" if worn else "sound", reading=random.choice(words))
    if measure.kind == "crack":
        if not is_worn(wear):
            return replace(blank, result="sound", reading="no crack found")
        return replace(blank, measured=Decimal(random.randrange(15, 160, 5)), unit="mm")
    if measure.kind in ("count", "hose"):
        return _counted(blank, measure, wear, random)
    alarm = _alarmed(test, wear, random)
    if measure.band_low is not None or measure.band_high is not None:
        return replace(blank, measured=_in_band(measure, alarm, random), unit=measure.unit)
    return replace(blank, result="alarm" if alarm else "clear", reading="seen" if alarm else "none")


def _against_limits(measure: Measure, wear: float, random: Random) -> Decimal:
    """The reading at a wear: new at 0, the rebuild limit at 1."""
    assert measure.new is not None and measure.rebuild_limit is not None
    shown = min(wear, MOST_SHOWN) + random.gauss(0, 0.04)
    new, limit = float(measure.new), float(measure.rebuild_limit)
    value = new + (limit - new) * max(shown, 0.02)
    return _stepped(max(value, 0.0), _step(measure))


def _step(measure: Measure) -> Decimal:
    """The last place that a gauge shows: the decade of its error."""
    error = measure.gauge_error
    return Decimal(1).scaleb(error.adjusted()) if error else Decimal("0.01")


def _stepped(value: float, step: Decimal) -> Decimal:
    steps = (Decimal(repr(value)) / step).quantize(Decimal(1), ROUND_HALF_UP)
    return steps * step


def _in_band(measure: Measure, alarm: bool, random: Random) -> Decimal:
    """A reading inside the band, or outside where the test raises its alarm."""
    low, high = measure.band_low, measure.band_high
    if low is not None and high is not None:
        width = float(high - low)
        inside = float(low) + width * random.uniform(0.15, 0.85)
        value = float(low) - width * random.uniform(0.1, 0.5) if alarm else inside
    elif low is not None:
        value = float(low) * (random.uniform(0.6, 0.95) if alarm else random.uniform(1.03, 1.3))
    else:
        value = float(high or 0) * (random.uniform(1.1, 2) if alarm else random.uniform(0, 0.8))
    edge = low if low is not None else high
    assert edge is not None
    return _stepped(value, Decimal(1) if edge >= 100 else Decimal("0.1"))  # noqa: PLR2004


def _alarmed(test: ConditionTest | None, wear: float, random: Random) -> bool:
    """Whether a test raises its alarm: it sees less than the strip does."""
    if test is None:
        return is_worn(wear)
    seen = test.sensitivity if is_worn(wear) else 1 - test.specificity
    return random.random() < float(seen)


def _oil(blank: Finding, test: ConditionTest, seen: Seen, random: Random) -> Finding:
    """A sample: dirt that came in lately and parts that shed metal raise the alarm."""
    circuit = test.target[0] if test.target else ""
    parts = tuple(part for part in seen.cat.wear if seen.cat.circuit_of(part) == circuit)
    lately = seen.machine.hours - 3000
    dirty = any(hour > lately for hour, _ in seen.machine.dirt.get(circuit, ()))
    worn = sum(is_worn(seen.wear[part]) for part in parts)
    alarm = random.random() < (0.75 if dirty or worn > len(parts) / 2 else 0.15)
    metals = tuple(
        f"{name} {max(1, round(float(limit) * _of_limit(alarm and not at, random)))}"
        for at, (name, limit) in enumerate(one.split() for one in test.metals)
    )
    code = ""
    if test.cleanliness:
        over = int(test.cleanliness_over or 2)
        more = random.randint(over, over + 2) if alarm else random.randint(0, over - 1)
        code = "/".join(str(int(one) + more) for one in test.cleanliness.split("/"))
    if metals or code:
        return replace(blank, metals=metals, cleanliness=code)
    return replace(blank, result="alarm" if alarm else "clear")


def _of_limit(over: bool, random: Random) -> float:
    return random.uniform(1.1, 2.2) if over else random.uniform(0.25, 0.85)


def _counted(blank: Finding, measure: Measure, wear: float, random: Random) -> Finding:
    """How many, with a range: what is counted from outside is settled when it is open."""
    most = 80 if measure.kind == "hose" else 9
    count = min(most, round(most * max(wear - 0.3, 0) * random.uniform(0.3, 0.6)))
    if not count:
        return replace(blank, measured=Decimal(0), unit=measure.unit)
    low, high = max(1, round(count * 0.8)), round(count * 1.3) + 1
    return replace(
        blank,
        measured=Decimal(count),
        unit=measure.unit,
        quantity_low=Decimal(low),
        quantity=Decimal(count),
        quantity_high=Decimal(high),
    )


def _settles(finding: Finding, cat: ClassCatalogue) -> tuple[str, ...]:
    measure = cat.measures.get(finding.measure)
    return finding.part or ((measure.part,) if measure and measure.part else ())


def _component(finding: Finding, cat: ClassCatalogue) -> str:
    return finding.component or cat.measures[finding.measure].component


def _left(seen: Seen, settled: set[str]) -> dict[str, list[str]]:
    """Parts that wear and that nothing speaks of yet, by component."""
    left: dict[str, list[str]] = {}
    for part in seen.cat.wear:
        if part not in settled:
            left.setdefault(seen.cat.parts[part].component, []).append(part)
    return left


def _not_seen(seen: Seen, look: Look, settled: set[str]) -> Iterator[Finding]:
    for component, parts in _left(seen, settled).items():
        yield Finding(
            id="I",
            component=component,
            part=tuple(parts),
            kind="not seen",
            what=f"{seen.cat.components[component].name}: inside, not opened",
            inspector=look.inspector,
            date=look.day,
        )


def _in_parts(seen: Seen, look: Look, settled: set[str], random: Random) -> Iterator[Finding]:
    """The strip: the worn parts of a component together, and its sound ones."""
    for component, parts in _left(seen, settled).items():
        for result, words in (("worn", WORN_WORDS), ("sound", SOUND_WORDS)):
            those = tuple(p for p in parts if is_worn(seen.wear[p]) == (result == "worn"))
            if not those:
                continue
            names = "; ".join(seen.cat.parts[part].name for part in those[:3])
            more = f" and {len(those) - 3} more" if len(those) > 3 else ""  # noqa: PLR2004
            yield Finding(
                id="I",
                component=component,
                part=those,
                kind="visual",
                what=f"{names}{more}: open",
                result=result,
                reading=random.choice(words),
                inspector=look.inspector,
                date=look.day,
            )
