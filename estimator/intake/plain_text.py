"""What a text may not hold: signs that cannot be seen, stored or printed as they were written."""

from __future__ import annotations

import unicodedata

TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def hidden_sign(text: str) -> str:
    """What is wrong with a text, in words; "" where nothing is.

    Line breaks and tabs are allowed; other control characters, signs that turn the direction of
    what follows, and halves of characters are not.
    """
    if text.isprintable():  # most are, and are told so at once
        return ""
    for sign in text:
        kind = unicodedata.category(sign)
        if kind == "Cc" and sign not in "\n\r\t":
            return "holds a control character."
        if sign in TURNING:
            return "holds a sign that turns the direction of the text."
        if kind == "Cs":
            return "holds half of a character."
    return ""
