"""An edit of a job as a value: named by what it changes, so that it can be undone, redone, merged
with what somebody else did meanwhile, and kept in the record.

A change is addressed by a key:

    ("level",)  ("start",)  ("note",)  ...            plain fields of the job
    ("machine", "hours")  ("customer", "name")  ("terms", "confidence")
    ("finding", "I03", "measured")                    one cell of a finding that stays
    ("finding", "I99")                                a whole finding come or gone
    ("added" | "removed" | "kept" | "changed" | "own" | "way" | "rate", id)

A whole row's value is `(place, row)`, so that one put back stands where it stood.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields, replace
from typing import Any

from estimator.domain.findings import Finding
from estimator.domain.job import Job

Key = tuple[str, ...]
Rows = tuple[Any, ...]
NESTED = ("machine", "workshop", "customer", "terms")


@dataclass(frozen=True, slots=True)
class Change:
    """One value of the job before and after."""

    key: Key
    before: Any
    after: Any


@dataclass(frozen=True, slots=True)
class JobEdit:
    """What one act of a person changes. `name` completes "Undo ..."."""

    name: str
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class Clash:
    """A value that somebody else changed meanwhile: theirs stands, mine is not written."""

    key: Key
    theirs: Any
    mine: Any


class EditClash(Exception):
    """The edit does not fit the job any more; nothing of it was applied."""

    def __init__(self, clashes: tuple[Clash, ...]) -> None:
        super().__init__(", ".join("/".join(clash.key) for clash in clashes))
        self.clashes = clashes


@dataclass(frozen=True, slots=True)
class _List:
    """A list of rows on a job: where it is, and what a row is called."""

    read: Callable[[Job], Rows]
    write: Callable[[Job, Rows], Job]
    id_of: Callable[[Any], str]


def _ways(job: Job) -> Rows:
    return tuple((job.ways or {}).items())


_LISTS: Mapping[str, _List] = {
    "finding": _List(lambda j: j.findings, lambda j, r: replace(j, findings=r), lambda f: f.id),
    "added": _List(lambda j: j.added, lambda j, r: replace(j, added=r), lambda c: c.row_id),
    "removed": _List(lambda j: j.removed, lambda j, r: replace(j, removed=r), lambda c: c.row_id),
    "kept": _List(lambda j: j.kept, lambda j, r: replace(j, kept=r), lambda c: c.row_id),
    "repaired": _List(
        lambda j: j.repaired, lambda j, r: replace(j, repaired=r), lambda c: c.row_id
    ),
    "changed": _List(lambda j: j.changed, lambda j, r: replace(j, changed=r), lambda c: c.row_id),
    "own": _List(lambda j: j.own, lambda j, r: replace(j, own=r), lambda line: line.id),
    "way": _List(_ways, lambda j, r: replace(j, ways=dict(r)), lambda pair: pair[0]),
    "rate": _List(
        lambda j: tuple(j.exchange_rates.values()),
        lambda j, r: replace(j, exchange_rates={one.currency: one for one in r}),
        lambda one: one.currency,
    ),
}
_IN_LISTS = frozenset(
    (
        "findings",
        "added",
        "removed",
        "kept",
        "repaired",
        "changed",
        "own",
        "ways",
        "exchange_rates",
    )  # fmt: skip
)
_PLAIN = tuple(
    one.name for one in fields(Job) if one.name not in _IN_LISTS and one.name not in NESTED
)
_CELLS = tuple(one.name for one in fields(Finding) if one.name not in ("id", "place"))


def edit_between(before: Job, after: Job, name: str) -> JobEdit:
    """The edit that turns one state of a job into another."""
    return JobEdit(name, tuple(_changes(before, after)))


def _changes(before: Job, after: Job) -> Iterator[Change]:
    for field in _PLAIN:
        yield from _if_changed((field,), getattr(before, field), getattr(after, field))
    for part in NESTED:
        one, two = getattr(before, part), getattr(after, part)
        if one != two:
            for field in (f.name for f in fields(one)):
                yield from _if_changed((part, field), getattr(one, field), getattr(two, field))
    for section, rows in _LISTS.items():
        if rows.read(before) != rows.read(after):
            yield from _row_changes(section, rows, before, after)


def _row_changes(section: str, rows: _List, before: Job, after: Job) -> Iterator[Change]:
    old, new = _placed(rows, before), _placed(rows, after)
    for code in dict.fromkeys((*old, *new)):
        one, two = old.get(code), new.get(code)
        if one is None or two is None:
            yield Change((section, code), one, two)
        elif one[1] is two[1]:
            continue
        elif section == "finding":
            for cell in _CELLS:
                key = (section, code, cell)
                yield from _if_changed(key, getattr(one[1], cell), getattr(two[1], cell))
        elif one[1] != two[1]:
            yield Change((section, code), one, two)


def _placed(rows: _List, job: Job) -> dict[str, tuple[int, Any]]:
    return {rows.id_of(row): (place, row) for place, row in enumerate(rows.read(job))}


def _if_changed(key: Key, before: object, after: object) -> Iterator[Change]:
    if before != after:
        yield Change(key, before, after)


def inverse(edit: JobEdit) -> JobEdit:
    """The edit that takes this one back."""
    back = tuple(Change(one.key, one.after, one.before) for one in reversed(edit.changes))
    return JobEdit(edit.name, back)


def value_at(job: Job, key: Key) -> Any:
    """What stands at a key; None where there is no such row."""
    if key[0] in _LISTS:
        placed = _placed(_LISTS[key[0]], job).get(key[1])
        if len(key) == 2:  # noqa: PLR2004 - (section, id): the whole row
            return placed
        return None if placed is None else getattr(placed[1], key[2])
    value = getattr(job, key[0])
    return getattr(value, key[1]) if len(key) > 1 else value


def apply_edit(job: Job, edit: JobEdit, *, force: bool = False) -> Job:
    """The job with the edit made. A value that is neither as it was before nor as it should be
    after was changed by somebody else: raises EditClash with all of them, unless `force`d."""
    if not force and (clashes := tuple(_clashes(job, edit))):
        raise EditClash(clashes)
    for change in sorted(edit.changes, key=_turn):
        job = _with(job, change)
    return job


def _turn(change: Change) -> tuple[int, int]:
    """Rows go first and come last, in their order, so that each stands where it stood."""
    if len(change.key) != 2 or change.key[0] not in _LISTS:  # noqa: PLR2004 - no whole row
        return 1, 0
    if change.after is None:
        return 0, 0
    return (2, change.after[0]) if change.before is None else (1, 0)


def _clashes(job: Job, edit: JobEdit) -> Iterator[Clash]:
    for change in edit.changes:
        here = value_at(job, change.key)
        if _content(change.key, here) not in (
            _content(change.key, change.before),
            _content(change.key, change.after),
        ) or _row_is_gone(job, change.key):
            yield Clash(change.key, here, change.after)


def _row_is_gone(job: Job, key: Key) -> bool:
    """Whether the row of a cell is gone; a blank cell of a row that stays is no such thing."""
    return len(key) == 3 and value_at(job, key[:2]) is None  # noqa: PLR2004


def _content(key: Key, value: Any) -> Any:
    """A row without its place: somebody else's new row above it is no clash."""
    return value[1] if len(key) == 2 and key[0] in _LISTS and value is not None else value  # noqa: PLR2004


def _with(job: Job, change: Change) -> Job:
    section = change.key[0]
    if section in _LISTS:
        return _with_row(job, change)
    if len(change.key) == 1:
        return replace(job, **{section: change.after})
    part = replace(getattr(job, section), **{change.key[1]: change.after})
    return replace(job, **{section: part})


def _with_row(job: Job, change: Change) -> Job:
    rows = _LISTS[change.key[0]]
    code = change.key[1]
    placed = list(rows.read(job))
    at = next((n for n, row in enumerate(placed) if rows.id_of(row) == code), None)
    if len(change.key) == 3:  # noqa: PLR2004 - a cell
        if at is not None:
            placed[at] = replace(placed[at], **{change.key[2]: change.after})
    elif change.after is None:
        if at is not None:
            del placed[at]
    elif at is not None:
        placed[at] = change.after[1]
    else:
        placed.insert(min(change.after[0], len(placed)), change.after[1])
    return rows.write(job, tuple(placed))
