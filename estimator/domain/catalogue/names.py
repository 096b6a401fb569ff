"""Names of the catalogue in other languages, and the catalogue as one language says it.

A translation is of a text as it stood in English: where that was reworded since, the translation
holds no more and the English is printed until somebody has translated it anew. So a name is found
by table, field, id and its English text; rows of one id that differ between classes are told apart
in the same way.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from estimator.domain.catalogue.catalogue import TABLES, Catalogue, ClassCatalogue
from estimator.domain.catalogue.name_rows import PRINTED, STAGES
from estimator.domain.catalogue.rows import Row
from estimator.domain.language import is_english

R = TypeVar("R", bound=Row)

_MAPPINGS = tuple(  # of a class's catalogue
    table for table in PRINTED if table not in ("classes", "class_masses")
)


Key = tuple[str, str, str, str]  # table, column, id, English text


def names_in(catalogue: Catalogue, language: str) -> dict[Key, str]:
    """Every name that a language has."""
    rows = catalogue.names.get(language, ())
    return {(row.table, row.column, row.id, row.english): row.text for row in rows}


def id_of(row: Row) -> str:
    """The code that a row is named by: its own, or that of the group or class it speaks of."""
    own = getattr(row, "id", None) or getattr(row, "group", None)
    return str(own or getattr(row, "class_id", ""))


def texts_of(catalogue: Catalogue) -> Iterator[Key]:
    """Every text of the catalogue that may be printed."""
    for table, columns in PRINTED.items():
        for row in catalogue.table(table, TABLES[table]):
            for name in columns:
                if text := getattr(row, name):
                    yield (table, name, id_of(row), text)


def row_in(row: R, table: str, names: Mapping[Key, str]) -> R:
    """The row with each of its texts that the language has; as it is where there is none."""
    found: dict[str, Any] = {}
    for name in PRINTED.get(table, ()):
        english = getattr(row, name)
        if english and (said := names.get((table, name, id_of(row), english))):
            found[name] = said
    return replace(row, **found) if found else row


def stages_in(catalogue: Catalogue, language: str, stages: Iterable[str]) -> dict[str, str]:
    """Those payment stages that a language has a name for."""
    names = names_in(catalogue, language)
    known = {stage: names.get((STAGES, "", stage, stage)) for stage in stages}
    return {stage: said for stage, said in known.items() if said}


def catalogue_in(cat: ClassCatalogue, language: str) -> ClassCatalogue:
    """What a class sees with its texts in a language; those it lacks stay English. The whole
    catalogue behind it stays as it is."""
    names = names_in(cat.catalogue, language)
    if not names:
        return cat
    mappings: dict[str, Any] = {
        table: {key: row_in(row, table, names) for key, row in getattr(cat, table).items()}
        for table in _MAPPINGS
    }
    return replace(
        cat,
        machine_class=row_in(cat.machine_class, "classes", names),
        masses=tuple(row_in(row, "class_masses", names) for row in cat.masses),
        **mappings,
    )


def lacking(cat: ClassCatalogue, language: str) -> int:
    """How many names of operations, parts, outwork and groups that a class sees are not in the
    language; none are looked for in English."""
    if is_english(language):
        return 0
    names = names_in(cat.catalogue, language)
    return sum(
        (table, "name", id_of(row), row.name) not in names
        for table in ("groups", "operations", "parts", "outwork")
        for row in getattr(cat, table).values()
    )
