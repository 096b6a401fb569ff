"""Percentages of discount groups: what is taken off each group that a list names."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QVBoxLayout, QWidget

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.widgets.columns import CellEdit, Column, Kept, NotValid
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.plain_label import plain_label
from estimator.desktop.widgets.row_model import RowModel

ROW, MOST_ROWS = 26, 8  # px; rows before they scroll
HEAD, WIDEST = 36, 460  # px
MOST_OFF = Decimal("99.99")


@dataclass(frozen=True, slots=True)
class GroupShare:
    """A discount group; `percent` is None where nobody said what is taken off."""

    group: str
    percent: Decimal | None


class GroupShares(QWidget):
    """Shown where a column of the list holds discount groups."""

    def __init__(self, formats: Formats, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._say = formats
        self._kept: Mapping[str, Decimal] = {}
        self._shares: list[GroupShare] = []
        self._reasons: dict[str, str] = {}  # by group, of texts that cannot be taken
        self.model = RowModel(self._columns(), lambda one: one.group)
        self.grid = _Low(self.model, _("Discount group"), row_height=ROW)
        self.grid.set_widths(0)
        self.grid.setMaximumWidth(WIDEST)
        self.why = plain_label("", "attention", wrapped=True)
        self.why.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 8, 0, 8)
        column.addWidget(self.grid)
        column.addWidget(self.why)
        self.model.edited.connect(self._take)
        self.model.kept_changed.connect(self._keep)

    def _columns(self) -> tuple[Column, ...]:
        def shown(one: GroupShare) -> str:
            return "" if one.percent is None else self._say.number(one.percent)

        return (
            Column("group", _("Discount group"), lambda one: one.group, 180),
            Column("percent", _("Discount, %"), shown, 140, True,
                   sort=lambda one: one.percent, read=lambda _one, typed: self._read(typed)),
        )  # fmt: skip

    def _read(self, typed: str) -> Decimal | None:
        if not typed:
            return None
        percent = self._say.read_number(typed)
        if percent < 0:
            raise NotValid(_("Must be {least} or more.").format(least=self._say.number(Decimal(0))))
        if percent > MOST_OFF:
            raise NotValid(_("Must be {most} or less.").format(most=self._say.number(MOST_OFF)))
        return percent

    @property
    def shares(self) -> tuple[tuple[str, Decimal], ...]:
        """Percent by group: those typed, and those kept of groups that this list does not name."""
        named = {one.group for one in self._shares}
        found = {group: percent for group, percent in self._kept.items() if group not in named}
        found |= {one.group: one.percent for one in self._shares if one.percent is not None}
        return tuple(sorted(found.items()))

    @property
    def is_changed(self) -> bool:
        """Whether another percentage was typed than is kept."""
        return any(self._kept.get(one.group) != one.percent for one in self._shares)

    def show_shares(self, groups: Sequence[str], kept: Sequence[tuple[str, Decimal]]) -> None:
        """Show these groups, each with what is kept for it."""
        self._kept = dict(kept)
        self._shares = [GroupShare(group, self._kept.get(group)) for group in groups]
        self._reasons.clear()
        self._say_why()
        self.model.set_kept({})
        self.model.set_rows(self._shares)
        self.grid.updateGeometry()
        self.setVisible(bool(groups))

    def _take(self, edits: Sequence[CellEdit]) -> None:
        typed = {edit.row.group: edit.value for edit in edits}
        self._reasons = {one: said for one, said in self._reasons.items() if one not in typed}
        self._say_why()
        self._shares = [
            replace(one, percent=typed[one.group]) if one.group in typed else one
            for one in self._shares
        ]
        self.model.set_rows(self._shares)

    def _keep(self, kept: Sequence[Kept]) -> None:
        self._reasons |= {one.row.group: one.reason for one in kept}
        self._say_why()

    def _say_why(self) -> None:
        self.why.setText("\n".join(f"{group}: {said}" for group, said in self._reasons.items()))
        self.why.setVisible(bool(self._reasons))


class _Low(Grid):
    """As high as its rows, up to some."""

    def sizeHint(self) -> QSize:
        rows = min(max(self.rows.rowCount(), 1), MOST_ROWS)
        return QSize(super().sizeHint().width(), HEAD + rows * ROW)

    def minimumSizeHint(self) -> QSize:
        return QSize(super().minimumSizeHint().width(), HEAD + 2 * ROW)
