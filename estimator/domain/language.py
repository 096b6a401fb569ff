"""Languages of documents: which one a locale is written in, and what it falls back on.

A language is named as its folder of translations is: `de`, `fr`. American English is English with
words and wording of its own, and so a language here: `en_US`.
"""

from __future__ import annotations

ENGLISH = "en"
_OF_THEIR_OWN = ("en_US",)  # languages that differ from what their first part names


def language_of(locale: str) -> str:
    """The language of a locale: `de` for de_AT or de-AT, `en_US` for en_US, `en` for en_AU."""
    name = locale.replace("-", "_")
    for own in _OF_THEIR_OWN:
        if name == own or name.startswith(f"{own}_"):
            return own
    return name.split("_", 1)[0]


def is_english(language: str) -> bool:
    """Whether a text left in English is no text in another language."""
    return language.split("_", 1)[0] == ENGLISH
