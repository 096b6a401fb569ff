"""Contribution bars by group, whose groups unfold to their parts and lines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from estimator.desktop.drawing.bars import Share
from estimator.desktop.drawing.share_rows import ROW_HEIGHT, Contribution
from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.widgets.contribution_bars import ContributionBars
from estimator.domain.money import Money
from estimator.services.show_exposure import ExposureView, GroupShare, ShareRow

GROUP, ROW = "group", "row"
_INDENT = "\u2003"
_FOLDED, _OPEN = "\u25b8", "\u25be"


class GroupBars(ContributionBars):
    """Enter, or a double click, folds and unfolds a group; Right unfolds, Left folds.

    Keys of rows are (GROUP, code) and (ROW, code).
    """

    def __init__(self, formats: Formats, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._formats = formats
        self._view: ExposureView | None = None
        self._alone: Mapping[str, Money] = {}
        self._alone_of: ExposureView | None = None
        self._unfolded: set[str] = set()
        self._chosen: tuple[str, str] | None = None
        self.row_opened.connect(self._toggle)
        self.row_chosen.connect(self._note_chosen)

    @property
    def whiskered(self) -> bool:
        """Whether the whiskers of the groups are of the reckoning that is shown."""
        return self._alone_of is self._view and self._view is not None

    def set_view(self, view: ExposureView | None) -> None:
        """Show another reckoning; unfolded groups stay so. Whiskers of groups come later."""
        if view is None or (self._view is not None and view.job_number != self._view.job_number):
            self._alone = {}
        self._view = view
        self._fill()

    def set_alone(self, alone: Mapping[str, Money]) -> None:
        """Whiskers of the groups are known."""
        self._alone, self._alone_of = alone, self._view
        self._fill()

    def unfold(self, code: str) -> None:
        """Show the rows of the group that holds a part or line, or of the group itself."""
        for group in self._view.groups if self._view is not None else ():
            if code == group.group or any(row.id == code for row in group.rows):
                self._unfolded.add(group.group)
                self._fill()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Left and Right fold and unfold."""
        kind, code = self._chosen or ("", "")
        turning = Qt.Key.Key_Left if code in self._unfolded else Qt.Key.Key_Right
        if kind == GROUP and event.key() == turning:
            self._toggle(self._chosen)
        else:
            super().keyPressEvent(event)

    def here_rect(self) -> QRect:
        """Where the chosen row stands."""
        return QRect(0, max(0, self._here) * ROW_HEIGHT, self.width(), ROW_HEIGHT)

    def plain_rows(self) -> tuple[Contribution, ...]:
        """The rows that are shown, without the marks that fold them."""
        marks = f"{_FOLDED}{_OPEN} "
        return tuple(replace(row, name=row.name.lstrip(marks)) for row in self.rows)

    def _note_chosen(self, key: object) -> None:
        self._chosen = key if isinstance(key, tuple) else None

    def _toggle(self, key: object) -> None:
        if isinstance(key, tuple) and key[0] == GROUP:
            self._unfolded ^= {key[1]}
            self._fill()

    def _fill(self) -> None:
        self.set_rows(tuple(self._rows_of(self._view)) if self._view is not None else ())

    def _rows_of(self, view: ExposureView) -> Iterator[Contribution]:
        reach = [group.amount.minor for group in view.groups]
        reach += [sum_.minor for sum_ in self._alone.values()]
        full = max(reach, default=1)
        for group in view.groups:
            yield self._group_row(group, full)
            if group.group in self._unfolded:
                yield from (self._part_row(row, full) for row in group.rows)

    def _group_row(self, group: GroupShare, full: int) -> Contribution:
        alone = self._alone.get(group.group)
        mark = _OPEN if group.group in self._unfolded else _FOLDED
        figure = self._formats.sum(group.amount)
        spoken = _("{name}: {sum}").format(name=group.name, sum=figure)
        if alone is not None:
            spoken = _("{name}: {sum}; alone, 9 in 10: {alone}").format(
                name=group.name, sum=figure, alone=self._formats.sum(alone)
            )
        share = Share(group.amount.minor, alone.minor if alone is not None else 0, full)
        return Contribution((GROUP, group.group), f"{mark} {group.name}", figure, share, spoken)

    def _part_row(self, row: ShareRow, full: int) -> Contribution:
        figure = self._formats.sum(row.amount)
        spoken = _("{name}: {sum}; alone, 9 in 10: {alone}").format(
            name=row.name, sum=figure, alone=self._formats.sum(row.alone)
        )
        share = Share(row.amount.minor, row.alone.minor, full)
        return Contribution((ROW, row.id), _INDENT + row.name, figure, share, spoken)
