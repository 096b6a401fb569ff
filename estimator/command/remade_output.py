"""Issued quotes that were made again, as text and data."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from estimator.command.columns import table

if TYPE_CHECKING:
    from estimator.services.remake_quote import Remade


def remade_data(remade: Sequence[Remade]) -> list[dict[str, object]]:
    """As JSON has it: what differs, and the versions of then and now."""
    return [
        {
            "number": one.number,
            "revision": one.revision,
            "identical": one.identical,
            "differs": list(one.differs),
            "made_with": dict(one.then),
            "made_with_now": dict(one.now),
        }
        for one in remade
    ]


def remade_text(remade: Sequence[Remade]) -> str:
    """A line for each revision; where it differs, what was made with something else since."""
    if not remade:
        return "No quote was issued yet."
    rows = []
    for one in remade:
        said = "identical" if one.identical else f"differs: {', '.join(one.differs)}"
        if not one.identical:
            since = ", ".join(one.changed_since)
            said += f" ({since})" if since else " (made with the same versions)" * bool(one.then)
        rows.append([f"{one.number} rev {one.revision}", said])
    return table(("Made again", "Against what is kept"), rows, whole=(1,))
