"""The locales a quote can be printed in, by name."""

from __future__ import annotations

from babel import Locale

PRINTED_IN = (
    "en_GB", "en_IE", "en_US", "de_DE", "de_AT", "de_CH", "fr_FR", "nl_NL", "es_ES", "it_IT",
    "pl_PL", "cs_CZ", "sv_SE", "da_DK", "nb_NO", "fi_FI", "pt_PT",
)  # fmt: skip


def printed_in(own: str) -> list[tuple[str, str]]:
    """(locale, its name in the user's language), the user's own first."""
    shown = Locale.parse(own)
    known = dict.fromkeys((own, *PRINTED_IN))
    return [(one, str(Locale.parse(one).get_display_name(shown))) for one in known]
