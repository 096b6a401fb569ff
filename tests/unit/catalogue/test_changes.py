"""Changes of the catalogue as values: applied, found between two, taken back."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.catalogue.changes import (
    RowChange,
    RowsMoved,
    applied,
    cell_text,
    code_of,
    difference,
    field_changes,
    fingerprint_of,
    key_of,
    rows_of,
    same,
    table_names,
)
from estimator.domain.catalogue.rows import Row
from estimator.domain.catalogue.setting_rows import SETTINGS, setting_rows, settings_of
from estimator.domain.problem import Place
from estimator.intake.catalogue_files import read_catalogue

GOLDEN = Path(__file__).parents[2] / "golden" / "catalogue"
BASE, _ = read_catalogue(GOLDEN)
assert BASE is not None
TABLES = [name for name in table_names(BASE) if name != SETTINGS and rows_of(BASE, name)]


def row(table: str, code: str) -> Any:
    return next(one for one in rows_of(BASE, table) if code_of(one) == code)


def bare(catalogue: Catalogue) -> dict[str, list[Row]]:
    """Every row without its place, in its order."""
    return {
        table: [replace(one, place=Place()) for one in rows_of(catalogue, table)]
        for table in table_names(catalogue)
    }


@st.composite
def edits(draw: st.DrawFn) -> Catalogue:
    """The catalogue with rows changed, taken out and put in anywhere, without any check."""
    tables = {name: list(rows_of(BASE, name)) for name in TABLES}
    for number in range(draw(st.integers(1, 8))):
        table = draw(st.sampled_from(TABLES))
        rows = tables[table]
        at = draw(st.integers(0, max(len(rows) - 1, 0)))
        act = draw(st.sampled_from(("change", "remove", "add", "needs")))
        if act == "add":
            like = rows_of(BASE, table)[0]
            new = replace(like, needs=(f"new-{number}",), source=f"row {number}")
            rows.insert(draw(st.integers(0, len(rows))), new)
        elif rows and act == "remove":
            del rows[at]
        elif rows and act == "change":
            rows[at] = replace(rows[at], source=f"changed {number}")
        elif rows:
            rows[at] = replace(rows[at], needs=(*rows[at].needs, f"more-{number}"))
    made = {name: tuple(rows) for name, rows in tables.items()}
    new = replace(
        BASE,
        tables={name: made.get(name, rows) for name, rows in BASE.tables.items()},
        clauses={"en": made["clauses/en"]},  # type: ignore[dict-item]
    )
    return replace(new, fingerprint=fingerprint_of(new))


@settings(max_examples=60, deadline=None)
@given(edits())
def test_the_difference_applied_gives_the_other_and_undone_the_first(other: Catalogue) -> None:
    changes = difference(BASE, other)
    there = applied(BASE, changes)
    assert bare(there) == bare(other)
    assert there.fingerprint == other.fingerprint
    assert difference(there, other) == ()
    back = applied(there, [one.undone for one in reversed(changes)])
    assert {t: sorted(map(repr, r)) for t, r in bare(back).items()} == {
        t: sorted(map(repr, r)) for t, r in bare(BASE).items()
    }


def test_the_same_catalogue_has_no_difference_and_one_fingerprint() -> None:
    again, _problems = read_catalogue(GOLDEN)
    assert again is not None
    assert difference(BASE, again) == ()
    assert fingerprint_of(again) == fingerprint_of(BASE)


def test_a_changed_row_keeps_its_place_and_another_fingerprint_follows() -> None:
    before = row("operations", "O0002")
    after = replace(before, hours=Decimal(9), place=Place())
    made = applied(BASE, [RowChange("operations", before, after)])
    index = list(BASE.tables["operations"]).index(before)
    assert made.tables["operations"][index] == replace(before, hours=Decimal(9))
    assert made.fingerprint != fingerprint_of(BASE)
    assert made.tables["parts"] is BASE.tables["parts"]
    (change,) = difference(BASE, made)
    assert change.key == ("operations", "O0002", before.needs)
    (field,) = field_changes(change.before, change.after)
    assert (field.column, field.before, field.after) == ("hours", "8", "9")


def test_the_fingerprint_tells_digits_apart_and_not_places() -> None:
    before = row("markups", "A")
    wider = replace(before, share=Decimal(f"{before.share}0"))
    assert wider == before  # equal as numbers
    moved = replace(before, place=Place("elsewhere.csv", 99))
    assert same(before, moved)
    of = [
        fingerprint_of(replace(BASE, tables={**BASE.tables, "markups": (one,)}))
        for one in (before, wider, moved)
    ]
    assert of[0] == of[2] != of[1]


def test_a_row_that_is_not_as_it_was_taken_to_be_is_told_with_what_it_is_now() -> None:
    before = row("operations", "O0002")
    now = replace(before, hours=Decimal(12))
    theirs = applied(BASE, [RowChange("operations", before, now)])
    mine = RowChange("operations", before, replace(before, crew=2))
    with pytest.raises(RowsMoved) as moved:
        applied(theirs, [mine])
    ((change, found),) = moved.value.found
    assert change is mine
    assert same(found, now)
    gone = applied(BASE, [RowChange("operations", before, None)])
    with pytest.raises(RowsMoved) as moved:
        applied(gone, [mine])
    assert moved.value.found[0][1] is None


def test_a_code_that_stands_there_already_is_not_put_in_again() -> None:
    with pytest.raises(RowsMoved):
        applied(BASE, [RowChange("parts", None, rows_of(BASE, "parts")[0])])
    twice = rows_of(BASE, "own_cases")[0]  # what was seen twice stands twice
    made = applied(BASE, [RowChange("own_cases", None, twice)])
    assert len(made.tables["own_cases"]) == len(BASE.tables["own_cases"]) + 1


def test_a_new_row_stands_after_the_one_before_it_by_code_and_lines_are_counted_anew() -> None:
    like = row("operations", "O0002")
    made = applied(BASE, [RowChange("operations", None, replace(like, id="O0002A"))])
    codes = [code_of(one) for one in made.tables["operations"]]
    assert codes.index("O0002A") == codes.index("O0002") + 1
    assert [one.place.row for one in made.tables["operations"]] == list(range(2, len(codes) + 2))


def test_figures_of_the_workshop_are_rows_like_others() -> None:
    rows = setting_rows(BASE.settings)
    assert settings_of(rows) == BASE.settings
    chance = next(one for one in rows if one.id == "firm_chance")
    spread = next(one for one in rows if one.id == "work_spread")
    assert spread.value.count(";") == 2
    changed = replace(chance, value="0.9")
    made = applied(BASE, [RowChange(SETTINGS, chance, changed)])
    assert made.settings == replace(BASE.settings, firm_chance=Decimal("0.9"))
    assert [one.key[:2] for one in difference(BASE, made)] == [(SETTINGS, "firm_chance")]
    with pytest.raises(ValueError, match="firm_chance"):
        applied(BASE, [RowChange(SETTINGS, chance, replace(chance, value="much"))])


@pytest.mark.parametrize(
    ("value", "text"),
    [(Decimal("1.50"), "1.50"), (Decimal("1E+3"), "1000"), (True, "yes"), (None, ""),
     (("A", "B"), "A;B"), (3, "3"), ("x", "x")],
)  # fmt: skip
def test_a_cell_is_written_as_a_file_has_it(value: object, text: str) -> None:
    assert cell_text(value) == text


def test_rows_of_one_code_are_told_apart_by_what_they_need() -> None:
    one = replace(row("groups", "G09"), needs=("tyres",))
    other = replace(one, needs=("tracks",), name="Undercarriage")
    both = applied(
        BASE,
        [RowChange("groups", row("groups", "G09"), one), RowChange("groups", None, other)],
    )
    assert key_of("groups", one) != key_of("groups", other)
    renamed = applied(both, [RowChange("groups", other, replace(other, name="Tracks"))])
    assert [r.name for r in rows_of(renamed, "groups") if code_of(r) == "G09"] == [  # type: ignore[attr-defined]
        one.name, "Tracks",
    ]  # fmt: skip
