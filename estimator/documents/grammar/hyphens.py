"""Soft hyphens in words too long for their line, by the rules of the language being spoken.

Words that fit stay whole: nothing is hyphenated for looks. A word that no rule divides is broken
where the line ends, as before.
"""

from __future__ import annotations

import re
from functools import cache
from typing import Any

from estimator.documents.grammar.spoken import written_in

SOFT = "\N{SOFT HYPHEN}"
_TAG = re.compile(r"(<[^>]*>|&[^;]*;)")
_WORD = re.compile(r"[^\W\d_]{8,}")  # letters alone: codes and figures are never divided


def divided(markup: str) -> str:
    """Paragraph markup with soft hyphens in its long words; tags and entities stay as they are."""
    rules = _rules(written_in())
    if rules is None:
        return markup
    return "".join(
        part if part[:1] in "<&" else _WORD.sub(lambda one: str(rules.inserted(one[0], SOFT)), part)
        for part in _TAG.split(markup)
    )


@cache
def _rules(language: str) -> Any:
    """Division rules of a language; None where there are none."""
    import pyphen  # type: ignore[import-untyped]

    known = pyphen.language_fallback("en_GB" if language == "en" else language)
    return None if known is None else pyphen.Pyphen(lang=known, left=3, right=3)
