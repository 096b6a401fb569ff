"""The log's chain: any change, loss or exchange of an entry shows."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from estimator.domain.record import NO_HASH, LogEntry, chain_faults, entry_hash, next_revision
from estimator.storage.change_log import append, entries, head
from estimator.storage.database import Database
from tests.storage.conftest import NOW


def chain(texts: list[str]) -> list[LogEntry]:
    made: list[LogEntry] = []
    for number, text in enumerate(texts, start=1):
        previous = made[-1].hash if made else NO_HASH
        entry = LogEntry(number, NOW, "P. Holt", "changed", "job/Q-1", "", text, previous, "")
        made.append(replace(entry, hash=entry_hash(entry)))
    return made


@given(st.lists(st.text(), min_size=1, max_size=8))
def test_an_untouched_chain_is_whole(texts: list[str]) -> None:
    assert chain_faults(chain(texts)) == []


@given(st.lists(st.text(), min_size=2, max_size=8), st.data())
def test_any_change_shows(texts: list[str], data: st.DataObject) -> None:
    made = chain(texts)
    place = data.draw(st.integers(0, len(made) - 1))
    field = data.draw(st.sampled_from(["who", "act", "subject", "before", "after"]))
    changed = replace(made[place], **{field: getattr(made[place], field) + "x"})
    assert chain_faults([*made[:place], changed, *made[place + 1 :]])
    # rehashing the changed entry only moves the fault to the next one
    if place < len(made) - 1:
        rehashed = replace(changed, hash=entry_hash(changed))
        assert chain_faults([*made[:place], rehashed, *made[place + 1 :]])


@given(st.lists(st.text(), min_size=3, max_size=8), st.data())
def test_a_lost_entry_shows(texts: list[str], data: st.DataObject) -> None:
    made = chain(texts)
    place = data.draw(st.integers(0, len(made) - 2))
    assert chain_faults(made[:place] + made[place + 1 :])


def test_entries_are_chained_in_the_record(database: Database) -> None:
    with database.writing() as session:
        append(session, at=NOW, who="P. Holt", act="one", subject="job/Q-1", after={"a": "é"})
    with database.writing() as session:
        append(session, at=NOW, who="J. Tarn", act="two", subject="job/Q-2")
    with database.reading() as session:
        log = entries(session)
        assert chain_faults(log) == []
        assert head(session) == log[-1].hash
        assert [one.act for one in entries(session, "job/Q-1")] == ["one"]
        assert log[0].at == NOW


def test_revisions_go_on_after_z() -> None:
    assert [next_revision(one) for one in ("A", "Y", "Z", "AZ", "ZZ")] == [
        "B", "Z", "AA", "BA", "AAA",
    ]  # fmt: skip
