"""The language a document speaks: labels answer in it, whatever language the window has.

A document is made within `speaking(language)`. Label modules hold plain English constants in a
module of texts, and answer through `labels_of`, each time in the language being spoken, so a label
is to be taken at the moment of use and never at import. What a language lacks stays English.
"""

from __future__ import annotations

import gettext
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache, wraps
from importlib import import_module
from typing import Any, TypeVar

from estimator.documents.grammar.counted import Counted
from estimator.domain.language import ENGLISH, is_english, language_of
from estimator.installed import data_root

DOMAIN = "paper"  # of the translations of what is printed
WINDOW = "shimwright"  # of the window's, which hold texts of the domain too
APART = frozenset(
    {"EACH_HELD", "LEFT", "READ", "TO", "STATE"}
)  # labels whose English word has other meanings
_LANGUAGE: ContextVar[str] = ContextVar("language of the document", default=ENGLISH)

Made = TypeVar("Made")


@contextmanager
def speaking(language: str) -> Iterator[None]:
    """Labels answer in this language meanwhile, in this thread alone."""
    before = _LANGUAGE.set(language)
    try:
        yield
    finally:
        _LANGUAGE.reset(before)


def in_language_of_locale(make: Callable[..., Made]) -> Callable[..., Made]:
    """A document function (value, locale, ...) that speaks the language of its locale."""

    @wraps(make)
    def made(value: Any, locale: str = "en_GB", *others: Any, **named: Any) -> Made:
        with speaking(language_of(locale)):
            return make(value, locale, *others, **named)

    return made


def spoken() -> str:
    """The language being spoken."""
    return _LANGUAGE.get()


def translated() -> bool:
    """Whether labels exist in the language being spoken."""
    return is_english(spoken()) or translations(spoken()) is not None


def written_in() -> str:
    """The language in which labels come out: the one spoken, or English where it has none."""
    return spoken() if translated() else ENGLISH


def tag() -> str:
    """The same as a tag that readers of a file know (BCP 47)."""
    return written_in().replace("_", "-")


@cache
def translations(language: str, domain: str = DOMAIN) -> gettext.GNUTranslations | None:
    """The catalogue of a language; None where it has none. British English has none: gettext itself
    would take the American one for it."""
    if language == ENGLISH:
        return None
    folder = str(data_root() / "resources" / "translations")
    try:
        return gettext.translation(domain, folder, [language])
    except OSError:
        return None


def labels_of(texts: str) -> Callable[[str], Any]:
    """The `__getattr__` of a module of labels, whose English stands in the module `texts`."""

    def label(name: str) -> Any:
        if name.startswith("__"):
            raise AttributeError(name)
        return _label(texts, name, written_in())

    return label


@cache
def _label(texts: str, name: str, language: str) -> Any:
    english = getattr(import_module(texts), name)
    known = translations(language)
    return english if known is None else _said(english, known, name)


def _said(value: Any, known: gettext.GNUTranslations, name: str) -> Any:
    """A label with every text in it translated; keys of a dict are codes and stay."""
    if isinstance(value, Counted):
        return _counted(value, known)
    if isinstance(value, str):
        return known.pgettext(name, value) if name in APART else known.gettext(value)
    if isinstance(value, tuple):
        return tuple(_said(one, known, name) for one in value)
    if isinstance(value, dict):
        return {key: _said(one, known, name) for key, one in value.items()}
    return value


def _counted(value: Counted, known: gettext.GNUTranslations) -> Counted:
    def choose(number: int) -> str:
        return known.ngettext(value.one, value.many, number)

    return Counted(value.one, value.many, value.by, choose)
