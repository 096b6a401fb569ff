"""From findings to a scope: which lines are called in, why, and how certain each is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.rows import WORN
from estimator.domain.catalogue.work_rows import CalledRow, Operation, Outwork, PartsGroup
from estimator.domain.disposition import UNSEEN, Judgement, judge
from estimator.domain.fixed_words import fixed
from estimator.domain.job import Job, ScopeChange
from estimator.domain.own_lines import own_scope_lines
from estimator.domain.scope_line import (
    EXPOSED,
    FIRM,
    LABOUR,
    OUTWORK,
    PARTS,
    PROVISIONAL,
    Grounds,
    ScopeLine,
    place_in_print,
)
from estimator.domain.typed_lines import typed_over
from estimator.domain.wording import joined, worded

__all__ = [
    "EXPOSED",
    "FIRM",
    "LABOUR",
    "OUTWORK",
    "PARTS",
    "PROVISIONAL",
    "Called",
    "Grounds",
    "Scope",
    "ScopeLine",
    "build_scope",
    "called_parts",
    "judge_all",
    "kept_pair",
    "part_quantity",
]

_SEVERITY = {"reuse": 0, "open": 1, "recondition": 2, "exchange": 3, "replace": 4}


@dataclass(frozen=True, slots=True)
class Called:
    """A part's condition as the findings leave it: what is done with it, and on what grounds.

    `disposition` is "" where nobody looked. `worn` is the rule's answer where a finding settles
    the part within its gauge's error, None where it does not.
    """

    part: str
    disposition: str
    by: Judgement | None
    worn: bool | None
    provisional_reason: str

    @property
    def put_right(self) -> bool:
        """Whether the part is reconditioned, exchanged or replaced."""
        return self.disposition in WORN

    @property
    def settled(self) -> bool:
        """Whether a finding says what the part is."""
        return self.by is not None and self.by.settles


@dataclass(frozen=True, slots=True)
class Scope:
    """All lines of one job at one rebuild level, and what they rest on."""

    level: str
    judgements: Mapping[str, Judgement]
    parts: Mapping[str, Called]
    lines: tuple[ScopeLine, ...]
    unseen: tuple[Judgement, ...]
    not_looked_at: tuple[str, ...]  # parts no finding, no chance and no rule speaks of
    doubles: tuple[tuple[str, str], ...]  # (operation, operation it already includes)
    removed: tuple[ScopeChange, ...]
    idle_changes: tuple[str, ...]  # rows added that were there, or removed that were not
    kept: tuple[tuple[str, str], ...] = ()  # doubles that are counted twice on purpose
    idle_typed: tuple[str, ...] = ()  # rows typed over that are not in the scope
    idle_kept: tuple[str, ...] = ()  # "ROW+INCLUDED" kept twice though not both are there


def judge_all(job: Job, cat: ClassCatalogue) -> dict[str, Judgement]:
    """Every finding of the job with what follows from it, by finding id."""
    judged: dict[str, Judgement] = {}
    for finding in job.findings:
        measure = cat.measures.get(finding.measure)
        component = finding.component or (measure.component if measure else "")
        parts = finding.part or ((measure.part,) if measure and measure.part else ())
        hours = job.hours_run(component, parts[0] if len(parts) == 1 else "")
        judged[finding.id] = judge(finding, cat, hours, job.machine.life_wanted)
    return judged


def called_parts(judgements: Mapping[str, Judgement], cat: ClassCatalogue) -> dict[str, Called]:
    """What the findings say of every part of the class; the most severe settling one counts."""
    best: dict[str, Judgement] = {}
    for judgement in judgements.values():
        for part in judgement.parts:
            known = best.get(part)
            if known is None or _weight(judgement) > _weight(known):
                best[part] = judgement
    called: dict[str, Called] = {}
    for part in cat.parts:
        found = best.get(part)
        if found is None:
            called[part] = Called(part, "", None, None, "")
            continue
        settled = found.settles and found.says and not found.gauge_limit
        called[part] = Called(
            part,
            found.disposition,
            found,
            found.worn if settled else None,
            found.provisional_reason if found.settles else "",
        )
    return called


def _weight(judgement: Judgement) -> tuple[bool, int, bool, str]:
    """Settling before open, severe before mild, doubtful before sure, then by number: the order
    of the file has no say."""
    return (
        judgement.settles,
        _SEVERITY[judgement.disposition],
        judgement.provisional,
        judgement.finding.id,
    )


def build_scope(
    job: Job,
    cat: ClassCatalogue,
    judgements: Mapping[str, Judgement],
    parts: Mapping[str, Called],
    firm_by_chance: Mapping[str, tuple[str, str]],
) -> Scope:
    """The scope at the job's level.

    `firm_by_chance` gives, for each part that nobody measured but whose chance of wear is so high
    that it is priced as firm, (way of putting it right, reason in words).
    """
    states = dict(parts)
    for part, (way, _) in firm_by_chance.items():
        states[part] = Called(part, way, None, None, "")
    removed = {change.row_id for change in job.removed}
    lines: list[ScopeLine] = []
    for row in (*cat.operations.values(), *cat.parts.values(), *cat.outwork.values()):
        if job.takes(row):
            lines += _called_in(row, job, cat, states, judgements, firm_by_chance)
    present = {line.id for line in lines}
    open_to_wear = {part for part in cat.wear if not states[part].settled}
    idle = [
        *(removed - present - open_to_wear - set(cat.found_work)),
        *(one.row_id for one in job.added if one.row_id in present),
    ]
    lines = [line for line in lines if line.id not in removed]
    lines += _by_hand(job, cat, states, present)
    lines, idle_typed = typed_over(lines, job.changed)
    lines += list(own_scope_lines(job, cat, lines))
    doubles = tuple(_doubles(lines))
    wanted = {kept_pair(change.row_id) for change in job.kept}
    return Scope(
        level=job.level,
        judgements=judgements,
        parts=states,
        lines=tuple(sorted(lines, key=place_in_print)),
        unseen=tuple(j for j in judgements.values() if j.kind in UNSEEN),
        not_looked_at=tuple(_not_looked_at(job, cat, states)),
        doubles=tuple(pair for pair in doubles if pair not in wanted),
        removed=job.removed,
        idle_changes=tuple(sorted(idle)),
        kept=tuple(pair for pair in doubles if pair in wanted),
        idle_typed=tuple(idle_typed),
        idle_kept=tuple(sorted("+".join(pair) for pair in wanted.difference(doubles))),
    )


def kept_pair(row_id: str) -> tuple[str, str]:
    """(operation, operation it includes) of a "ROW+INCLUDED"."""
    row, _, included = row_id.partition("+")
    return (row, included)


def _called_in(
    row: CalledRow,
    job: Job,
    cat: ClassCatalogue,
    states: Mapping[str, Called],
    judgements: Mapping[str, Judgement],
    firm_by_chance: Mapping[str, tuple[str, str]],
) -> Iterator[ScopeLine]:
    """The line a row gives, if some rule calls it in."""
    called_by = getattr(row, "called_by")  # noqa: B009 - each of the three row classes has it
    if called_by == "level":
        yield _line(
            row, cat, states, 1, Grounds(FIRM, worded("always at this rebuild level"), "level")
        )
    elif called_by == "condition":
        state = states[row.id]
        if state.put_right and (not row.ways or state.disposition in row.ways):
            yield _from_parts(row, cat, states, [state], firm_by_chance)
    elif called_by == "follows":
        right = [
            states[part]
            for part in row.follows
            if part in states
            and states[part].put_right
            and (not row.ways or states[part].disposition in row.ways)
            and job.takes(cat.parts[part])
        ]
        if right:
            yield _from_parts(row, cat, states, right, firm_by_chance)
    elif called_by == "safety":
        found = [
            j for j in judgements.values() if j.kind == "safety" and j.component == row.component
        ]
        if found:
            ids = tuple(j.finding.id for j in found)
            why = worded("safety item ({findings})", findings=", ".join(ids))
            yield _line(row, cat, states, 1, Grounds(FIRM, why, "safety item", ids))


def _from_parts(
    row: CalledRow,
    cat: ClassCatalogue,
    states: Mapping[str, Called],
    right: list[Called],
    firm_by_chance: Mapping[str, tuple[str, str]],
) -> ScopeLine:
    """A line called in by the condition of one or more parts."""
    ids = tuple(state.by.finding.id for state in right if state.by is not None)
    reasons = [state.provisional_reason for state in right if state.provisional_reason]
    certainty = PROVISIONAL if reasons else FIRM
    named = ", ".join(dict.fromkeys(ids))
    if reasons:
        gauge = next((s.by.gauge_limit for s in right if s.by is not None), "")
        stated = [reasons[0]] if gauge or not row.range_reason else []
        said = joined([*stated, row.range_reason] if row.range_reason else stated, "; ")
        why: str = worded("{why} ({findings})", why=said, findings=named)
    elif all(state.part in firm_by_chance for state in right):
        why = firm_by_chance[right[0].part][1]
    else:
        why = worded("{why} ({findings})", why=_grounds(right[0]), findings=named)
    rule = joined((_rule_of(state) for state in right), "; ")
    because = tuple(dict.fromkeys(ids))
    return _line(row, cat, states, len(right), Grounds(certainty, why, rule, because))


def _rule_of(state: Called) -> str:
    return worded("{part}: {disposition}", part=state.part, disposition=fixed(state.disposition))


def _grounds(state: Called) -> str:
    judgement = state.by
    if judgement is None:
        return worded("chance of wear")
    if judgement.finding.override:
        return joined((judgement.rule_reason, judgement.finding.override_reason), "; ")
    return judgement.rule_reason


def _line(
    row: CalledRow,
    cat: ClassCatalogue,
    states: Mapping[str, Called],
    times: int,
    grounds: Grounds,
) -> ScopeLine:
    """The line of a row that was called in `times` times."""
    kind, unit, likely, low, high = _quantities(row, cat, states)
    if grounds.certainty == FIRM:
        low = high = likely
    return ScopeLine(
        id=row.id,
        row=row,
        kind=kind,
        group=cat.group_of(row.component),
        certainty=grounds.certainty,
        quantity=likely * times,
        low=low * times,
        high=high * times,
        unit=unit,
        why=grounds.why,
        rule=grounds.rule,
        because=grounds.because,
        change=grounds.change,
    )


def _quantities(
    row: CalledRow, cat: ClassCatalogue, states: Mapping[str, Called]
) -> tuple[str, str, Decimal, Decimal, Decimal]:
    """(kind, unit, likely, low, high): charged hours of an operation, units of parts or outwork."""
    if isinstance(row, Operation):
        factor = cat.difficulty[row.difficulty].factor
        if row.hours_per:
            counted = part_quantity(cat.parts[row.hours_per], states)
            hours = (counted[0] * row.hours, counted[1] * row.hours, counted[2] * row.hours)
        else:
            low = row.hours if row.hours_low is None else row.hours_low
            high = row.hours if row.hours_high is None else row.hours_high
            hours = (row.hours, low, high)
        return (LABOUR, "h", hours[0] * factor, hours[1] * factor, hours[2] * factor)
    if isinstance(row, PartsGroup):
        likely, low, high = part_quantity(row, states)
        return (PARTS, row.unit, likely, low, high)
    assert isinstance(row, Outwork)
    low_of, high_of = row.quantity_low, row.quantity_high
    return (
        OUTWORK,
        row.unit,
        row.quantity,
        row.quantity if low_of is None else low_of,
        row.quantity if high_of is None else high_of,
    )


def part_quantity(
    row: PartsGroup, states: Mapping[str, Called]
) -> tuple[Decimal, Decimal, Decimal]:
    """(likely, low, high) units of a part: as its finding counted them, else the row's."""
    state = states.get(row.id)
    finding = state.by.finding if state is not None and state.by is not None else None
    if finding is not None and finding.quantity is not None:
        assert finding.quantity_low is not None  # the three go together: checked on intake
        assert finding.quantity_high is not None
        return (finding.quantity, finding.quantity_low, finding.quantity_high)
    return (
        row.quantity,
        row.quantity if row.quantity_low is None else row.quantity_low,
        row.quantity if row.quantity_high is None else row.quantity_high,
    )


def _by_hand(
    job: Job, cat: ClassCatalogue, states: Mapping[str, Called], present: set[str]
) -> Iterator[ScopeLine]:
    rows: dict[str, CalledRow] = {**cat.operations, **cat.parts, **cat.outwork}
    for change in job.added:
        if change.row_id not in present:
            why = worded("added by {by}: {reason}", by=change.by, reason=change.reason)
            grounds = Grounds(FIRM, why, "by hand", change=change)
            yield _line(rows[change.row_id], cat, states, 1, grounds)


def _not_looked_at(job: Job, cat: ClassCatalogue, states: Mapping[str, Called]) -> Iterator[str]:
    for part, row in cat.parts.items():
        if (
            row.called_by in ("condition", "carrier")
            and job.takes(row)
            and states[part].by is None
            and not states[part].disposition
            and part not in cat.wear
        ):
            yield part


def _doubles(lines: list[ScopeLine]) -> Iterator[tuple[str, str]]:
    present = {line.id for line in lines}
    for line in lines:
        if isinstance(line.row, Operation):
            for included in line.row.includes:
                if included in present:
                    yield (line.id, included)
