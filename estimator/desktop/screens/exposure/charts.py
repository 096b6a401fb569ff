"""The page's two charts for elsewhere: onto the clipboard, or saved as a drawing."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

from PySide6.QtCore import QObject, QRectF, Qt
from PySide6.QtGui import QAction, QGuiApplication, QKeySequence, QPainter
from PySide6.QtWidgets import QFileDialog, QMenu, QWidget

from estimator.desktop.drawing.curve import paint_curve
from estimator.desktop.drawing.share_rows import (
    ROW_HEIGHT,
    Contribution,
    figures_width,
    names_width,
    paint_share_row,
)
from estimator.desktop.drawing.svg import Chart, clipboard_of, svg_of
from estimator.desktop.language import _
from estimator.desktop.screens.exposure.group_bars import GroupBars
from estimator.desktop.theme import Theme
from estimator.desktop.widgets.cost_curve import CostCurve
from estimator.desktop.workshop import Workshop
from estimator.services.write_file import write_whole

CURVE_SIZE = (760, 320)
SHARES_WIDTH, BAR_WIDTH = 560, 160
COPY_KEY, SAVE_KEY = "Ctrl+C", "Ctrl+Shift+S"


class ChartActions(QObject):
    """Copy and save, in the context menu of either chart, by keys where one has the focus, and in
    a menu for all. `title` names the job, `note` says what the shares are of."""

    def __init__(
        self,
        workshop: Workshop,
        curve: CostCurve,
        bars: GroupBars,
        title: Callable[[], str],
        note: Callable[[], str],
    ) -> None:
        super().__init__(curve)
        self._workshop, self._curve, self._bars = workshop, curve, bars
        self._title, self._share_note = title, note
        self.menu = QMenu(curve)
        self._offer(
            curve, self.curve_chart, _("Copy the curve"), _("Save the curve as SVG\u2026"), "curve"
        )
        self.menu.addSeparator()
        self._offer(
            bars, self.shares_chart, _("Copy the shares"), _("Save the shares as SVG\u2026"),
            "shares",
        )  # fmt: skip

    def _offer(
        self,
        widget: QWidget,
        make: Callable[[], Chart | None],
        copy_words: str,
        save_words: str,
        name: str,
    ) -> None:
        for words, key, act in (
            (copy_words, COPY_KEY, lambda: self._copy(make())),
            (save_words, SAVE_KEY, lambda: self.ask_where(make(), name)),
        ):
            action = QAction(words, widget)
            action.setShortcut(QKeySequence(key))
            action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
            action.triggered.connect(lambda _on=False, one=act: one())
            widget.addAction(action)
            self.menu.addAction(action)
        widget.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)

    # The charts

    def curve_chart(self) -> Chart | None:
        """The curve as it stands, with the ghost of the one before if it is shown."""
        data = self._curve.data
        if data is None:
            return None

        def paint(painter: QPainter, rect: QRectF, theme: Theme) -> None:
            paint_curve(painter, rect, data, theme)

        return Chart(
            _("Final cost to the customer"),
            self._note(
                _("chance, in our judgement, that the final sum is at or under each figure")
            ),
            self._curve.accessibleDescription(),
            *CURVE_SIZE,
            paint,
        )

    def shares_chart(self) -> Chart | None:
        """The shares that are shown, unfolded groups with their parts."""
        rows = self._bars.plain_rows()
        if not rows:
            return None

        def paint(painter: QPainter, rect: QRectF, theme: Theme) -> None:
            names, figures = names_width(rows, theme), figures_width(rows, theme)
            wide = min(rect.width(), names + BAR_WIDTH + figures + 3 * 8)
            for place, row in enumerate(rows):
                box = QRectF(rect.left(), rect.top() + place * ROW_HEIGHT, wide, ROW_HEIGHT)
                paint_share_row(painter, box, row, theme, figures, names)

        return Chart(
            _("What makes up the contingency"),
            self._note(self._share_note()),
            "; ".join(_spoken(rows)),
            SHARES_WIDTH,
            len(rows) * ROW_HEIGHT,
            paint,
        )

    def _note(self, words: str) -> str:
        title = self._title()
        return _("{job}: {words}").format(job=title, words=words) if title else words

    # Acts

    def _copy(self, chart: Chart | None) -> None:
        if chart is not None:
            QGuiApplication.clipboard().setMimeData(clipboard_of(chart))
            self._workshop.presenter.done(_("The chart is on the clipboard."))

    def ask_where(self, chart: Chart | None, name: str) -> None:
        """Ask for a file, then save."""
        if chart is None:
            return
        dialog = QFileDialog(self._curve.window(), _("Save the chart as SVG"))
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.setNameFilter(_("SVG drawings (*.svg)"))
        dialog.setDefaultSuffix("svg")
        dialog.selectFile(f"{self._title()} {name}.svg".strip().replace("/", "-"))
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.fileSelected.connect(lambda path: self.save_to(Path(path), chart))
        dialog.open()

    def save_to(self, path: Path, chart: Chart) -> None:
        """Save a chart to a file, whole or not at all."""
        content = svg_of(chart)
        self._workshop.runner.run(
            lambda _report: write_whole(path, content),
            lambda written: self._workshop.presenter.done(
                _("Saved as {path}").format(path=written)
            ),
        )


def _spoken(rows: tuple[Contribution, ...]) -> Iterator[str]:
    for row in rows:
        yield row.spoken or f"{row.name}: {row.figure}"
