"""Who, when, from what to what; and that nobody can change it unseen."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path

import pytest
import sqlalchemy as sa

from estimator.services.accept_quote import accept_quote
from estimator.services.answer_variation import Answer, record_customers_answer
from estimator.services.contract_from_files import open_from_file, price_from_file
from estimator.services.edit_job import make_edit
from estimator.services.errors import NotFound
from estimator.services.history import read_history
from estimator.services.issue_quote import issue_quote
from estimator.services.open_record import Record, open_record
from estimator.services.vary_contract import Move, move_variation
from estimator.services.verify_record import verify_record
from estimator.storage.contract_record import CONTRACTS, EVENTS, VARIATIONS
from tests.acts.contracts import FINANCE, arrived, golden_terms
from tests.acts.workshop import (
    ESTIMATOR,
    INSPECTOR,
    MANAGER,
    NOW,
    edited,
    keep_golden,
    with_cell,
)

LOADER = Path(__file__).parent.parent.parent / "sample_db" / "workshop" / "loader"
LATER = NOW + timedelta(hours=3)


@pytest.fixture(scope="module")
def lived(tmp_path_factory, catalogue) -> Path:
    """A record with the worked job: a finding edited, issued, accepted, the gears found, priced and
    agreed to."""
    path = tmp_path_factory.mktemp("lived") / "record.db"
    with open_record(path, NOW) as record:
        _live(record, catalogue)
    return path


@pytest.fixture
def record(lived: Path, tmp_path: Path) -> Iterator[Record]:
    with open_record(Path(shutil.copy(lived, tmp_path / "record.db")), NOW) as one:
        yield one


@pytest.fixture
def number() -> str:
    return "Q-2041"


def _live(record: Record, catalogue) -> None:
    number = keep_golden(record)
    edit = edited(record, number, "note", with_cell("I03", note="seen again"))
    make_edit(record, number, edit, ESTIMATOR, NOW)
    issue_quote(record, number, catalogue, ESTIMATOR, MANAGER, NOW, adopt_why="for the test")
    accept_quote(record, number, golden_terms(), ESTIMATOR, NOW)
    arrived(record, number)
    open_from_file(record, number, LOADER / "transmission.csv", INSPECTOR, NOW)
    price_from_file(record, number, "V01", LOADER / "gears_price.toml", ESTIMATOR, LATER)
    move_variation(record, number, Move(variation="V01", act="issue"), ESTIMATOR, LATER)
    answer = Answer(variation="V01", revision=1, act="approve", channel="e-mail", words="Do it.")
    record_customers_answer(record, number, answer, FINANCE, ESTIMATOR, LATER)


def changes(entry) -> dict[str, tuple[str, str]]:
    return {one.what: (one.before, one.after) for one in entry.changes}


def test_a_job_from_its_edits_to_its_answers(record, number):
    found = read_history(record, number)
    edit = next(one for one in found if one.act == "note")
    assert changes(edit) == {"note of I03": ("", "seen again")}
    accepted = next(one for one in found if one.kind == "Accepted")
    assert accepted.note.endswith("recorded by P. Holt")
    assert changes(accepted)["state"] == ("issued", "accepted")
    assert changes(accepted)["current sum"] == ("", "275,946.00 GBP")
    assert [one.entry.number for one in found] == sorted(one.entry.number for one in found)


def test_one_variation_by_itself(record, number):
    raised, priced, issued, answered = read_history(record, number, "V01")
    assert changes(raised)["V01 state"] == ("", "found")
    assert changes(priced)["V01 sum"][1] == "5,189.00 GBP"
    assert changes(priced)["V01 answer by"] == ("", "2026-11-12")
    # that day was over when it was issued: five working days, as the quote gives the customer
    assert changes(issued) == {
        "V01 state": ("draft", "issued"), "V01 answer by": ("2026-11-12", "2026-12-02"),
    }  # fmt: skip
    assert (answered.who, answered.side, answered.channel, answered.words) == (
        FINANCE, "customer", "e-mail", "Do it.",
    )  # fmt: skip
    assert answered.note == "recorded by P. Holt"
    assert changes(answered)["contingency left"] == ("31,317.00 GBP", "26,128.00 GBP")
    assert answered.at == LATER


def test_a_variation_that_is_not_there(record, number):
    with pytest.raises(NotFound, match="no variation V07"):
        read_history(record, number, "V07")
    with pytest.raises(NotFound):
        read_history(record, "Q-9")


def _first(session) -> sa.ColumnElement[bool]:
    place = session.execute(sa.select(sa.func.min(EVENTS.c.place))).scalar_one()
    return EVENTS.c.place == place


def _body(session) -> None:
    body = session.execute(sa.select(EVENTS.c.body).where(_first(session))).scalar_one()
    changed = body.replace("R. Ostrey", "R. Other")
    assert changed != body
    session.execute(EVENTS.update().where(_first(session)).values(body=changed))


def _who(session) -> None:
    session.execute(EVENTS.update().where(_first(session)).values(who="Somebody"))


def _gone(session) -> None:
    last = session.execute(sa.select(sa.func.max(EVENTS.c.place))).scalar_one()
    session.execute(EVENTS.delete().where(EVENTS.c.place == last))


def _all_gone(session) -> None:
    session.execute(EVENTS.delete())


def _sum(session) -> None:
    session.execute(CONTRACTS.update().values(current_sum=1))


def _state(session) -> None:
    here = VARIATIONS.c.number == "V01"
    session.execute(VARIATIONS.update().where(here).values(state="declined"))


@pytest.mark.parametrize(
    ("tamper", "words"),
    [
        (_body, "event 1 is not what entry"),
        (_who, "event 1 was relabelled"),
        (_gone, "where the log tells of"),
        (_all_gone, "0 events of its contract"),
        (_sum, "the sums kept for lists"),
        (_state, "V01 as kept for lists"),
    ],
)
def test_what_was_changed_behind_the_log_is_found(
    record, number, tamper: Callable[..., None], words: str
):
    before = verify_record(record)
    assert (before.faults, before.events) == ((), 11)
    with record.writing() as session:
        tamper(session)
    faults = verify_record(record).faults
    assert len(faults) == 1
    assert words in faults[0]
