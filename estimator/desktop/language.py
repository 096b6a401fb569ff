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


def use(language: str) -> None:
    """Speak `language` (such as de or de_DE) from now on; English where there is no catalogue."""
    _Words.catalogue = gettext.translation(
        DOMAIN, data_root() / "resources" / "translations", [language], fallback=True
    )


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
