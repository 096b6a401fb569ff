"""The history of a job page by page: the newest first, by kind and by words, over long logs."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
import sqlalchemy as sa

from estimator.services.accept_quote import accept_quote
from estimator.services.answer_variation import Answer, record_customers_answer
from estimator.services.contract_from_files import open_from_file, price_from_file
from estimator.services.edit_job import make_edit
from estimator.services.errors import NotFound
from estimator.services.history import read_history
from estimator.services.open_record import Record, open_record
from estimator.services.record_teardown import receive_machine
from estimator.services.show_history import (
    AT_ONCE,
    CONTRACT,
    EDITS,
    EVERYTHING,
    ISSUE,
    Looked,
    begin_history,
    read_page,
)
from estimator.services.vary_contract import Move, move_variation
from estimator.storage.contract_record import EVENTS
from tests.acts.contracts import FINANCE, GOLDEN_NUMBER, golden_terms, issue_golden
from tests.acts.long_log import add_entries
from tests.acts.workshop import ESTIMATOR, INSPECTOR, NOW, edited, keep_golden, with_cell

LOADER = Path(__file__).parent.parent.parent / "sample_db" / "workshop" / "loader"


@pytest.fixture(scope="module")
def accepted(tmp_path_factory, catalogue) -> Iterator[Record]:
    """The worked job issued and accepted, the gears found, priced and agreed to."""
    path = tmp_path_factory.mktemp("history") / "record.db"
    with open_record(path, NOW) as record:
        number = issue_golden(record, catalogue)
        accept_quote(record, number, golden_terms(), ESTIMATOR, NOW)
        receive_machine(record, number, "complete", INSPECTOR, NOW)
        open_from_file(record, number, LOADER / "transmission.csv", INSPECTOR, NOW)
        price_from_file(record, number, "V01", LOADER / "gears_price.toml", ESTIMATOR, NOW)
        move_variation(record, number, Move(variation="V01", act="issue"), ESTIMATOR, NOW)
        answer = Answer(variation="V01", revision=1, act="approve", channel="e-mail", words="Do.")
        record_customers_answer(record, number, answer, FINANCE, ESTIMATOR, NOW)
        yield record


def numbers(page) -> list[int]:
    return [one.entry.number for one in page.rows]


def everything(record, looked, most=3) -> list[int]:
    """All pages of a few rows each, one after the other."""
    of, found, before = begin_history(record, GOLDEN_NUMBER), [], None
    while True:
        page = read_page(record, of, looked, before, most)
        assert len(page.rows) <= most
        found += numbers(page)
        before = page.before
        if before is None:
            return found


def test_pages_together_are_the_whole_history_the_newest_first(accepted):
    whole = read_history(accepted, GOLDEN_NUMBER)
    of = begin_history(accepted, GOLDEN_NUMBER)
    assert everything(accepted, Looked()) == [one.entry.number for one in reversed(whole)]
    page = read_page(accepted, of, Looked())
    assert page.rows == tuple(reversed(whole))
    assert (of.count, of.newest, of.head) == (len(whole), whole[-1].entry.number,
                                              whole[-1].entry.hash)  # fmt: skip
    assert [number for number, _title in of.variations] == ["V01", "V02"]


def test_kinds_part_the_history(accepted):
    kinds = {kind: everything(accepted, Looked(kind)) for kind in (EDITS, ISSUE, CONTRACT)}
    together = sorted(number for found in kinds.values() for number in found)
    assert together == sorted(everything(accepted, Looked(EVERYTHING)))
    assert all(kinds[kind] for kind in (ISSUE, CONTRACT))
    of_one = read_history(accepted, GOLDEN_NUMBER, "V01")
    assert everything(accepted, Looked("V01")) == [one.entry.number for one in reversed(of_one)]


def test_every_word_is_looked_for_in_what_an_entry_says(accepted):
    of = begin_history(accepted, GOLDEN_NUMBER)
    (answered,) = read_page(accepted, of, Looked(text="marsh E-MAIL approved")).rows
    assert answered.who == FINANCE
    assert read_page(accepted, of, Looked(text="marsh telex")).rows == ()
    mine = read_page(accepted, of, Looked(text="xyz", said=lambda one: f"xyz {one.act}"))
    assert len(mine.rows) == of.count


def test_there_is_no_history_of_what_is_not_there(accepted):
    with pytest.raises(NotFound):
        begin_history(accepted, "Q-9")


def test_events_that_make_no_contract_are_listed_all_the_same(tmp_path, catalogue):
    with open_record(tmp_path / "record.db", NOW) as record:
        number = issue_golden(record, catalogue)
        accept_quote(record, number, golden_terms(), ESTIMATOR, NOW)
        with record.writing() as session:
            session.execute(EVENTS.update().values(body="{}"))
        of = begin_history(record, number)
        assert of.torn
        (kept,) = read_page(record, of, Looked(CONTRACT)).rows
        assert kept.act == "accepted"


def test_a_long_log_is_read_a_page_at_a_time(tmp_path):
    """20,000 entries about one job: no page reads more than it shows, or than AT_ONCE where it
    searches."""
    many = 20_000
    with open_record(tmp_path / "record.db", NOW) as record:
        number = keep_golden(record)
        add_entries(record, number, many, NOW)
        of = begin_history(record, number)
        assert of.count == many
        with counted_rows(record) as rows:
            page = read_page(record, of, Looked(), most=200)
            assert (len(page.rows), rows[0]) == (200, 200)
            assert page.rows[0].act == f"note {many - 1}"
            none = read_page(record, of, Looked(text="nowhere"))
            assert (none.rows, rows[0]) == ((), 200 + AT_ONCE)
        assert none.before == of.newest - AT_ONCE + 1
        found, before = [], None
        while before is not None or not found:
            page = read_page(record, of, Looked(text="NOTE 1777"), before)
            found, before = [*found, *page.rows], page.before
        assert [one.act for one in found] == [
            *(f"note {place}" for place in range(17_779, 17_769, -1)), "note 11777", "note 1777",
        ]  # fmt: skip
        make_edit(record, number, edited(record, number, "last", with_cell("I03", note="seen")),
                  ESTIMATOR, NOW)  # fmt: skip
        assert read_page(record, of, Looked()).rows[0].act == f"note {many - 1}"  # as it began
        assert read_page(record, begin_history(record, number), Looked()).rows[0].act == "last"


class counted_rows:  # noqa: N801 - reads as a phrase where it is used
    """Counts the log's rows that are read."""

    def __init__(self, record: Record) -> None:
        self._engine = record.database.engine
        self.rows = [0]

    def __enter__(self) -> list[int]:
        sa.event.listen(self._engine, "after_cursor_execute", self._limit)
        return self.rows

    def __exit__(self, *_error: object) -> None:
        sa.event.remove(self._engine, "after_cursor_execute", self._limit)

    def _limit(self, _conn, _cursor, statement, parameters, _context, _many) -> None:
        if "change_log" in statement and "LIMIT" in statement:
            limits = [one for one in parameters if isinstance(one, int) and one <= AT_ONCE]
            self.rows[0] += max(limits)
