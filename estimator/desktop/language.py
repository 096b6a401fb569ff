"""The words of the window in the user's language: gettext catalogues in `resources/translations`.

`_` is looked up at the moment of use, so that a change of language takes effect when a page is
made anew. A text that a catalogue lacks is shown in English.
"""

from __future__ import annotations

import gettext

from estimator.installed import data_root

DOMAIN = "shimwright"


class _Words:
    """The catalogue in use; one for the program, as there is one user before the window."""

    catalogue: gettext.NullTranslations = gettext.NullTranslations()
    locale: str = "en_GB"


def use(language: str) -> None:
    """Speak `language` (such as de or de_DE) from now on; English where there is no catalogue."""
    _Words.locale = language
    _Words.catalogue = gettext.translation(
        DOMAIN, data_root() / "resources" / "translations", [language], fallback=True
    )


def locale() -> str:
    """The locale in use, such as de_DE."""
    return _Words.locale


def found(text: str) -> str | None:
    """`text` in the language in use; None where a catalogue is in use that lacks it."""
    said = _Words.catalogue.gettext(text)
    return None if said is text and _in_another() else said


def found_of(one: str, many: str, count: int) -> str | None:
    """The form for `count` things; None where a catalogue is in use that lacks it."""
    said = _Words.catalogue.ngettext(one, many, count)
    return None if (said is one or said is many) and _in_another() else said


def _in_another() -> bool:
    # Without a catalogue the words stay English and are as good as found.
    return isinstance(_Words.catalogue, gettext.GNUTranslations)


def languages() -> tuple[str, ...]:
    """Languages there are words in, English first."""
    folder = data_root() / "resources" / "translations"
    found = sorted(path.parent.parent.name for path in folder.glob(f"*/LC_MESSAGES/{DOMAIN}.mo"))
    return ("en", *found)


def _(text: str) -> str:
    """`text` in the language in use."""
    return _Words.catalogue.gettext(text)


def ngettext(one: str, many: str, count: int) -> str:
    """The form for `count` things, in the language in use."""
    return _Words.catalogue.ngettext(one, many, count)
