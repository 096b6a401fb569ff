"""The scope as a screen shows it: a row a part with what is done with it and why, and the work
that no part calls for. Hours and amounts of the rows add up to those of the scope."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import CalledRow, FoundWork, Operation
from estimator.domain.job import Job
from estimator.domain.money import Money, money_sum
from estimator.domain.priced_job import PricedJob
from estimator.domain.priced_work import PricedWork
from estimator.domain.pricing import PricedLine
from estimator.domain.scope import LABOUR, Called
from estimator.domain.wording import worded
from estimator.services.edit_job import edits_of
from estimator.services.open_record import Record
from estimator.services.price_rows import Rests, rests_of_found, share_to_thousandth
from estimator.services.scope_rows import (
    GONE,
    IDLE,
    PART,
    WORK,
    Caution,
    ScopeHead,
    ScopeRow,
    ScopeTable,
)

__all__ = [
    "GONE",
    "IDLE",
    "PART",
    "WORK",
    "Caution",
    "ScopeHead",
    "ScopeRow",
    "ScopeTable",
    "all_rows",
    "overruled_on",
    "scope_table",
    "with_same_scope",
]

Reckoned = PricedJob | PricedWork


@dataclass(slots=True)
class _Making:
    work: Reckoned
    lines: Mapping[str, PricedLine]
    of_part: dict[str, list[PricedLine]]
    alone: list[PricedLine]

    @property
    def job(self) -> Job:
        return self.work.job

    @property
    def cat(self) -> ClassCatalogue:
        return self.work.cat


def scope_table(work: Reckoned) -> ScopeTable:
    """Every part of this rebuild and every line of its scope, each line in one row."""
    making = _shared_out(work)
    rows = [
        *_part_rows(making),
        *_work_rows(making),
        *_found_rows(making),
        *_gone_rows(making),
        *_idle_rows(making),
    ]
    in_group: dict[str, list[ScopeRow]] = {group: [] for group in making.cat.groups}
    for row in rows:
        in_group[row.group].append(row)
    sections = tuple(
        (_head(group, found, making), tuple(_pairs_together(found)))
        for group, found in in_group.items()
        if found
    )
    return ScopeTable(sections, len(making.job.findings), len(work.lines))


def _shared_out(work: Reckoned) -> _Making:
    """Each line goes with the part it is, or the first part it follows; an operation counted twice
    stands alone, so that one of the two can be taken out."""
    twice = {code for pair in work.scope.doubles for code in pair}
    of_part: dict[str, list[PricedLine]] = {}
    alone = []
    for one in work.lines:
        part = "" if one.id in twice or one.line.by_hand else _part_of(one, work)
        if part:
            of_part.setdefault(part, []).append(one)
        else:
            alone.append(one)
    return _Making(work, {one.id: one for one in work.lines}, of_part, alone)


def _part_of(one: PricedLine, work: Reckoned) -> str:
    row = one.line.row
    if row.id in work.cat.parts and _is_listed(row.id, work):
        return row.id
    for part in row.follows:
        called = work.scope.parts.get(part)
        if called is None or not called.put_right or not _is_listed(part, work):
            continue
        if not row.ways or called.disposition in row.ways:
            return part
    return ""


def _is_listed(part: str, work: Reckoned) -> bool:
    """Whether a part has a row of its own: it belongs to this rebuild and something is said of it,
    or must be."""
    row = work.cat.parts[part]
    if not work.job.takes(row):
        return False
    called = work.scope.parts[part]
    if row.called_by in ("condition", "level"):
        return True
    return row.called_by in ("carrier", "excluded") and called.by is not None


def _part_rows(making: _Making) -> Iterable[ScopeRow]:
    work = making.work
    removed = {one.row_id for one in making.job.removed}
    for part in making.cat.parts:
        if _is_listed(part, work) and (part not in removed or part in making.of_part):
            yield _part_row(part, making)


def _part_row(part: str, making: _Making) -> ScopeRow:
    work, row = making.work, making.cat.parts[part]
    called = work.scope.parts[part]
    by = called.by
    lines = making.of_part.get(part, [])
    chance = work.known.chances.get(part)
    open_now = part in {one.part for one in work.exposed}
    always = row.called_by == "level" and bool(lines)
    disposition = called.disposition or ("replace" if always else "open" if open_now else "")
    finding = by.finding if by is not None else None
    chosen = (making.job.ways or {}).get(part, "")
    return ScopeRow(
        key=f"part/{part}",
        kind=PART,
        id=part,
        group=making.cat.group_of(row.component),
        name=row.name,
        disposition=disposition,
        rule=_rule_of(called, part, always, making),
        rests=_rests_of(called, part, open_now, always, making),
        hours=_hours(lines),
        amount=_amount(lines, making),
        figure=_figure_of(part, called, lines, chance is not None),
        to_decide=part in work.scope.not_looked_at,
        proposal=by.rule_disposition if by is not None and finding and finding.override else "",
        overruled_by=finding.overridden_by if finding is not None and finding.override else "",
        reason=finding.override_reason if finding is not None and finding.override else "",
        finding=finding.id if finding is not None else "",
        way=chosen,
        ways=tuple(one.way for one in making.cat.remedies.get(part, ())),
        level_always=always,
        outside=row.called_by == "excluded",
        parts_of_finding=len(by.parts) if by is not None else 0,
        cautions=_cautions(lines, making.cat),
        lines=tuple(one.id for one in lines),
    )


def _rule_of(called: Called, part: str, always: bool, making: _Making) -> str:
    if called.by is not None:
        return called.by.rule_reason
    if part in making.work.firm_by_chance:
        return making.work.firm_by_chance[part][1]
    return worded("always at this rebuild level") if always else ""


def _rests_of(called: Called, part: str, open_now: bool, always: bool, making: _Making) -> Rests:
    chance = making.work.known.chances.get(part)
    share = share_to_thousandth(chance.after) if chance is not None else None
    if called.by is not None:
        code = called.by.finding.id
        return Rests(
            "open" if open_now else "finding",
            (code,),
            called.by.kind,
            share if open_now else None,
            unseen=open_now,
        )
    if part in making.work.firm_by_chance or open_now:
        words = chance.rests_on if chance is not None else ""
        return Rests("open" if open_now else "chance", (), words, share, unseen=open_now)
    return Rests("level") if always else Rests("nothing", unseen=True)


def _figure_of(part: str, called: Called, lines: list[PricedLine], chance: bool) -> str:
    if called.by is not None:
        return f"finding/{called.by.finding.id}"
    if chance:
        return f"chance/{part}"
    return f"line/{lines[0].id}" if lines else ""


def _hours(lines: Iterable[PricedLine]) -> Decimal | None:
    found = [one.line.quantity for one in lines if one.line.kind == LABOUR]
    return sum(found, Decimal(0)) if found else None


def _amount(lines: list[PricedLine], making: _Making) -> Money | None:
    if not lines:
        return None
    return money_sum((one.amount for one in lines), making.job.terms.currency)


def _cautions(lines: Iterable[PricedLine], cat: ClassCatalogue) -> tuple[Caution, ...]:
    codes = dict.fromkeys(
        code
        for one in lines
        if isinstance(one.line.row, Operation)
        for code in one.line.row.cautions
    )
    return _named(codes, cat)


def _named(codes: Iterable[str], cat: ClassCatalogue) -> tuple[Caution, ...]:
    return tuple(Caution(cat.cautions[code].hazard, cat.cautions[code].caution) for code in codes)


def _work_rows(making: _Making) -> Iterable[ScopeRow]:
    pair_of = {code: pair for pair in making.work.scope.doubles for code in pair}
    for one in making.alone:
        line = one.line
        change = line.change
        pair = pair_of.get(one.id)
        how = "own" if line.own else "hand" if change else "finding" if line.because else "level"
        yield ScopeRow(
            key=f"work/{one.id}",
            kind=WORK,
            id=one.id,
            group=line.group,
            name=line.row.name,
            disposition="",
            rule=line.why,
            rests=Rests(how, line.because, _kinds(line.because, making)),
            hours=_hours([one]),
            amount=one.amount,
            figure=f"line/{one.id}",
            to_decide=pair is not None,
            overruled_by=change.by if change else line.own.by if line.own else "",
            reason=change.reason if change else line.own.reason if line.own else "",
            level_always=line.rule == "level",
            cautions=_cautions([one], making.cat),
            lines=(one.id,),
            twice=pair,
            first=pair is not None and pair[0] == one.id,
        )


def _kinds(findings: tuple[str, ...], making: _Making) -> str:
    """How the findings behind a line were made."""
    judged = making.work.scope.judgements
    return ", ".join(dict.fromkeys(judged[code].kind for code in findings))


def _found_rows(making: _Making) -> Iterable[ScopeRow]:
    """Work that may be found while working: open until it is found, with its cautions."""
    for one in making.work.found:
        yield ScopeRow(
            key=f"work/{one.id}",
            kind=WORK,
            id=one.id,
            group=one.group,
            name=one.name,
            disposition="open",
            rule=worded("may be found while working"),
            rests=rests_of_found(one),
            hours=None,
            amount=None,
            figure=one.key,
            cautions=_named(one.row.cautions, making.cat),
        )


def _gone_rows(making: _Making) -> Iterable[ScopeRow]:
    """Lines taken out by hand; one without effect is shown as such instead."""
    rows: dict[str, CalledRow | FoundWork] = {**all_rows(making.cat), **making.cat.found_work}
    for change in making.job.removed:
        if change.row_id in making.work.scope.idle_changes:
            continue
        row = rows[change.row_id]
        yield ScopeRow(
            key=f"gone/{row.id}",
            kind=GONE,
            id=row.id,
            group=making.cat.group_of(row.component),
            name=row.name,
            disposition="",
            rule=worded("taken out"),
            rests=Rests("hand", (), change.reason),
            hours=None,
            amount=None,
            figure="",
            overruled_by=change.by,
            reason=change.reason,
        )


def _idle_rows(making: _Making) -> Iterable[ScopeRow]:
    scope, rows = making.work.scope, all_rows(making.cat)
    for code in dict.fromkeys((*scope.idle_changes, *scope.idle_typed, *scope.idle_kept)):
        row = rows.get(code.partition("+")[0])
        if row is None:
            continue
        yield ScopeRow(
            key=f"idle/{code}",
            kind=IDLE,
            id=code,
            group=making.cat.group_of(row.component),
            name=row.name,
            disposition="",
            rule=worded("change without effect"),
            rests=Rests("hand"),
            hours=None,
            amount=None,
            figure="",
            to_decide=True,
        )


def all_rows(cat: ClassCatalogue) -> Mapping[str, CalledRow]:
    """Operations, parts and outwork of a class by code."""
    return {**cat.operations, **cat.parts, **cat.outwork}


def _head(group: str, rows: list[ScopeRow], making: _Making) -> ScopeHead:
    currency = making.job.terms.currency
    return ScopeHead(
        group,
        making.cat.groups[group].name,
        sum((row.hours for row in rows if row.hours is not None), Decimal(0)),
        money_sum((row.amount for row in rows if row.amount is not None), currency),
    )


def _pairs_together(rows: list[ScopeRow]) -> Iterable[ScopeRow]:
    """The included operation of a pair comes right after the including one, both before the rest
    of the work; rows that stand in another group keep their place."""
    firsts = {row.twice for row in rows if row.twice is not None and row.first}
    seconds = {row.twice: row for row in rows if row.twice is not None and not row.first}
    placed: set[str] = set()
    for row in rows:
        if row.key in placed or (row.twice in firsts and not row.first):
            continue
        yield row
        second = seconds.get(row.twice) if row.twice is not None and row.first else None
        if second is not None and second.key not in placed:
            placed.add(second.key)
            yield second


def with_same_scope(before: ScopeTable | None, after: ScopeTable) -> ScopeTable:
    """`after` with the very rows of `before` where they are equal."""
    if before is None:
        return after
    known = {row.key: row for row in before.rows}
    sections = tuple(
        (head, tuple(known[row.key] if known.get(row.key) == row else row for row in rows))
        for head, rows in after.sections
    )
    return replace(after, sections=sections)


def overruled_on(record: Record, number: str) -> Mapping[str, datetime.datetime]:
    """When findings were overruled and lines taken out or put in, as far as that is in the edits
    since the last issue: by the number of the finding or the code of the row. Raises NotFound."""
    found: dict[str, datetime.datetime] = {}
    for step in edits_of(record, number):
        if step.undone:
            continue
        for change in step.edit.changes:
            section, *rest = change.key
            overrules = section == "finding" and rest[-1] in ("override", rest[0])
            if overrules or section in ("removed", "added", "own", "way"):
                found[rest[0]] = step.at
    return found
