"""Which rows of the price a filter shows. No Qt."""

from __future__ import annotations

from estimator.services.show_price import GroupRow, PriceRow, PriceTable

ALL, UNCERTAIN, EXPIRED, CHANGED, SINCE = "all", "uncertain", "expired", "changed", "since"
FILTERS = (ALL, UNCERTAIN, EXPIRED, CHANGED, SINCE)


def passes(row: PriceRow, which: str) -> bool:
    """Whether a row is one of a filter's."""
    return {
        ALL: True,
        UNCERTAIN: row.uncertain,
        EXPIRED: row.expired,
        CHANGED: row.changed,
        SINCE: row.since_amount is not None or row.new_since,
    }[which]


def counts(table: PriceTable) -> dict[str, int]:
    """How many rows each filter shows."""
    rows = tuple(table.rows)
    return {which: sum(passes(row, which) for row in rows) for which in FILTERS}


def chosen(table: PriceTable, which: str, text: str) -> list[tuple[GroupRow, tuple[PriceRow, ...]]]:
    """Groups with the rows that pass a filter and hold a text; a group whose own name holds the
    text keeps all that pass. Heads keep their whole sums. Groups with no row left go."""
    wanted = text.casefold().split()
    found = []
    for head, rows in table.sections:
        whole = _holds(head.name, wanted)
        kept = rows
        if which != ALL or wanted:
            kept = tuple(
                row
                for row in rows
                if passes(row, which) and (whole or _holds(f"{row.name} {row.id}", wanted))
            )
        if kept:
            found.append((head, kept))
    return found


def _holds(text: str, wanted: list[str]) -> bool:
    folded = text.casefold()
    return all(word in folded for word in wanted)
