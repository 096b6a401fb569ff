"""Reading a catalogue folder: `catalogue.toml`, a CSV for each table, clauses, names."""

from __future__ import annotations

import hashlib
from pathlib import Path

from estimator.domain.catalogue.catalogue import TABLES, Catalogue
from estimator.domain.catalogue.check import check_catalogue
from estimator.domain.catalogue.check_names import name_faults
from estimator.domain.catalogue.name_rows import CatalogueName
from estimator.domain.catalogue.rows import Clause, Row
from estimator.domain.problem import Problem, errors_in
from estimator.intake.settings_file import read_settings
from estimator.intake.tables import read_table
from estimator.intake.workshop_file import FILE, read_workshop

OPTIONAL_TABLES = {"own_cases", "class_masses", "found_work"}


def read_catalogue(folder: Path) -> tuple[Catalogue | None, list[Problem]]:
    """The catalogue in `folder` and every fault in it; None if any fault forbids its use."""
    settings, version, problems = read_settings(folder / "catalogue.toml")
    tables: dict[str, tuple[Row, ...]] = {}
    for name, row_class in TABLES.items():
        path = folder / f"{name}.csv"
        if name in OPTIONAL_TABLES and not path.exists():
            tables[name] = ()
            continue
        rows, faults = read_table(path, row_class)
        tables[name] = tuple(rows)
        problems += faults
    clauses: dict[str, tuple[Clause, ...]] = {}
    for path in sorted((folder / "clauses").glob("*.csv")):
        found, faults = read_table(path, Clause, f"clauses/{path.name}")
        clauses[path.stem] = tuple(found)
        problems += faults
    names: dict[str, tuple[CatalogueName, ...]] = {}
    for path in sorted((folder / "names").glob("*.csv")):
        said, faults = read_table(path, CatalogueName, f"names/{path.name}")
        names[path.stem] = tuple(said)
        problems += faults
    if (folder / FILE).exists():  # asked for by itself: a job that is there has terms of its own
        problems += read_workshop(folder)[1]
    if settings is None:
        return None, problems
    catalogue = Catalogue(version, fingerprint(folder), settings, tables, clauses, names=names)
    problems += check_catalogue(catalogue, complete=not errors_in(problems))
    problems += name_faults(catalogue)
    return (None if errors_in(problems) else catalogue), problems


def fingerprint(folder: Path) -> str:
    """SHA-256 over the names and bytes of every catalogue file, so that an edition can be told."""
    digest = hashlib.sha256()
    paths = [folder / "catalogue.toml", *sorted(folder.glob("*.csv"))]
    for name in ("clauses", "names"):
        paths += sorted((folder / name).glob("*.csv"))
    for path in paths:
        if path.is_file():
            digest.update(path.relative_to(folder).as_posix().encode() + b"\0")
            digest.update(path.read_bytes() + b"\0")
    return digest.hexdigest()
