"""Editions of the catalogue kept in the record: by whom, over whose, and taken back."""

# ruff: noqa: F811

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from estimator.domain.catalogue.changes import RowChange, difference, rows_of
from estimator.domain.catalogue.edition import EDITED, FOLDER, IMPORTED, TAKEN_BACK
from estimator.domain.catalogue.setting_rows import SETTINGS
from estimator.services import keep_catalogue
from estimator.services.catalogue_editions import (
    compare_editions,
    edition,
    edition_changes,
    editions,
    folder_news,
    take_back,
    take_folder,
)
from estimator.services.errors import Conflict, NotAllowed, NotFound, NotOpened, Refused
from estimator.services.keep_catalogue import faults_after, keep_edition, working_catalogue
from estimator.services.verify_record import verify_record
from estimator.storage.change_log import entries
from tests.acts.catalogue_editions import change_of, row_of, supplied  # noqa: F401 - a fixture
from tests.acts.workshop import ESTIMATOR, FOREMAN, INSPECTOR, MANAGER, NOW, VIEWER

LATER = NOW + timedelta(hours=1)
pytestmark = pytest.mark.usefixtures("supplied")


def keep(record, changes, based_on, who=ESTIMATOR, why="measured"):
    return keep_edition(record, changes, why, who, NOW, based_on)


def test_before_anybody_changes_a_row_the_supplied_catalogue_is_worked_with(record, supplied):
    assert working_catalogue(record) is supplied
    assert editions(record) == ()


def test_an_edition_is_kept_with_who_why_and_what(record, supplied):
    change = change_of(supplied, "operations", "O0002", hours="9")
    made = keep(record, [change], supplied.fingerprint)
    now = working_catalogue(record)
    assert (made.number, made.based_on, made.kind, made.who) == (2, 1, EDITED, ESTIMATOR.name)
    assert now.fingerprint == made.fingerprint != supplied.fingerprint
    assert now.version == made.version == f"{supplied.version}.2"
    assert [one.key for one in difference(supplied, now)] == [change.key]
    assert row_of(now, "operations", "O0002").hours == Decimal(9)
    first, second = reversed(editions(record))
    assert (first.number, first.kind, first.who, second) == (1, FOLDER, "", made)
    assert difference(edition(record, 1)[1], supplied) == ()
    (kept,) = edition_changes(record, 2)
    assert (kept.before.hours, kept.after.hours) == (Decimal(8), Decimal(9))
    assert [one.key for one in compare_editions(record, 1, 2)] == [change.key]
    with record.reading() as session:
        (told,) = entries(session, "catalogue")
    assert told.who == ESTIMATOR.name
    assert '"operations/O0002"' in told.after
    assert '"why": "measured"' in told.after
    assert verify_record(record).faults == ()


@pytest.mark.parametrize("who", [INSPECTOR, FOREMAN, VIEWER])
def test_only_who_prices_changes_the_catalogue(record, supplied, who):
    with pytest.raises(NotAllowed, match="change the catalogue"):
        keep(record, [change_of(supplied, "operations", "O0002", hours="9")],
             supplied.fingerprint, who)  # fmt: skip
    assert editions(record) == ()


def test_two_people_on_different_rows_both_stand(record, supplied):
    keep(record, [change_of(supplied, "operations", "O0002", hours="9")], supplied.fingerprint)
    second = keep(record, [change_of(supplied, "operations", "O0003", hours="13")],
                  supplied.fingerprint, MANAGER)  # fmt: skip
    now = working_catalogue(record)
    assert second.number == 3
    assert [row_of(now, "operations", code).hours for code in ("O0002", "O0003")] == [9, 13]


def test_an_edition_that_comes_in_while_the_catalogue_is_checked_stands_too(
    record, supplied, monkeypatch
):
    check, others = keep_catalogue.new_faults, []

    def checked(before, after):
        if not others:
            others.append(1)
            keep(record, [change_of(supplied, "operations", "O0003", hours="13")],
                 supplied.fingerprint, MANAGER)  # fmt: skip
        return check(before, after)

    monkeypatch.setattr(keep_catalogue, "new_faults", checked)
    made = keep(record, [change_of(supplied, "operations", "O0002", hours="9")],
                supplied.fingerprint)  # fmt: skip
    now = working_catalogue(record)
    assert (made.number, made.based_on) == (3, 2)
    assert [row_of(now, "operations", code).hours for code in ("O0002", "O0003")] == [9, 13]


def test_two_people_on_one_row_are_told(record, supplied):
    keep(record, [change_of(supplied, "operations", "O0002", hours="9")], supplied.fingerprint)
    with pytest.raises(Conflict) as told:
        keep(record, [change_of(supplied, "operations", "O0002", crew=2)], supplied.fingerprint,
             MANAGER)  # fmt: skip
    assert ESTIMATOR.name in told.value.message
    assert "O0002" in told.value.message
    assert len(editions(record)) == 2


def test_a_row_put_in_by_two_people_is_a_conflict(record, supplied):
    new = replace(row_of(supplied, "operations", "O0002"), id="O9999", origin="own")
    keep(record, [RowChange("operations", None, new)], supplied.fingerprint)
    with pytest.raises(Conflict, match="O9999"):
        keep(record, [RowChange("operations", None, new)], supplied.fingerprint, MANAGER)


def test_every_fault_is_told_at_its_place_and_nothing_is_kept(record, supplied):
    changes = [
        change_of(supplied, "operations", "O0002", hours="-3"),
        change_of(supplied, "operations", "O0003", called_by="wish"),
    ]
    with pytest.raises(Refused) as refused:
        keep(record, changes, supplied.fingerprint)
    places = [(one.place.file, one.place.row, one.place.column) for one in refused.value.problems]
    rows = [row_of(supplied, "operations", code).place.row for code in ("O0002", "O0003")]
    assert sorted(places) == sorted(
        [("operations.csv", rows[0], "hours"), ("operations.csv", rows[1], "called_by")]
    )
    assert editions(record) == ()


def test_the_whole_catalogue_is_checked_across_rows(record, supplied):
    change = change_of(supplied, "operations", "O0002", trade="ZZ")
    with pytest.raises(Refused) as refused:
        keep(record, [change], supplied.fingerprint)
    (problem,) = refused.value.problems
    assert (problem.code, problem.place.column) == ("unknown-code", "trade")
    assert [one.code for one in faults_after(supplied, [change])] == ["unknown-code"]
    assert faults_after(supplied, [change_of(supplied, "operations", "O0002", hours="9")]) == []


@pytest.mark.parametrize("why", ["", "  \n ", "because\u202e"])
def test_a_reason_is_asked_for(record, supplied, why):
    change = change_of(supplied, "operations", "O0002", hours="9")
    with pytest.raises(Refused) as refused:
        keep(record, [change], supplied.fingerprint, why=why)
    assert refused.value.problems[0].place.column == "why"


def test_nothing_changed_is_no_edition(record, supplied):
    row = row_of(supplied, "operations", "O0002")
    with pytest.raises(Refused):
        keep(record, [RowChange("operations", row, replace(row))], supplied.fingerprint)


def test_figures_of_the_workshop_keep_their_bounds(record, supplied):
    chance = next(one for one in rows_of(supplied, SETTINGS) if one.id == "firm_chance")
    made = RowChange(SETTINGS, chance, replace(chance, value="0.9"))
    keep(record, [made], supplied.fingerprint)
    assert working_catalogue(record).settings.firm_chance == Decimal("0.9")
    for value in ("1.2", "much", ""):
        with pytest.raises(Refused) as refused:
            keep(record, [RowChange(SETTINGS, made.after, replace(made.after, value=value))],
                 supplied.fingerprint)  # fmt: skip
        assert refused.value.problems[0].place.file == "catalogue.toml"


def test_an_edition_is_taken_back_as_a_whole_and_others_stay(record, supplied):
    for code in ("O0002", "O0003"):
        keep(record, [change_of(supplied, "operations", code, hours="9")], supplied.fingerprint)
    back = take_back(record, 2, "a slip", MANAGER, LATER)
    now = working_catalogue(record)
    assert (back.number, back.kind, back.based_on) == (4, TAKEN_BACK, 3)
    assert row_of(now, "operations", "O0002") == row_of(supplied, "operations", "O0002")
    assert row_of(now, "operations", "O0003").hours == 9
    with pytest.raises(Conflict):
        take_back(record, 2, "again", MANAGER, LATER)
    with pytest.raises(Conflict):
        take_back(record, 1, "all", MANAGER, LATER)
    with pytest.raises(NotFound):
        take_back(record, 9, "none", MANAGER, LATER)


def test_rows_put_in_and_taken_out_go_back(record, supplied):
    gone = rows_of(supplied, "own_cases")[1]
    new = replace(row_of(supplied, "operations", "O0002"), id="O9999", origin="own")
    keep(record, [RowChange("own_cases", gone, None), RowChange("operations", None, new)],
         supplied.fingerprint)  # fmt: skip
    take_back(record, 2, "a slip", ESTIMATOR, LATER)
    assert difference(supplied, working_catalogue(record)) == ()


def test_a_folder_changed_since_is_told_and_taken_in(record, supplied, monkeypatch):
    mine = change_of(supplied, "operations", "O0002", hours="9")
    keep(record, [mine], supplied.fingerprint)
    assert folder_news(record) is None
    later = replace(
        supplied, version="later", fingerprint="f" * 64,
        tables={**supplied.tables, "operations": tuple(
            replace(one, hours=Decimal(11)) if one.id in ("O0002", "O0003") else one
            for one in supplied.tables["operations"]
        )},
    )  # fmt: skip
    monkeypatch.setattr(
        "estimator.services.catalogue_editions.open_catalogue", lambda _folder=None: later
    )
    news = folder_news(record)
    assert [one.key[1] for one in news.changes] == ["O0003"]
    assert [one.change.key[1] for one in news.clashes] == ["O0002"]
    made = take_folder(record, news, (), MANAGER, LATER, "newer hours")
    now = working_catalogue(record)
    assert (made.kind, made.version, made.folder) == (IMPORTED, "later.3", later.fingerprint)
    assert [row_of(now, "operations", code).hours for code in ("O0002", "O0003")] == [9, 11]
    assert folder_news(record) is None


def test_theirs_is_taken_where_it_is_chosen(record, supplied, monkeypatch):
    keep(record, [change_of(supplied, "operations", "O0002", hours="9")], supplied.fingerprint)
    row = replace(row_of(supplied, "operations", "O0002"), hours=Decimal(11))
    rows = tuple(row if one.id == "O0002" else one for one in supplied.tables["operations"])
    later = replace(supplied, fingerprint="f" * 64, tables={**supplied.tables, "operations": rows})
    monkeypatch.setattr(
        "estimator.services.catalogue_editions.open_catalogue", lambda _folder=None: later
    )
    news = folder_news(record)
    take_folder(record, news, news.clashes, MANAGER, LATER, "theirs")
    assert row_of(working_catalogue(record), "operations", "O0002").hours == 11


def test_what_was_altered_in_the_file_is_found(record, supplied):
    keep(record, [change_of(supplied, "operations", "O0002", hours="9")], supplied.fingerprint)
    with closing(sqlite3.connect(record.database.engine.url.database)) as file, file:
        file.execute("UPDATE catalogue_edition SET changes = zeroblob(9) WHERE number = 2")
        file.execute(
            "UPDATE kept_catalogue SET files = zeroblob(9) WHERE fingerprint = "
            "(SELECT kept FROM catalogue_edition WHERE number = 2)"
        )
    (fault,) = verify_record(record).faults
    assert "edition 2 of the catalogue: its rows or changes" in fault
    with pytest.raises(NotOpened, match="damaged"):
        edition_changes(record, 2)
    with pytest.raises(NotOpened, match="damaged"):
        working_catalogue(record)


def test_an_edition_that_was_altered_added_or_taken_out_is_found(record, supplied):
    for code in ("O0002", "O0003"):
        keep(record, [change_of(supplied, "operations", code, hours="9")], supplied.fingerprint)
    with closing(sqlite3.connect(record.database.engine.url.database)) as file, file:
        file.execute("UPDATE catalogue_edition SET why = 'another' WHERE number = 2")
        file.execute("UPDATE catalogue_edition SET number = 7 WHERE number = 3")
    faults = "; ".join(verify_record(record).faults)
    assert "edition 2 of the catalogue: it is not what entry 1" in faults
    assert "edition 7 of the catalogue: the log knows of no such" in faults
    assert "edition 3 of the catalogue, which entry 2" in faults


def test_a_translation_is_confirmed_by_who_may_release_and_not_by_rewording(record, supplied):
    english = rows_of(supplied, "clauses/en")[0]
    german = replace(english, text="Ein Satz", confirmed_by="")
    keep(record, [RowChange("clauses/de", None, german)], supplied.fingerprint)
    now = working_catalogue(record)
    confirmed = replace(german, confirmed_by="J. Tarn")
    with pytest.raises(NotAllowed, match="confirm a translation"):
        keep(record, [RowChange("clauses/de", german, confirmed)], now.fingerprint)
    keep(record, [RowChange("clauses/de", german, confirmed)], now.fingerprint, MANAGER)
    reworded = replace(confirmed, text="Ein anderer Satz")
    with pytest.raises(NotAllowed):
        keep(record, [RowChange("clauses/de", confirmed, reworded)], now.fingerprint)
    keep(record, [RowChange("clauses/de", confirmed, replace(reworded, confirmed_by=""))],
         now.fingerprint)  # fmt: skip
    (row,) = rows_of(working_catalogue(record), "clauses/de")
    assert (row.text, row.confirmed_by) == ("Ein anderer Satz", "")
