"""Values of edits as JSON and back: nothing is lost, and what cannot be kept is refused."""

from __future__ import annotations

import datetime
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.domain.findings import Finding
from estimator.domain.job import (
    Event,
    ExchangeRate,
    LineChange,
    OwnLine,
    Party,
    ScopeChange,
    Stage,
)
from estimator.domain.job_edit import Change
from estimator.domain.new_machine import Factor, Input, NewMachine
from estimator.domain.problem import Place
from estimator.storage.change_codec import CODEC, NotKept, decoded, encoded

text = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=12)
number = st.decimals(allow_nan=False, allow_infinity=False, places=6) | st.decimals(
    allow_nan=False, allow_infinity=False
)
texts = st.lists(text, max_size=3).map(tuple)
of_type = {
    "str": text, "Decimal": number, "Decimal | None": st.none() | number,
    "tuple[str, ...]": texts, "datetime.date": st.dates(), "Place": st.just(Place()),
    "datetime.date | None": st.none() | st.dates(),
    "Input | None": st.none() | st.builds(Input, number, number, number, text, text, st.dates()),
    "Factor | None": st.none() | st.builds(Factor, number, text, text, text, text, text),
}  # fmt: skip


def built(kind: type) -> st.SearchStrategy[object]:
    cells = {name: of_type[str(hint)] for name, hint in kind.__annotations__.items()}
    return st.builds(kind, **cells)


rows = st.one_of(*(built(kind) for kind in CODEC.kinds.values()))
plain = st.none() | st.booleans() | st.integers() | text | number | st.dates() | texts | rows
values = plain | st.tuples(st.integers(0, 99), rows) | st.lists(rows, max_size=2).map(tuple)


@given(st.lists(st.tuples(texts, values, values), max_size=3))
def test_changes_come_back_as_they_went(made: list[tuple[tuple[str, ...], object, object]]) -> None:
    changes = tuple(Change(*one) for one in made)
    back = decoded(encoded(changes))
    assert back == changes
    assert [type(one.after) for one in back] == [type(one.after) for one in changes]


def test_every_row_of_a_job_has_its_kind() -> None:
    assert set(CODEC.kinds.values()) == {
        Event, ExchangeRate, Factor, Finding, Input, LineChange, NewMachine, OwnLine, Party,
        ScopeChange, Stage,
    }  # fmt: skip


def test_where_a_finding_stood_in_a_file_is_not_kept() -> None:
    finding = Finding(id="I1", date=datetime.date(2026, 1, 2), place=Place("f.csv", 3))
    (back,) = decoded(encoded((Change(("finding", "I1"), None, (0, finding)),)))
    assert back.after[1].place == Place()


@pytest.mark.parametrize("value", [1.5, Decimal("NaN"), Decimal("Infinity"), [1], {"a": 1},
                                   "a\0b", "\udc80", ("ok", "\ud800"), b"x", object()])  # fmt: skip
def test_what_the_record_has_no_place_for_is_refused(value: object) -> None:
    with pytest.raises(NotKept):
        encoded((Change(("note",), "", value),))
