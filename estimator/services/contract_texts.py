"""Texts of a contract's events as they may be kept: no hidden signs, none without end."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from estimator.domain.contract.events import Event
from estimator.domain.problem import Place, Problem
from estimator.domain.wording import worded
from estimator.intake.plain_text import hidden_sign
from estimator.services.errors import Refused
from estimator.storage.contract_codec import CODEC
from estimator.storage.value_codec import NotKept

LONGEST = 4000  # characters of one text


def refuse_texts(events: Sequence[Event]) -> None:
    """Raises Refused where an event holds a value that the record cannot keep, a sign that hides
    or turns what is read, or a text that no paper could print."""
    problems = [problem for event in events for problem in _problems(event)]
    if problems:
        raise Refused(worded("What is to be recorded"), problems)


def _problems(event: Event) -> Iterator[Problem]:
    try:
        plain = CODEC.as_plain(event)
    except NotKept as error:
        place = Place(column=type(event).__name__)
        yield Problem("not-kept", place, f"{str(error).capitalize()}.", worded("Type it again."))
        return
    for name, text in _texts("", plain):
        if fault := hidden_sign(text):
            yield Problem("not-kept", Place(column=name), fault, worded("Type it again."))
        elif len(text) > LONGEST:
            fault = worded(
                "holds {length:,} characters, more than {most:,}.", length=len(text), most=LONGEST
            )
            yield Problem("too-long", Place(column=name), fault, worded("Shorten it."))


def _texts(name: str, plain: Any) -> Iterator[tuple[str, str]]:
    """(name of the field, text) of every text in a value."""
    if isinstance(plain, str):
        yield name, plain
    elif isinstance(plain, dict):
        for key, value in plain.items():
            yield from _texts(key if key != "row" else name, value)
    elif isinstance(plain, list):
        for value in plain:
            yield from _texts(name, value)
