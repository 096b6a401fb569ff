"""What has been looked at of all there is to look at, by group and component.

What there is to look at in a component are its *parts* whose condition decides something at the
job's level, and the *signs* the catalogue measures there (pressures, oil, temperatures), which
tell of a part but never settle it. A part is seen once a finding says what it is, whichever measure
that was; a sign once a finding names it with a reading or a result. So seen and not seen always
come to all, and a part inside a component with every outside reading taken stays *not seen*.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import Measure
from estimator.domain.disposition import UNSEEN, Judgement
from estimator.domain.job import Job
from estimator.domain.scope import called_parts
from estimator.domain.wording import worded

NOT_SEEN, NOT_TESTED = UNSEEN
SIGN_ONLY, NOT_LOOKED_AT = "sign only", "not looked at"


@dataclass(frozen=True, slots=True)
class UnseenPart:
    """A part no finding settles, and how far anybody got with it."""

    part: str
    name: str
    component: str
    state: str  # not seen, not tested, sign only, not looked at
    findings: tuple[str, ...]  # those that speak of it


@dataclass(frozen=True, slots=True)
class Seen:
    """How much of something was looked at."""

    parts: int
    settled: int
    signs: int
    read: int
    findings: int

    @property
    def all(self) -> int:
        """Everything that can be looked at."""
        return self.parts + self.signs

    @property
    def looked_at(self) -> int:
        """Parts settled and signs read."""
        return self.settled + self.read

    @property
    def not_seen(self) -> int:
        """Everything nobody has seen, read or tested."""
        return self.all - self.looked_at

    @property
    def words(self) -> str:
        """As a line under a name: "9 of 12 looked at, 3 not seen"."""
        if not self.all:
            return worded("nothing to look at")
        if not self.not_seen:
            return worded("{seen} of {all} looked at", seen=self.looked_at, all=self.all)
        return worded(
            "{seen} of {all} looked at, {not_seen} not seen",
            seen=self.looked_at,
            all=self.all,
            not_seen=self.not_seen,
        )


@dataclass(frozen=True, slots=True)
class ComponentSeen:
    """A component with what was looked at, and what is inside that nobody saw."""

    component: str
    name: str
    seen: Seen
    unseen: tuple[UnseenPart, ...]
    unread: tuple[str, ...]  # signs nobody read, by measure, in the catalogue's order


@dataclass(frozen=True, slots=True)
class GroupSeen:
    """A group with its components."""

    group: str
    name: str
    seen: Seen
    components: tuple[ComponentSeen, ...]

    @property
    def unseen(self) -> tuple[UnseenPart, ...]:
        """Parts of the group that nobody saw."""
        return tuple(part for one in self.components for part in one.unseen)


@dataclass(frozen=True, slots=True)
class ComponentTree:
    """The whole machine; findings that name no component of it are in no branch."""

    groups: tuple[GroupSeen, ...]
    seen: Seen

    @property
    def unseen(self) -> tuple[UnseenPart, ...]:
        """Every part that nobody saw, in the order of the breakdown."""
        return tuple(part for group in self.groups for part in group.unseen)


def seen_of_all(
    job: Job, cat: ClassCatalogue, judgements: Mapping[str, Judgement]
) -> ComponentTree:
    """The machine's groups and components with what was looked at (judgements as of
    `estimator.domain.scope.judge_all`). Groups and components keep the order of the breakdown;
    those with nothing to look at at the job's level are there too, since a finding may name them.
    """
    by_component: dict[str, list[Judgement]] = {one: [] for one in cat.components}
    for judgement in judgements.values():
        if judgement.component in by_component:
            by_component[judgement.component].append(judgement)
    unseen = _unseen(job, cat, judgements)
    branches: dict[str, list[ComponentSeen]] = {group: [] for group in cat.groups}
    for code, row in sorted(cat.components.items()):
        parts = [one for one in unseen if one.component == code]
        branches[row.group].append(_component(code, job, cat, by_component[code], parts))
    groups = tuple(
        GroupSeen(group, cat.groups[group].name, _together(one.seen for one in found), tuple(found))
        for group, found in branches.items()
    )
    return ComponentTree(groups, _together(group.seen for group in groups))


def parts_to_settle(job: Job, cat: ClassCatalogue) -> tuple[str, ...]:
    """Parts whose condition decides something at the job's level: what they are called in by, or
    what stays in the contingency."""
    return tuple(
        part
        for part, row in cat.parts.items()
        if row.called_by in ("condition", "carrier") and job.takes(row)
    )


def _component(
    code: str,
    job: Job,
    cat: ClassCatalogue,
    judgements: list[Judgement],
    unseen: list[UnseenPart],
) -> ComponentSeen:
    parts = [part for part in parts_to_settle(job, cat) if cat.parts[part].component == code]
    signs = [row.id for row in signs_to_read(job, cat) if row.component == code]
    read = {one.finding.measure for one in judgements if one.kind not in UNSEEN}
    unread = tuple(sign for sign in signs if sign not in read)
    return ComponentSeen(
        code,
        cat.components[code].name,
        Seen(
            parts=len(parts),
            settled=len(parts) - len(unseen),
            signs=len(signs),
            read=len(signs) - len(unread),
            findings=len(judgements),
        ),
        tuple(unseen),
        unread,
    )


def signs_to_read(job: Job, cat: ClassCatalogue) -> tuple[Measure, ...]:
    """Measures that settle none of the parts that decide something at the job's level."""
    settled_by_look = set(parts_to_settle(job, cat))
    return tuple(row for row in cat.measures.values() if row.part not in settled_by_look)


def _unseen(job: Job, cat: ClassCatalogue, judgements: Mapping[str, Judgement]) -> list[UnseenPart]:
    called = called_parts(judgements, cat)
    found = []
    for part in parts_to_settle(job, cat):
        if called[part].settled:
            continue
        about = [j for j in judgements.values() if part in (*j.parts, *j.sign_of)]
        row = cat.parts[part]
        found.append(
            UnseenPart(
                part,
                row.name,
                row.component,
                _state(part, about),
                tuple(judgement.finding.id for judgement in about),
            )
        )
    return found


def _state(part: str, about: list[Judgement]) -> str:
    """The furthest anybody got: a sign tells more than a test not made, that more than nothing."""
    kinds = {judgement.kind for judgement in about if part in judgement.parts}
    if any(judgement.kind not in UNSEEN for judgement in about):
        return SIGN_ONLY
    for state in (NOT_SEEN, NOT_TESTED):
        if state in kinds:
            return state
    return NOT_LOOKED_AT


def _together(seen: Iterable[Seen]) -> Seen:
    every = tuple(seen)
    return Seen(
        parts=sum(one.parts for one in every),
        settled=sum(one.settled for one in every),
        signs=sum(one.signs for one in every),
        read=sum(one.read for one in every),
        findings=sum(one.findings for one in every),
    )
