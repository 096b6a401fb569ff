"""Acts on many rows of the catalogue, and what they do to open quotes: what was issued stays."""

# ruff: noqa: F811

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.catalogue.changes import RowChange, rows_of
from estimator.domain.catalogue.edition import ADJUSTED, SCALED
from estimator.domain.catalogue.new_class import WantedClass
from estimator.domain.catalogue.own_values import COSTS, HOURS, OWN, STARTING, starting_values
from estimator.services.catalogue_acts import (
    Choice,
    adjust_catalogue,
    adopt_rows,
    chosen_rows,
    new_class,
    scale_class,
)
from estimator.services.catalogue_effect import effect_on_open_quotes
from estimator.services.catalogue_search import search_of
from estimator.services.errors import NotAllowed, NotFound, Refused
from estimator.services.issue_quote import reissue
from estimator.services.keep_catalogue import keep_edition, working_catalogue
from estimator.services.remake_quote import remake_quote
from tests.acts.catalogue_editions import change_of, row_of, supplied  # noqa: F401 - a fixture
from tests.acts.contracts import issue_golden
from tests.acts.workshop import ESTIMATOR, INSPECTOR, MANAGER, NOW, golden_job, keep_golden

TODAY = NOW.date()
WANTED = WantedClass(
    "WL40", "wheel loader", Decimal(39000), Decimal(300), Decimal(600000), Decimal(650000),
    Decimal(700000), date(2026, 11, 20),
)  # fmt: skip
pytestmark = pytest.mark.usefixtures("supplied")


def keep(record, catalogue, *changes):
    return keep_edition(record, changes, "measured", ESTIMATOR, NOW, catalogue.fingerprint)


# Making values our own


def test_rows_are_adopted_as_they_stand_with_who_and_why(record, supplied):
    choice = Choice("wear")
    before = starting_values(supplied)["wear"]
    with pytest.raises(NotAllowed, match="no starting value"):  # it lets quotes out
        adopt_rows(record, choice, "they fit", ESTIMATOR, NOW)
    made = adopt_rows(record, choice, "they fit", MANAGER, NOW)
    rows = rows_of(working_catalogue(record), "wear")
    assert made.kind == ADJUSTED
    assert before > 0
    assert {row.origin for row in rows} == {OWN}
    assert STARTING not in {row.rests_on for row in rows}
    first = rows[0]
    assert first.source.startswith(f"adopted as it stood by {MANAGER.name}, 2026-11-25: they fit")
    same = rows_of(supplied, "wear")[0]
    assert (first.shape, first.starting_chance) == (same.shape, same.starting_chance)


def test_hours_are_multiplied_and_the_source_keeps_the_value_before(record, supplied):
    adjust_catalogue(
        record, Choice("operations", "O0002"), HOURS, Decimal("1.1"), "slow rig", ESTIMATOR, NOW
    )
    row = row_of(working_catalogue(record), "operations", "O0002")
    assert (str(row.hours), row.origin) == ("8.8", OWN)
    told = "1.1 x hours 8, by P. Holt, 2026-11-25: slow rig"
    assert row.source == told
    adjust_catalogue(record, Choice("operations", "slow rig"), HOURS, Decimal("0.5"), "new rig",
                     ESTIMATOR, NOW)  # fmt: skip
    row = row_of(working_catalogue(record), "operations", "O0002")
    assert (str(row.hours), row.source) == (
        "4.4", f"0.5 x hours 8.8, by P. Holt, 2026-11-25: new rig; before: {told}"
    )  # fmt: skip


def test_costs_are_multiplied_to_the_hundredth_and_nothing_stays_nothing(record, supplied):
    adjust_catalogue(record, Choice("parts"), COSTS, Decimal("1.035"), "list", ESTIMATOR, NOW)
    now = working_catalogue(record)
    for before, after in zip(rows_of(supplied, "parts"), rows_of(now, "parts"), strict=True):
        wanted = (before.unit_cost * Decimal("1.035")).quantize(Decimal("0.01"), "ROUND_HALF_UP")
        assert after.unit_cost == wanted
        assert (after.unit_cost == 0) == (before.unit_cost == 0)


def test_operations_are_adopted_by_an_estimator(record, supplied):
    adopt_rows(record, Choice("operations", "O0002"), "they fit", ESTIMATOR, NOW)
    assert row_of(working_catalogue(record), "operations", "O0002").origin == OWN


@pytest.mark.parametrize("factor", ["0", "-1", "0.05", "11"])
def test_a_factor_out_of_bounds_is_refused(record, factor):
    with pytest.raises(Refused) as refused:
        adjust_catalogue(record, Choice("operations"), HOURS, Decimal(factor), "x", ESTIMATOR, NOW)
    assert refused.value.problems[0].place.column == "factor"


def test_rows_without_hours_and_people_without_the_right_change_nothing(record):
    with pytest.raises(Refused):
        adjust_catalogue(record, Choice("closures"), HOURS, Decimal(2), "x", ESTIMATOR, NOW)
    with pytest.raises(NotAllowed):
        adjust_catalogue(record, Choice("operations"), HOURS, Decimal(2), "x", INSPECTOR, NOW)
    with pytest.raises(NotFound, match="no table"):
        adopt_rows(record, Choice("wishes"), "x", ESTIMATOR, NOW)
    with pytest.raises(NotFound, match="no class"):
        adopt_rows(record, Choice(class_id="XX99"), "x", ESTIMATOR, NOW)


def test_a_choice_is_by_table_words_class_and_origin(supplied):
    every = chosen_rows(supplied, Choice())
    assert len(every) == sum(map(len, supplied.tables.values())) + len(supplied.clauses["en"])
    for words in ("pump", "PUMP seal", "zzzz"):
        found = chosen_rows(supplied, Choice(words=words))
        by_search = [(one.table, one.row) for one in search_of(supplied).find(words)]
        assert list(found) == [one for one in by_search if one[0] != "settings"]
    assert {row.origin for _, row in chosen_rows(supplied, Choice(origin=OWN))} == {OWN}


# A class from a like one


def test_a_class_scaled_from_a_like_one_passes_the_check_and_is_priced(record, supplied):
    made = scale_class(record, "WL28", WANTED, "we rebuild them too", ESTIMATOR, NOW)
    now = working_catalogue(record)
    new, like = now.machine_class("WL40"), supplied.machine_class("WL28")
    assert made.kind == SCALED
    assert new.traits == like.traits
    assert new.mass_from_kg <= new.operating_mass_kg <= new.mass_to_kg
    seen, other = for_class(now, "WL40"), for_class(now, "WL28")
    assert set(seen.operations) == set(other.operations)
    assert set(seen.parts) == set(other.parts)
    ratio = WANTED.operating_mass_kg / like.operating_mass_kg
    for mine, theirs in zip(seen.masses, other.masses, strict=True):
        assert abs(mine.mass_kg - theirs.mass_kg * ratio) <= 5
        assert mine.origin == STARTING
    job = golden_job()
    keep_golden(record, number="Q-9001", machine=replace(job.machine, class_id="WL40"))
    (one,) = effect_on_open_quotes(record, supplied, now, TODAY)
    assert one.before is None and one.after is not None


def test_rows_under_the_like_class_alone_are_copied_and_litres_scaled(supplied):
    oil = row_of(supplied, "parts", "P-OIL")
    tables = {**supplied.tables, "parts": tuple(
        replace(row, needs=("WL28",)) if row is oil else row for row in supplied.tables["parts"]
    )}  # fmt: skip
    barred = replace(rows_of(supplied, "closures")[0], needs=("!WL28",))
    tables["closures"] = (barred, *rows_of(supplied, "closures")[1:])
    changes = new_class(replace(supplied, tables=tables), "WL28", WANTED)
    (copy,) = [one.after for one in changes if one.table == "parts"]
    assert (copy.needs, copy.at_class, copy.origin) == (("WL40",), "WL40", STARTING)
    assert copy.quantity > oil.quantity
    assert copy.unit_cost == oil.unit_cost
    assert "scaled from WL28" in copy.source
    (closed,) = [one for one in changes if one.table == "closures"]
    assert closed.after.needs == ("!WL28", "!WL40")


def test_a_class_that_is_there_or_has_no_size_is_refused(supplied):
    with pytest.raises(Refused, match="2 faults"):
        new_class(supplied, "WL28", replace(WANTED, id="WL28", net_power_kw=Decimal(0)))
    with pytest.raises(NotFound):
        new_class(supplied, "XX99", WANTED)


# What it does to quotes


def test_open_quotes_stand_under_both_editions_with_the_lines_that_move(record, supplied):
    keep_golden(record)
    keep(record, supplied, change_of(supplied, "operations", "O0002", hours="9"))
    heard: list[str] = []
    (one,) = effect_on_open_quotes(record, supplied, working_catalogue(record), TODAY, heard.append)
    assert (one.number, one.state, one.keeps) == ("Q-2041", "draft", "")
    assert [line.code for line in one.lines] == ["O0002"]
    assert one.after - one.before == one.lines[0].after - one.lines[0].before
    assert one.moves
    assert heard == ["Q-2041, 1 of 1"]
    (same,) = effect_on_open_quotes(record, supplied, supplied, TODAY)
    assert not same.moves


def test_working_the_effect_out_can_be_stopped(record, supplied):
    class Enough(Exception):
        pass

    def stop(_what: str) -> None:
        raise Enough

    keep_golden(record)
    with pytest.raises(Enough):
        effect_on_open_quotes(record, supplied, supplied, TODAY, stop)


def test_a_job_that_no_longer_fits_says_why(record, supplied):
    keep_golden(record)
    gone = replace(supplied, fingerprint="0" * 64, tables={**supplied.tables, "classes": ()})
    (one,) = effect_on_open_quotes(record, supplied, gone, TODAY)
    assert one.after is None
    assert one.fault


def test_what_was_issued_keeps_its_edition_and_is_made_again_alike(record, supplied, tmp_path):
    number = issue_golden(record, supplied)
    before = reissue(record, number, "A", tmp_path / "before.pdf").read_bytes()
    first = keep(record, supplied, change_of(supplied, "operations", "O0002", hours="9"))
    text = next(one for one in rows_of(supplied, "clauses/en") if "{" not in one.text)
    keep(record, working_catalogue(record),
         RowChange("clauses/en", text, replace(text, text="Another text.")))  # fmt: skip
    assert reissue(record, number, "A", tmp_path / "after.pdf").read_bytes() == before
    assert remake_quote(record, number, "A").identical
    (one,) = effect_on_open_quotes(record, supplied, working_catalogue(record), TODAY)
    assert one.state == "issued"
    assert one.keeps == "keeps edition 1"
    assert one.after != one.before
    assert first.number == 2


def test_an_expired_quote_is_open_too(record, supplied):
    issue_golden(record, supplied)
    late = TODAY + timedelta(days=400)
    (one,) = effect_on_open_quotes(record, supplied, supplied, late)
    assert one.state == "expired"
    assert one.keeps.startswith("keeps ")
