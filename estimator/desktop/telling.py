"""Texts of the domain and the services in the user's language: reasons, refusals, rules.

They come as `estimator.domain.wording.Worded`: the English, with the pattern it was made of. The
pattern is looked up in the catalogue in use, and each value is written as the user's locale writes
it. What is no `Worded` is data, or was kept in the record as it was said then: it stays as it is.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from decimal import Decimal
from functools import lru_cache
from string import Formatter

from estimator.desktop import language
from estimator.desktop.formats import Formats, known
from estimator.domain.money import Money
from estimator.domain.problem import Problem
from estimator.domain.wording import Put, Worded, said_by


def told(text: str) -> str:
    """`text` in the language in use; the English, whole, where the catalogue lacks its pattern."""
    if not isinstance(text, Worded):
        return text
    formats = _formats(language.locale())
    if not text.pattern:
        return text.between.join(_put(one, "", formats) for one in text.values.values())
    number = text.values.get("n")
    if text.many and isinstance(number, int):
        pattern = language.found_of(text.pattern, text.many, number)
    else:
        pattern = language.found(text.pattern)
    if pattern is None:
        return str(text)
    said = []
    for literal, name, spec, conversion in _pieces(pattern):
        said.append(literal)
        if name is not None:
            value = text.values[name]
            said.append(repr(value) if conversion == "r" else _put(value, spec or "", formats))
    return "".join(said)


def told_of(error: BaseException) -> str:
    """What an error says."""
    return told(said_by(error))


def told_faults(problems: Iterable[Problem]) -> tuple[str, ...]:
    """Each fault with its place and its remedy."""
    return tuple(told(problem.said).rstrip() for problem in problems)


def told_fault(problem: Problem) -> str:
    """A fault and its remedy, where its place is shown beside it."""
    return f"{told(problem.message)} {told(problem.remedy)}".strip()


def _put(value: Put, spec: str, formats: Formats) -> str:
    """A value as the locale writes it; `spec` as in a format string, for numbers."""
    if isinstance(value, str):
        return told(value)
    if isinstance(value, Money):
        return formats.money(value)
    if isinstance(value, datetime):
        day = formats.day(value.date())
        return f"{day} {formats.clock(value)}" if not spec or "%H" in spec else day
    if isinstance(value, date):
        return formats.day(value)
    return _number(value, spec, formats)


def _number(value: Decimal | int | float, spec: str, formats: Formats) -> str:
    kind = spec[-1:]
    places = int(spec.rpartition(".")[2][:-1]) if "." in spec else None
    exact = Decimal(repr(value)) if isinstance(value, float) else Decimal(value)
    if kind == "%":
        return formats.percent(exact, places or 0)
    if kind == "g":
        exact = Decimal(f"{exact:g}")
    elif isinstance(value, float) and kind == "f" and places is None:
        places = 6
    return formats.number(exact, places)


@lru_cache(maxsize=8)
def _formats(locale: str) -> Formats:
    return Formats(known(locale))


@lru_cache(maxsize=4096)
def _pieces(pattern: str) -> tuple[tuple[str, str | None, str | None, str | None], ...]:
    return tuple(Formatter().parse(pattern))
