"""Whether the catalogue's names and clauses in other languages fit their English."""

from __future__ import annotations

import re
from collections.abc import Iterator

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.catalogue.check_when_worn import fault_at
from estimator.domain.catalogue.name_rows import PRINTED, STAGES, CatalogueName
from estimator.domain.catalogue.names import texts_of
from estimator.domain.language import is_english
from estimator.domain.problem import Place, Problem

_FILL_IN = re.compile(r"\{\w+\}")
_SHOWN = 40


def name_faults(catalogue: Catalogue) -> list[Problem]:
    """Ids that do not exist, columns that are not printed, names that stand twice, and clauses
    whose {names in braces} differ from the English; as warnings what was reworded in English, and
    how many texts a language lacks."""
    found: list[Problem] = []
    for language, rows in catalogue.names.items():
        found += _language_faults(catalogue, language, rows)
    return found + list(_clause_faults(catalogue))


def _language_faults(
    catalogue: Catalogue, language: str, rows: tuple[CatalogueName, ...]
) -> Iterator[Problem]:
    texts = list(texts_of(catalogue))
    known, ids = set(texts), {(table, code) for table, _, code, _ in texts}
    seen: set[tuple[str, str, str, str]] = set()
    for row in rows:
        key = (row.table, row.column, row.id, row.english)
        if key in seen:
            yield fault_at(row, "id", "code-twice", f"{row.id[:_SHOWN]} stands twice.", "Keep one.")
        seen.add(key)
        if row.table == STAGES:
            continue
        if row.column not in PRINTED[row.table]:
            yield fault_at(row, "field", "unknown-column", f"{row.table} prints no such column.",
                           f"Use one of: {', '.join(PRINTED[row.table])}.")  # fmt: skip
        elif (row.table, row.id) not in ids:
            yield fault_at(row, "id", "unknown-code", f"{row.id[:_SHOWN]!r} is not in "
                           f"{row.table}.csv.", "Mend the code, or take the row out.")  # fmt: skip
        elif key not in known:
            place = Place(row.place.file, row.place.row, "english")
            said = f"the English of {row.id} is another now, and is printed instead."
            yield Problem("reworded", place, said, "Translate it anew.", warning=True)
    lacks = [key for key in known if key not in seen]
    if lacks and not is_english(language):
        first = ", ".join(sorted(f"{table} {code}" for table, _, code, _ in lacks)[:3])
        yield Problem("untranslated", Place(f"names/{language}.csv"), f"lacks {len(lacks)} of "
                      f"{len(known)} texts, which are printed in English: {first}.",
                      "Add them.", warning=True)  # fmt: skip


def _clause_faults(catalogue: Catalogue) -> Iterator[Problem]:
    english = {
        one.id: sorted(_FILL_IN.findall(one.text)) for one in catalogue.clauses.get("en", ())
    }
    for language, clauses in catalogue.clauses.items():
        for clause in clauses:
            wanted = english.get(clause.id)
            if language != "en" and wanted not in (None, sorted(_FILL_IN.findall(clause.text))):
                yield fault_at(clause, "text", "other-braces", f"{clause.id} fills in other values "
                               "than its English.", f"It needs: {' '.join(wanted or ['none'])}."
                               )  # fmt: skip
