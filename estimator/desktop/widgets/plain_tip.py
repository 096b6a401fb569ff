"""Tool tips that show text as it is: Qt takes what looks like markup for markup."""

from __future__ import annotations

from html import escape

from estimator.desktop.telling import told


def plain_tip(text: str) -> str:
    """`text` for a tool tip, with its signs as they are."""
    text = told(text)
    return escape(text).replace("\n", "<br>") if "<" in text else text
