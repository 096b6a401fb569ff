"""Texts of the domain in the language being spoken, looked up by the pattern they were made of."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from estimator.documents.grammar.spoken import DOMAIN, WINDOW, spoken, translations
from estimator.documents.grammar.wording import Words, apart
from estimator.domain.language import is_english
from estimator.domain.money import Money
from estimator.domain.wording import Put, Worded


def told(text: str, words: Words) -> str:
    """A text in the language being spoken, its values written as `words` has them. English, or
    a text that was made from no pattern (typed, or read back from a file), is told as it is."""
    if not isinstance(text, Worded) or is_english(spoken()):
        return str(text)
    values = {name: _value(one, words) for name, one in text.values.items()}
    if not text.pattern:
        shown = values.values()
        return apart(shown) if text.between == "; " else text.between.join(shown)
    pattern = _pattern(text)
    try:
        return pattern.format_map(values)
    except (KeyError, ValueError, IndexError):  # formats of the pattern that fit no text
        return pattern.format_map(text.values)


def _value(value: Put, words: Words) -> str:
    if isinstance(value, str):
        return told(value, words)
    if isinstance(value, Money):
        return words.money(value)
    if isinstance(value, date):
        return words.day(value)
    if isinstance(value, bool) or not isinstance(value, Decimal | int):
        return str(value)
    return words.rate(value) if isinstance(value, Decimal) and value % 1 else str(value)


def _pattern(text: Worded) -> str:
    """The pattern in the language being spoken: as print has it, else as the window does."""
    for domain in (DOMAIN, WINDOW):
        known = translations(spoken(), domain)
        if known is None:
            continue
        if text.many:
            number = text.values["n"]
            count = int(number) if isinstance(number, int | Decimal) else 2
            found = known.ngettext(text.pattern, text.many, count)
        else:
            found = known.gettext(text.pattern)
        if found not in (text.pattern, text.many):
            return found
    return text.pattern if not text.many or text.values["n"] == 1 else text.many
