"""What is being changed and not kept yet: rows over an edition, and cells as they are typed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from estimator.domain.catalogue.changes import RowChange, key_of, same
from estimator.domain.catalogue.edition import EDITED
from estimator.domain.catalogue.rows import Row


class Draft:
    """Changes by the row they are of. A row that is put back as it was leaves the draft."""

    def __init__(self) -> None:
        self._changes: list[RowChange] = []
        self.kind = EDITED
        self.why = ""  # a reason that was given with an act on many rows
        self.typed: dict[tuple[str, object], Mapping[str, str]] = {}  # cells that make no row yet

    @property
    def changes(self) -> tuple[RowChange, ...]:
        """All of them, in the order they were begun."""
        return tuple(self._changes)

    def __len__(self) -> int:
        return len(self._changes)

    def put(self, table: str, before: Row | None, after: Row | None, being: Row | None) -> None:
        """A row as it is now to be. `being` is what stood for it until now in the draft, of a row
        that is being added."""
        for place, one in enumerate(self._changes):
            mine = same(one.before, before) if before is not None else one.after is being
            if one.table == table and mine and (before is not None or one.before is None):
                if same(before, after):
                    del self._changes[place]
                else:
                    self._changes[place] = RowChange(table, before, after)
                return
        if not same(before, after):
            self._changes.append(RowChange(table, before, after))

    def take(self, changes: Iterable[RowChange], kind: str, why: str = "") -> None:
        """Take in what an act on many rows, or a file, would change."""
        empty = not self._changes
        for one in changes:
            self._drop_row(one)
            self._changes.append(one)
        self.kind = kind if empty else EDITED
        self.why = why if empty else ""

    def _drop_row(self, change: RowChange) -> None:
        if change.before is not None:
            self._changes = [
                one for one in self._changes
                if one.table != change.table or not same(one.before, change.before)
            ]  # fmt: skip

    def drop(self, change: RowChange) -> None:
        """Leave a row as it was."""
        self._changes = [one for one in self._changes if one is not change]
        row = change.before or change.row
        self.typed.pop((change.table, key_of(change.table, row)), None)

    def clear(self) -> None:
        """Nothing is being changed any more."""
        self._changes, self.kind, self.why = [], EDITED, ""
        self.typed.clear()
