"""The right side of the Programme page: the finish, the weeks it may fall in, what is longest."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _, ngettext
from estimator.desktop.screens.programme.chart import week_bars
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.desktop.widgets.finish_histogram import FinishHistogram
from estimator.desktop.widgets.plain_label import heading_label, plain_label
from estimator.desktop.widgets.share_bar import ShareBar
from estimator.services.show_programme import ProgrammeRows

WIDTH, MOST_LONGEST = 312, 8


class FinishSide(QFrame):
    """Says when the machine is ready, and why not sooner."""

    def __init__(self, formats: Formats, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("look", "side")
        self.setFixedWidth(WIDTH)
        self._formats = formats
        self._title = plain_label(_("Finish"), "second")
        self._finish = plain_label(DASH, "headline")
        self._weeks_words = plain_label("", "note")
        self._sum = QGridLayout()
        self._sum.setColumnStretch(0, 1)
        self.histogram = FinishHistogram()
        self._weeks_note = plain_label("", "note")
        self._weeks_note.setWordWrap(True)
        self._longest_head = plain_label(_("What is longest"), "head")
        self._longest = QGridLayout()
        self._longest.setColumnStretch(0, 1)
        self._always = plain_label("", "note")
        self._always.setWordWrap(True)
        self._facts = QGridLayout()
        self._facts.setColumnStretch(1, 1)
        self._build()

    def _build(self) -> None:
        body = self._body = QWidget()
        body.setProperty("look", "side")
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 8, 8, 8)
        column.setSpacing(4)
        head = QHBoxLayout()
        head.addWidget(self._finish)
        head.addWidget(self._weeks_words, 1)
        column.addWidget(self._title)
        column.addLayout(head)
        column.addLayout(self._sum)
        for widget in (heading_label(_("When it finishes, week by week")), self.histogram):
            column.addWidget(widget)
        column.addWidget(self._weeks_note)
        self._longest_head.setContentsMargins(0, 8, 0, 0)
        column.addWidget(self._longest_head)
        column.addLayout(self._longest)
        column.addWidget(self._always)
        column.addWidget(heading_label(_("Came from")))
        column.addLayout(self._facts)
        column.addStretch()
        self.area = QScrollArea()
        self.area.setWidgetResizable(True)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.area.setAccessibleName(_("When the machine is ready"))
        self.area.setWidget(body)
        strip = QHBoxLayout()
        strip.addWidget(plain_label(_("Finish"), "section"))
        strip.addStretch()
        strip.addWidget(plain_label(_("F9 shows why"), "note"))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(20, 12, 12, 8)
        layout.addLayout(strip)
        layout.addWidget(self.area)

    def set_rows(self, shown: ProgrammeRows | None) -> None:
        """Show another reckoning; None: nothing is known yet."""
        say = self._formats
        self._body.setVisible(shown is not None)
        if shown is None:
            return
        share = say.percent(shown.confidence)
        self._title.setText(_("Finish at {share} confidence").format(share=share))
        self._finish.setText(say.weekday(shown.finish_covered))
        weeks = shown.weeks_covered
        self._weeks_words.setText(ngettext("{n} week", "{n} weeks", weeks).format(n=weeks))
        self._show_sum(shown, share)
        self.histogram.set_weeks(week_bars(shown.weeks, say))
        self.histogram.say(
            _("When it finishes, week by week"),
            "; ".join(
                _("week of {day}: {share}").format(
                    day=say.day(week.monday), share=say.percent(week.share)
                )
                for week in shown.weeks
            ),
        )
        self._weeks_note.setText(
            _("Per cent of scenarios; outlined weeks lie past {share}").format(share=share)
        )
        self._show_longest(shown)
        self._show_facts(shown)

    def _show_sum(self, shown: ProgrammeRows, share: str) -> None:
        say, rows = self._formats, []
        nothing, covered = shown.days_nothing_worn, shown.days_covered
        rows.append(("", _("Longest path, nothing found worn"), nothing, "second"))
        held = _("Held for {share}").format(share=share)
        rows.append(("+", held, shown.days_held, "second"))
        rows.append(("=", _("Working days"), covered, "strong"))
        _clear(self._sum)
        for place, (sign, words, days, tone) in enumerate(rows):
            self._sum.addWidget(_wrapped(f"{sign} {words}".strip(), tone), place, 0)
            figure = plain_label(_("{n} d").format(n=say.number(days)), tone)
            figure.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop)
            self._sum.addWidget(figure, place, 1)

    def _show_longest(self, shown: ProgrammeRows) -> None:
        say = self._formats
        self._longest_head.setText(
            _("What is longest, of {n} scenarios").format(n=say.number(shown.scenarios))
        )
        _clear(self._longest)
        for place, row in enumerate(shown.longest[:MOST_LONGEST]):
            name = ElidedLabel(row.name, "body")
            bar = ShareBar()
            bar.set_share(row.share)
            bar.say(row.name, say.percent(row.share))
            figure = plain_label(say.percent(row.share), "strong")
            figure.setAlignment(Qt.AlignmentFlag.AlignRight)
            for column, widget in enumerate((name, bar, figure)):
                self._longest.addWidget(widget, place, column)
        count = shown.always_longest
        self._always.setText(
            ngettext(
                "{n} more activity is always on the longest path.",
                "{n} more activities are always on the longest path.",
                count,
            ).format(n=count)
        )
        self._always.setVisible(bool(count))

    def _show_facts(self, shown: ProgrammeRows) -> None:
        say = self._formats
        rows = [
            (_("Half by"), say.weekday(shown.finish_half)),
            (_("If nothing is worn"), say.weekday(shown.finish_nothing_worn)),
            (_("Method"), _("scenarios with the same chances as the money")),
            (_("Trades"), _("not levelled: each activity has its people when it begins")),
        ]
        if shown.wanted_by is not None:
            rows.insert(0, (_("Wanted by"), say.weekday(shown.wanted_by)))
        _clear(self._facts)
        for place, (title, words) in enumerate(rows):
            self._facts.addWidget(_wrapped(title, "note"), place, 0)
            self._facts.addWidget(_wrapped(words, "second"), place, 1)


def _clear(grid: QGridLayout) -> None:
    while (item := grid.takeAt(0)) is not None:
        widget = item.widget()
        if widget is not None:
            widget.hide()
            widget.deleteLater()


def _wrapped(text: str, tone: str) -> QLabel:
    label = plain_label(text, tone, wrapped=True)
    label.setAlignment(Qt.AlignmentFlag.AlignTop)
    return label
