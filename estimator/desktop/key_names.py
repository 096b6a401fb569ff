"""What is written on the keys where the user's language is spoken."""

from __future__ import annotations

import re

from estimator.desktop.language import _

_NAME = re.compile(r"[A-Za-z]+")


def key_names(keys: str) -> str:
    """Keys as they are bound, such as Ctrl+Del, with the names the language in use gives them.

    A letter, a function key and what has no other name stay as they are.
    """
    names = {
        "Ctrl": _("Ctrl"), "Shift": _("Shift"), "Alt": _("Alt"), "Enter": _("Enter"),
        "Esc": _("Esc"), "Ins": _("Ins"), "Del": _("Del"), "Home": _("Home"),
        "PgUp": _("PgUp"), "PgDn": _("PgDn"), "Space": _("Space"),
        "Left": _("Left"), "Right": _("Right"), "Up": _("Up"), "Down": _("Down"),
    }  # fmt: skip
    return _NAME.sub(lambda found: names.get(found[0], found[0]), keys)
