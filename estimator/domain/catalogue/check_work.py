"""Checks of whether the rows of a class make sense as work: nothing done twice, taken off before it
is put back and put back again, no part that nobody fits, no operation that no rule reaches, no row
that fits no class at all.

What an operation does to the machine is read from the verb its English name begins with: the
catalogue's names are written so (`catalog/README.md` says it).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cache

from estimator.domain.catalogue import rows, work_rows
from estimator.domain.catalogue.catalogue import TABLES, Catalogue, fits
from estimator.domain.catalogue.check_when_worn import fault_at
from estimator.domain.catalogue.rows import REBUILD_LEVELS, MachineClass, Row
from estimator.domain.catalogue.work_rows import Operation, Outwork, PartsGroup
from estimator.domain.problem import Place, Problem

_TAKES_OFF = re.compile(
    r"(^|: )(remove|break|take off|cut out|open|disconnect|detach|strip|draw)\b|^lift\b.* off\b",
    re.I,
)
_PUTS_BACK = re.compile(r"(refit|close|lay on|hang|reassemble)\b", re.I)
_BOTH = re.compile(r"\b(and refit|and close|off and on)\b", re.I)
_REMOVES = re.compile(r"(remove|break|detach)\b|lift\b.* off\b", re.I)
STRIP = "G00"  # the strip of the whole machine: what it takes off belongs to any group
Operations = Mapping[str, Operation]


def work_problems(catalogue: Catalogue) -> list[Problem]:
    """What makes no sense as work, over all classes, each thing once: as warnings, since a
    catalogue may be used while it is being written."""
    found: dict[tuple[str, Place], Problem] = {}
    for machine_class in catalogue.table("classes", MachineClass):
        for problem in work_faults(catalogue, machine_class):
            found.setdefault((problem.code, problem.place), problem)
    for problem in idle_faults(catalogue):
        found.setdefault((problem.code, problem.place), problem)
    return [replace(problem, warning=True) for problem in found.values()]


def work_faults(catalogue: Catalogue, machine_class: MachineClass) -> Iterator[Problem]:
    """Faults of the work of one class."""
    traits = machine_class.all_traits

    def fitting(name: str, kind: type[Row]) -> list[Row]:
        return [row for row in catalogue.table(name, kind) if fits(row, traits)]

    operations = {
        row.id: row for row in fitting("operations", Operation) if isinstance(row, Operation)
    }
    parts = {row.id: row for row in fitting("parts", PartsGroup) if isinstance(row, PartsGroup)}
    outwork = [row for row in fitting("outwork", Outwork) if isinstance(row, Outwork)]
    yield from _done_twice(operations, machine_class)
    groups = {
        row.id: row.group
        for row in fitting("components", rows.Component)
        if isinstance(row, rows.Component)
    }
    yield from _not_taken_off(operations, groups, machine_class)
    yield from _never_fitted(parts, operations, outwork, machine_class)
    yield from _never_reached((*operations.values(), *outwork), parts, machine_class)


def _done_twice(operations: Operations, machine_class: MachineClass) -> Iterator[Problem]:
    """One piece of work under two codes, or inside another that is always done beside it."""
    named: dict[tuple[str, str], Operation] = {}
    for row in operations.values():
        known = named.setdefault((row.component, _plain(row.name)), row)
        if known is not row and set(known.levels) & set(row.levels):
            yield fault_at(
                row,
                "name",
                "work-twice",
                f"{row.id} is the work of {known.id} again for {machine_class.id}.",
                "Keep one, or say in their names what differs.",
            )
        for code in row.includes:
            inside = operations.get(code)
            always = inside is not None and row.called_by == inside.called_by == "level"
            if inside is not None and always and set(row.levels) & set(inside.levels):
                yield fault_at(
                    row,
                    "includes",
                    "always-twice",
                    f"{row.id} includes {code}, and both always come in for {machine_class.id}.",
                    "Call one of them in by what is found, or by hand.",
                )


def _plain(name: str) -> str:
    return re.sub(r"\W+", " ", name).casefold().strip()


def _not_taken_off(
    operations: Operations, groups: Mapping[str, str], machine_class: MachineClass
) -> Iterator[Problem]:
    """What is put back was taken off before, and what a rebuild takes off is put back: by an
    operation of the same group that comes after it, or, where the strip of the whole machine took
    it off, by any."""

    @cache
    def before(code: str) -> frozenset[str]:
        direct = [one for one in operations[code].after if one in operations]
        return frozenset(direct).union(*(before(one) for one in direct))

    put_back = [row for row in operations.values() if _PUTS_BACK.match(row.name)]
    for row in put_back:
        if any(_TAKES_OFF.search(operations[one].name) for one in before(row.id)):
            continue
        if not _BOTH.search(row.name) and set(row.levels) & set(REBUILD_LEVELS):
            yield fault_at(
                row,
                "after",
                "refit-without-removal",
                f"nothing that {row.id} waits for takes anything off {machine_class.id}.",
                "Name the removal among the operations done before, or add it.",
            )
    for row in operations.values():
        if not _REMOVES.match(row.name) or _BOTH.search(row.name) or row.called_by != "level":
            continue
        group = groups.get(row.component, "")
        back = [
            one
            for one in put_back
            if one.called_by == "level"
            and row.id in before(one.id)
            and (group == STRIP or groups.get(one.component, "") == group)
        ]
        for level in sorted(set(row.levels) & set(REBUILD_LEVELS)):
            if not any(level in one.levels for one in back):
                yield fault_at(
                    row,
                    "name",
                    "removal-without-refit",
                    f"nothing puts back what {row.id} takes off {machine_class.id} ({level}).",
                    "Add the operation that refits it, done after this one.",
                )


def _never_fitted(
    parts: Mapping[str, PartsGroup],
    operations: Operations,
    outwork: Iterable[Outwork],
    machine_class: MachineClass,
) -> Iterator[Problem]:
    """A part that is bought though no operation on its component, or that follows it, fits it."""
    levels: dict[str, set[str]] = {}
    followed: set[str] = set()
    for row in operations.values():
        levels.setdefault(row.component, set()).update(row.levels)
        followed |= {*row.follows, row.hours_per}
    for one in outwork:
        followed |= set(one.follows)
    for part in parts.values():
        if part.called_by in ("carrier", "excluded") or part.id in followed:
            continue
        if followed & set(part.follows):
            continue
        if not set(part.levels) & levels.get(part.component, set()):
            yield fault_at(
                part,
                "component",
                "part-without-work",
                f"no operation on {part.component} fits {part.id} to {machine_class.id}.",
                "Add the operation that fits it, or name the component it belongs to.",
            )


def _never_reached(
    called: Iterable[work_rows.CalledRow],
    parts: Mapping[str, PartsGroup],
    machine_class: MachineClass,
) -> Iterator[Problem]:
    """A row that follows parts of which none belongs to a level of its own."""
    for row in called:
        if getattr(row, "called_by", "") != "follows":
            continue
        wanted = [parts[code] for code in row.follows if code in parts]
        if not any(set(row.levels) & set(part.levels) for part in wanted):
            yield fault_at(
                row,
                "levels",
                "unreached",
                f"no part that {row.id} follows belongs to a level of its own on "
                f"{machine_class.id}.",
                "Give both a level in common.",
            )


def idle_faults(catalogue: Catalogue) -> Iterator[Problem]:
    """Rows that no class has, and rows that nothing names: cautions, trades, suppliers, scalings,
    components, steps of the programme."""
    all_traits = [row.all_traits for row in catalogue.table("classes", MachineClass)]
    for name, kind in TABLES.items():
        if name in ("classes", "own_cases"):
            continue
        for row in catalogue.table(name, kind):
            if row.needs and not any(fits(row, traits) for traits in all_traits):
                yield fault_at(
                    row,
                    "needs",
                    "fits-no-class",
                    f"no class has {';'.join(row.needs)}.",
                    "Mend the traits, or take the row out.",
                )
    for table, named in _named(catalogue).items():
        for row in catalogue.table(table, TABLES[table]):
            code = getattr(row, "id")  # noqa: B009 - each of these tables has codes
            if code not in named:
                yield fault_at(
                    row,
                    "id",
                    "named-by-nothing",
                    f"nothing in the catalogue names {code}.",
                    "Name it where it belongs, or take it out.",
                )


def _named(catalogue: Catalogue) -> dict[str, set[str]]:
    """Codes that other rows name, by table."""
    found: dict[str, set[str]] = {
        "cautions": set(), "trades": set(), "components": set(), "activities": set(),
    }  # fmt: skip
    for name, kind in TABLES.items():
        for row in catalogue.table(name, kind):
            for table, column in (
                ("cautions", "cautions"), ("trades", "trade"), ("components", "component"),
                ("activities", "activity"), ("activities", "away"),
            ):  # fmt: skip
                value = getattr(row, column, ())
                found[table] |= set(value) if isinstance(value, tuple) else {value}
    for step in catalogue.table("activities", rows.Activity):
        found["activities"] |= set(step.after)
    return found
