"""Texts that can be said again in another language: the English, with what it was made of.

A `Worded` *is* its English text: it prints, compares, hashes and is written to JSON or a log as any
str. Beside that it remembers the pattern it was made from and the values that were put in, so that
a window can look the pattern up in its own language and write the values as its user does. The
domain knows no catalogue and no locale. A text that went through a file or the record comes back
as a plain str, and stays English.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from estimator.domain.money import Money

Put = str | Money | date | Decimal | int | float  # a Worded is a str, a datetime is a date


class Worded(str):
    """An English text that knows how it was made: see `worded`, `worded_count` and `joined`.

    `many` is the pattern for several things, whose number is the value `n`; "" where nothing is
    counted. `pattern` is "" where texts are only joined: `between` stands between the values.
    """

    __slots__ = ("between", "many", "pattern", "values")

    pattern: str
    values: dict[str, Put]
    many: str
    between: str

    def __reduce__(self) -> tuple[object, ...]:
        return _made, (str(self), self.pattern, self.values, self.many, self.between)


def worded(pattern: str, /, **values: Put) -> Worded:
    """The text `pattern` with `values` put in, as `str.format` does it.

    Write the pattern itself, no variable: the texts are gathered from the source. Raises TypeError
    where the pattern asks for a value that is not given.
    """
    if not values and pattern in _CONSTANT:
        return _CONSTANT[pattern]
    try:
        text = pattern.format_map(values)
    except KeyError as lacking:
        raise _lacking(pattern, lacking) from None
    made = _made(text, pattern, values)
    if not values:
        _CONSTANT[pattern] = made
    return made


def worded_count(one: str, many: str, n: int, /, **values: Put) -> Worded:
    """The text for `n` things, which both patterns may name as `n`. Raises TypeError."""
    values["n"] = n
    try:
        text = (one if n == 1 else many).format_map(values)
    except KeyError as lacking:
        raise _lacking(one, lacking) from None
    return _made(text, one, values, many)


def joined(texts: Iterable[Put], between: str = ", ") -> Worded:
    """Texts one after the other, each of which is said in the user's language."""
    values = {str(place): text for place, text in enumerate(texts)}
    return _made(between.join(map(str, values.values())), "", values, "", between)


def with_values(text: Worded, values: dict[str, Put]) -> Worded:
    """The same text with other values of the same names. Raises TypeError where one lacks."""
    if not text.pattern:
        return joined(values.values(), text.between)
    pattern = text.many if text.many and values.get("n") != 1 else text.pattern
    try:
        said = pattern.format_map(values)
    except KeyError as lacking:
        raise _lacking(pattern, lacking) from None
    return _made(said, text.pattern, values, text.many)


def said_by(error: BaseException) -> str:
    """What an error says, with its making where it was raised with a `Worded`."""
    first = error.args[0] if error.args else ""
    return first if isinstance(first, Worded) else str(error)


_CONSTANT: dict[str, Worded] = {}  # texts nothing is put into are made once
_new = str.__new__


def _made(
    text: str, pattern: str, values: dict[str, Put], many: str = "", between: str = ""
) -> Worded:
    made = _new(Worded, text)
    made.pattern, made.values, made.many, made.between = pattern, values, many, between
    return made


def _lacking(pattern: str, lacking: KeyError) -> TypeError:
    return TypeError(f"the text {pattern!r} asks for {lacking}, which is not given")
