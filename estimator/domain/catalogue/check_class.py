"""Checks of the catalogue as one class of machine sees it: nothing twice, missing or in a ring."""

from __future__ import annotations

from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter
from typing import Any, cast

from estimator.domain.catalogue import work_rows
from estimator.domain.catalogue.catalogue import TABLES, Catalogue, fits
from estimator.domain.catalogue.check_when_worn import fault_at, when_worn_faults
from estimator.domain.catalogue.column import referring
from estimator.domain.catalogue.rows import MachineClass, Row
from estimator.domain.problem import Problem

GROUPS = 18  # every class has G00 to G17


def class_faults(catalogue: Catalogue, machine_class: MachineClass) -> Iterator[Problem]:
    """Faults that show only when the catalogue is seen as one class sees it."""
    traits = machine_class.all_traits
    fitting: dict[str, dict[str, Row]] = {}
    for name, kind in TABLES.items():
        fitting[name] = {}
        for row in catalogue.table(name, kind):
            code = getattr(row, "id", None) or (
                getattr(row, "part", "")
                if name == "wear"
                else getattr(row, "group", "")
                if name in ("loadings", "warranty")
                else None
            )
            if code is None or not fits(row, traits):
                continue
            if code in fitting[name]:
                yield fault_at(
                    row,
                    "needs",
                    "code-twice",
                    f"{code} fits {machine_class.id} twice (also row "
                    f"{fitting[name][code].place.row}).",
                    "Give the rows traits of which a class has only one.",
                )
            fitting[name][code] = row
    yield from _missing_for_class(fitting, machine_class)
    yield from _cycles(fitting, machine_class)
    yield from _unreached(catalogue, fitting, machine_class)
    yield from when_worn_faults(catalogue, machine_class)
    if len(fitting["groups"]) != GROUPS:
        yield fault_at(
            machine_class,
            "traits",
            "groups",
            f"{machine_class.id} has {len(fitting['groups'])} component groups, not {GROUPS}.",
            "Every class has G00 to G17, once each.",
        )


def _missing_for_class(
    fitting: dict[str, dict[str, Row]], machine_class: MachineClass
) -> Iterator[Problem]:
    """Rows that fit the class but lean on rows that do not. Predecessors and what an operation
    includes may be absent (no tracks on wheels), as may the targets of a test or measure."""
    may_be_absent = {"after", "includes", "sign_of", "target", "at_class"}
    for found in fitting.values():
        for code, row in found.items():
            for column, table in referring(cast(Any, type(row))):
                if column in may_be_absent or table not in fitting:
                    continue
                value = getattr(row, column)
                for named in value if isinstance(value, tuple) else (value,):
                    if named and named not in fitting[table]:
                        yield fault_at(
                            row,
                            column,
                            "not-on-class",
                            f"{code} fits {machine_class.id}, but {named} does not.",
                            "Give both rows the same needs.",
                        )


def _cycles(fitting: dict[str, dict[str, Row]], machine_class: MachineClass) -> Iterator[Problem]:
    for table in ("operations", "activities"):
        graph = {
            code: [before for before in getattr(row, "after") if before in fitting[table]]  # noqa: B009
            for code, row in fitting[table].items()
        }
        try:
            TopologicalSorter(graph).prepare()
        except CycleError as error:
            ring = error.args[1]
            yield fault_at(
                fitting[table][ring[0]],
                "after",
                "cycle",
                f"for {machine_class.id} these wait for each other: {' < '.join(ring)}.",
                "Take one of them out of the other's predecessors.",
            )


def _unreached(
    catalogue: Catalogue, fitting: dict[str, dict[str, Row]], machine_class: MachineClass
) -> Iterator[Problem]:
    """Rows that no rule can call in, and parts that may be worn at no stated cost."""
    measured = {m.part for m in fitting["measures"].values() if isinstance(m, work_rows.Measure)}
    offered: dict[str, set[str]] = {}
    traits = machine_class.all_traits
    for remedy in catalogue.table("remedies", work_rows.Remedy):
        if fits(remedy, traits):
            offered.setdefault(remedy.part, set()).add(remedy.way)
    yield from _doubled_ways(catalogue, machine_class)
    yield from _unreached_parts(fitting, measured, machine_class)
    for table in ("operations", "parts", "outwork"):
        for row in fitting[table].values():
            if isinstance(row, work_rows.CalledRow):
                yield from _unreached_ways(row, fitting, measured, offered)
    for code, row in fitting["wear"].items():
        parts_row = fitting["parts"].get(code)
        exposed = isinstance(parts_row, work_rows.PartsGroup) and parts_row.called_by == "condition"
        if exposed and code not in offered and code not in measured:
            yield fault_at(
                row,
                "part",
                "no-remedy",
                f"{code} may be worn but has no cost if it is.",
                "Add it to remedies.csv.",
            )


def _doubled_ways(catalogue: Catalogue, machine_class: MachineClass) -> Iterator[Problem]:
    """A way offered twice for one part, or two usual ways."""
    seen: dict[tuple[str, str], work_rows.Remedy] = {}
    traits = machine_class.all_traits
    for row in catalogue.table("remedies", work_rows.Remedy):
        if not fits(row, traits):
            continue
        for key in ((row.part, row.way), *(((row.part, "usual"),) if row.usual else ())):
            if key in seen:
                yield fault_at(
                    row,
                    "usual" if key[1] == "usual" else "way",
                    "way-twice",
                    f"{row.part} has this twice for {machine_class.id} (also row "
                    f"{seen[key].place.row}).",
                    "Keep one.",
                )
            seen[key] = row


def _unreached_parts(
    fitting: dict[str, dict[str, Row]], measured: set[str], machine_class: MachineClass
) -> Iterator[Problem]:
    for code, row in fitting["parts"].items():
        called = isinstance(row, work_rows.PartsGroup) and row.called_by in ("condition", "carrier")
        if called and code not in measured and code not in fitting["wear"]:
            yield fault_at(
                row,
                "called_by",
                "unreached",
                f"no measure and no wear-out row of {machine_class.id} can call {code} in.",
                "Add a measure that settles it, or its wear-out.",
            )


def _unreached_ways(
    row: work_rows.CalledRow,
    fitting: dict[str, dict[str, Row]],
    measured: set[str],
    offered: dict[str, set[str]],
) -> Iterator[Problem]:
    """A row for a way in which none of its parts is ever put right. A measured part may be given
    any disposition; one that nobody measures only gets the ways its remedies offer."""
    called_by = getattr(row, "called_by", "")
    parts = row.follows if called_by == "follows" else (getattr(row, "id", ""),)
    if not row.ways or called_by not in ("follows", "condition"):
        return
    present = [part for part in parts if part in fitting["parts"]]
    reached = any(
        part in measured or offered.get(part, {"replace"}) & set(row.ways) for part in present
    )
    if not reached:
        yield fault_at(
            row,
            "ways",
            "unreached",
            f"none of {', '.join(parts)} is ever put right by {' or '.join(row.ways)}.",
            "Mend the ways, or offer that way in remedies.csv.",
        )
