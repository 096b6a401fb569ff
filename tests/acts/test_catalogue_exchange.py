"""The catalogue out to files and in again: the same bytes, every fault at its place."""

# ruff: noqa: F811

from __future__ import annotations

import shutil
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.domain.catalogue.changes import RowChange, difference, field_changes
from estimator.domain.catalogue.edition import IMPORTED
from estimator.installed import data_root
from estimator.services.catalogue_exchange import export_catalogue, import_catalogue, keep_import
from estimator.services.errors import NotWritten, Refused
from estimator.services.keep_catalogue import keep_edition, working_catalogue
from estimator.services.open_catalogue import open_catalogue
from tests.acts.catalogue_editions import change_of, row_of, supplied  # noqa: F401 - a fixture
from tests.acts.conftest import GOLDEN
from tests.acts.workshop import ESTIMATOR, NOW

SHIPPED = data_root() / "catalog"
FOLDER = GOLDEN / "catalogue"


def files_in(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.suffix in (".csv", ".toml")
    }


@pytest.fixture
def written(record, tmp_path, supplied):
    """The worked job's catalogue as files."""
    export_catalogue(record, tmp_path / "out", source=FOLDER)
    return tmp_path / "out"


def keep(record, catalogue, *changes):
    return keep_edition(record, changes, "measured", ESTIMATOR, NOW, catalogue.fingerprint)


def test_the_shipped_catalogue_exported_is_its_files_and_imported_changes_nothing(record, tmp_path):
    shipped = tmp_path / "shipped"
    shutil.copytree(SHIPPED, shipped)  # somebody may be at work on it
    catalogue = open_catalogue(shipped)
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(
            "estimator.services.keep_catalogue.open_catalogue", lambda _folder=None: catalogue
        )
        export_catalogue(record, tmp_path / "out", source=shipped)
        assert files_in(tmp_path / "out") == files_in(shipped)
        assert import_catalogue(record, tmp_path / "out").changes == ()


def test_a_changed_row_is_the_one_line_that_differs(record, supplied, written, tmp_path):
    change = change_of(supplied, "operations", "O0002", hours="8.50")
    keep(record, supplied, change)
    export_catalogue(record, tmp_path / "after", source=FOLDER)
    before, after = files_in(written), files_in(tmp_path / "after")
    assert [name for name in after if after[name] != before.get(name)] == [
        "catalogue.toml", "operations.csv",
    ]  # fmt: skip
    old, new = (files["operations.csv"].decode().splitlines() for files in (before, after))
    ((one, other),) = [pair for pair in zip(old, new, strict=True) if pair[0] != pair[1]]
    assert one.startswith("O0002") and other.startswith("O0002")
    assert other == one.replace(",8,", ",8.50,", 1)
    assert f'version = "{supplied.version}.2"' in after["catalogue.toml"].decode()
    assert difference(working_catalogue(record), open_catalogue(tmp_path / "after")) == ()


def test_figures_of_the_workshop_go_out_and_in(record, supplied, written):
    toml = written / "catalogue.toml"
    text = toml.read_text(encoding="utf-8")
    toml.write_text(text.replace("firm_chance = 0.85", "firm_chance = 0.9"), encoding="utf-8")
    found = import_catalogue(record, written)
    assert [one.key[:2] for one in found.changes] == [("settings", "firm_chance")]
    keep_import(record, found, "we know better", ESTIMATOR, NOW)
    export_catalogue(record, written, source=FOLDER, replace_files=True)
    again = toml.read_text(encoding="utf-8")
    assert again.splitlines()[3:] == text.replace("0.85", "0.9", 1).splitlines()[3:]


def test_a_file_of_one_table_is_taken_in_as_an_edition(record, supplied, written):
    path = written / "operations.csv"
    rows = path.read_text(encoding="utf-8")
    path.write_text(rows.replace(",8,", ",8.5,", 1), encoding="utf-8")
    found = import_catalogue(record, path)
    (change,) = found.changes
    made = keep_import(record, found, "from our books", ESTIMATOR, NOW)
    assert (made.kind, made.rows, found.files) == (IMPORTED, 1, ("operations.csv",))
    assert field_changes(change.before, change.after)[0].after == "8.5"


def test_rows_that_a_file_lacks_go_unless_they_are_to_stay(record, supplied, written):
    path = written / "own_cases.csv"
    lines = path.read_text(encoding="utf-8").splitlines()
    path.write_text("\n".join(lines[:-1]) + "\n", encoding="utf-8")
    (gone,) = import_catalogue(record, path).changes
    assert gone.after is None
    assert import_catalogue(record, path, complete=False).changes == ()


@pytest.mark.parametrize(
    ("table", "old", "new", "place"),
    [
        ("parts", ",GBP,", ",ZZZ,", ("parts.csv", 2, "currency")),
        ("operations", "O0002,", "O0002,ZZZZ", ("operations.csv", 3, "component")),
        ("trades", "id,", "ident,", ("trades.csv", 1, "ident")),
        ("clauses/en", "id,section", "id,part", ("clauses/en.csv", 1, "part")),
    ],
)
def test_every_fault_is_named_by_file_row_and_column(
    record, supplied, written, table, old, new, place
):  # fmt: skip
    path = written / f"{table}.csv"
    path.write_text(path.read_text(encoding="utf-8").replace(old, new, 1), encoding="utf-8")
    with pytest.raises(Refused) as refused:
        import_catalogue(record, written)
    found = [(one.place.file, one.place.row, one.place.column) for one in refused.value.problems]
    assert place in found


@pytest.mark.parametrize("name", ["notes.csv", "nothing", "workshop.toml"])
def test_a_file_that_is_of_no_table_is_refused(record, supplied, tmp_path, name):
    path = tmp_path / name
    path.write_text("a,b\n1,2\n", encoding="utf-8")
    with pytest.raises(Refused):
        import_catalogue(record, path)


def test_a_text_like_a_formula_is_disarmed_and_comes_back_as_it_was(record, supplied, tmp_path):
    change = change_of(supplied, "operations", "O0002", source="=1+1", range_reason="-see")
    keep(record, supplied, change)
    export_catalogue(record, tmp_path / "out", source=FOLDER)
    text = (tmp_path / "out" / "operations.csv").read_text(encoding="utf-8")
    assert "'=1+1" in text
    assert ",=1+1" not in text
    assert import_catalogue(record, tmp_path / "out").changes == ()


def test_columns_that_the_file_lacked_are_added_where_they_are_filled(record, supplied, tmp_path):
    row = row_of(supplied, "markups", "A")
    keep(record, supplied, RowChange("markups", row, replace(row, needs=("WL28",))))
    export_catalogue(record, tmp_path / "out", source=FOLDER)
    header = (tmp_path / "out" / "markups.csv").read_text(encoding="utf-8").splitlines()[0]
    assert "needs" in header.split(",")
    assert import_catalogue(record, tmp_path / "out").changes == ()


def test_files_that_are_there_are_kept(record, supplied, written):
    (written / "parts.csv").write_text("mine", encoding="utf-8")
    with pytest.raises(NotWritten):
        export_catalogue(record, written, source=FOLDER)
    assert (written / "parts.csv").read_text(encoding="utf-8") == "mine"


def test_numbers_keep_their_digits(record, supplied, written):
    change = change_of(supplied, "markups", "A", share="0.350")
    if row_of(supplied, "markups", "A").share == Decimal("0.350"):
        change = change_of(supplied, "markups", "A", share="0.360")
    keep(record, supplied, change)
    export_catalogue(record, written, source=FOLDER, replace_files=True)
    assert change.after.share.as_tuple() == Decimal(str(change.after.share)).as_tuple()
    assert f",{change.after.share}," in (written / "markups.csv").read_text(encoding="utf-8")
