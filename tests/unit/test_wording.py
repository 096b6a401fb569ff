"""Texts that can be said in another language: they are the English, and know how they were made."""

from __future__ import annotations

import ast
import copy
import json
import pickle
from collections.abc import Iterator
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path
from string import Formatter

import pytest

from estimator.domain.fixed_words import fixed
from estimator.domain.money import Money
from estimator.domain.problem import Place, Problem
from estimator.domain.wording import (
    Worded,
    joined,
    said_by,
    with_values,
    worded,
    worded_count,
)

ROOT = Path(__file__).resolve().parents[2] / "estimator"


def refusal() -> Worded:
    inner = worded("{name} may agree to {limit} at most", name="K. Ash", limit=Money(120000, "EUR"))
    return worded("{number}: {said}.", number="Q-2041", said=inner)


def test_it_is_the_english_text() -> None:
    said = refusal()
    assert said == "Q-2041: K. Ash may agree to 1,200.00 EUR at most."
    assert isinstance(said, str)
    assert hash(said) == hash(str(said))
    assert type(str(said)) is str
    assert {said: 1}[str(said)] == 1
    assert json.loads(json.dumps([said])) == [str(said)]
    assert f"{said}" == str(said)


def test_it_remembers_how_it_was_made() -> None:
    said = refusal()
    assert said.pattern == "{number}: {said}."
    inner = said.values["said"]
    assert isinstance(inner, Worded)
    assert inner.values == {"name": "K. Ash", "limit": Money(120000, "EUR")}


def pickled(text: Worded) -> object:
    return pickle.loads(pickle.dumps(text))


@pytest.mark.parametrize("again", [copy.copy, copy.deepcopy, pickled])
@pytest.mark.parametrize(
    "text",
    [
        worded("nothing is put in"),
        refusal(),
        worded_count("{n} day", "{n} days", 3),
        joined([worded("to answer"), "V04"], "; "),
    ],
)
def test_a_copy_knows_as_much(text: Worded, again: object) -> None:
    made = again(text)  # type: ignore[operator]
    assert type(made) is Worded
    assert made == text
    assert (made.pattern, made.values) == (text.pattern, text.values)
    assert (made.many, made.between) == (text.many, text.between)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (worded("on {day}", day=date(2027, 3, 5)), "on 2027-03-05"),
        (
            worded("since {at:%Y-%m-%d %H:%M}", at=datetime(2027, 3, 5, 9, 30, tzinfo=UTC)),
            "since 2027-03-05 09:30",
        ),
        (worded("{hours:,} h", hours=Decimal(12000)), "12,000 h"),
        (worded("{share:.0%} of all", share=0.8), "80% of all"),
        (worded("{code!r} is no part", code="P-X"), "'P-X' is no part"),
        (worded_count("{n} day", "{n} days", 1), "1 day"),
        (worded_count("{n} day", "{n} days", 0), "0 days"),
        (joined(["a", worded("b"), 3]), "a, b, 3"),
        (joined([]), ""),
    ],
)
def test_values_are_put_in_as_a_format_string_does(text: Worded, said: str) -> None:
    assert text == said


@pytest.mark.parametrize(
    "make",
    [
        lambda: worded("{name} may not"),
        lambda: worded("{name} may not", who="K. Ash"),
        lambda: worded_count("{name}: {n} day", "{name}: {n} days", 2),
        lambda: with_values(worded("{name} may not", name="K. Ash"), {"who": "K. Ash"}),
    ],
)
def test_a_value_that_lacks_is_named_at_once(make: object) -> None:
    with pytest.raises(TypeError, match="'name'"):
        make()  # type: ignore[operator]


def test_other_values_are_put_into_the_same_text() -> None:
    said = with_values(worded("{name} of {part}", name="a", part="b"), {"name": "c", "part": "d"})
    assert (said, said.pattern) == ("c of d", "{name} of {part}")
    counted = with_values(worded_count("{n} day", "{n} days", 1), {"n": 4})
    assert (counted, counted.many) == ("4 days", "{n} days")
    assert with_values(joined(["a", "b"], "; "), {"0": "c", "1": "d"}) == "c; d"


def test_an_error_says_what_it_was_raised_with() -> None:
    assert said_by(ValueError(refusal())) is not None
    assert isinstance(said_by(ValueError(refusal())), Worded)
    assert said_by(ValueError("plain")) == "plain"
    assert said_by(ValueError()) == ""
    assert said_by(OSError(2, "No such file")) == "[Errno 2] No such file"


def test_a_fault_is_one_text_with_its_place() -> None:
    fault = Problem("zero", Place("job.toml", 3, "hours"), worded("is zero."), worded("Mend it."))
    assert str(fault) == "job.toml, row 3, column hours: is zero. Mend it."
    assert isinstance(fault.said, Worded)
    assert str(Place()) == ""
    assert str(Problem("x", Place(), "is zero.")) == "is zero."


def test_fixed_words_can_be_said_and_others_are_data() -> None:
    assert isinstance(fixed("service manager"), Worded)
    assert type(fixed("P-TGR")) is str


def calls() -> Iterator[tuple[str, ast.Call]]:
    for path in sorted(ROOT.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                yield f"{path.relative_to(ROOT)}:{node.lineno}", node


def fields(pattern: ast.expr) -> set[str]:
    assert isinstance(pattern, ast.Constant)
    return {name for _text, name, _spec, _conv in Formatter().parse(pattern.value) if name}


def test_every_text_is_given_what_it_asks_for_and_no_more() -> None:
    wrong, seen = [], 0
    for place, call in calls():
        count = {"worded": 1, "worded_count": 2}.get(getattr(call.func, "id", ""), 0)
        given = {one.arg for one in call.keywords}
        if not count or None in given:  # None: a mapping, which only a run can look into
            continue
        seen += 1
        asked = set().union(*(fields(one) for one in call.args[:count]))
        counted = {"n"} if call.func.id == "worded_count" else set()  # type: ignore[attr-defined]
        if asked - counted != given:
            wrong.append(f"{place}: {sorted(asked)}, given {sorted(map(str, given))}")
    assert seen > 800
    assert not wrong
