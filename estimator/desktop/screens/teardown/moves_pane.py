"""The right side of the Teardown page: what the answers move, recorded or not."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QGridLayout, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from estimator.desktop.drawing.marks import Mark
from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _, ngettext
from estimator.desktop.screens.teardown.move_bars import ChanceRow, ExposedBar
from estimator.desktop.widgets.mark import MarkLabel
from estimator.desktop.widgets.plain_label import heading_label, plain_label
from estimator.desktop.widgets.plain_tip import plain_tip
from estimator.services.show_moves import Moves

ARROW = "\u2192"


class MovesPane(QScrollArea):
    """Shows Moves; None while the forecast is worked out."""

    def __init__(self, say: Formats) -> None:
        super().__init__()
        self._say = say
        self.setProperty("look", "side")
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName(_("What this moves"))
        self.title = plain_label(_("What this moves"), "section")
        self.note = plain_label("", "note", wrapped=True)
        self.exposed = plain_label("", "strong")
        self.exposed.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.exposed_title = plain_label("", "head")
        self.bar = ExposedBar()
        self.why = plain_label("", "second", wrapped=True)
        self._rows = QVBoxLayout()
        self._rows.setSpacing(2)
        body = QWidget()
        body.setProperty("look", "side")
        column = QVBoxLayout(body)
        column.setContentsMargins(20, 14, 20, 14)
        column.setSpacing(3)
        head = QHBoxLayout()
        head.addWidget(self.exposed_title)
        head.addWidget(self.exposed, 1)
        for widget in (self.title, self.note):
            column.addWidget(widget)
        column.addSpacing(4)
        column.addLayout(head)
        column.addWidget(self.bar)
        column.addWidget(self.why)
        column.addLayout(self._rows)
        column.addStretch()
        self.setWidget(body)
        self.figures: dict[str, str] = {}  # what is shown, by name: for those who read aloud

    def show_moves(self, moves: Moves | None, *, tried: bool) -> None:
        """Show what was and what is; `tried` while nothing of it is recorded."""
        self._clear()
        self.figures = {}
        self.exposed.setVisible(moves is not None)
        self.bar.setVisible(moves is not None)
        if moves is None:
            self.note.setText(_("working out the forecast"))
            self.exposed_title.setText("")
            self.why.setText("")
            return
        self.note.setText(
            _("forecast of what is chosen; dashes mark where it stood")
            if tried
            else _("since the last opening; dashes mark where it stood")
        )
        self._show_exposed(moves)
        self._show_chances(moves)
        self._show_money(moves)
        self._show_finish(moves)

    def _show_exposed(self, moves: Moves) -> None:
        say = self._say
        share = say.percent(moves.confidence)
        self.exposed_title.setText(_("Still exposed at {share}").format(share=share))
        self._tell(self.exposed, "exposed", self._change(moves))
        self.bar.set_amounts(moves.exposed.minor, moves.exposed_was.minor, moves.scale)
        self.bar.say(_("Still exposed"), self.exposed.text())
        self.why.setText(self._why(moves))
        self.why.setVisible(bool(self.why.text()))

    def _change(self, moves: Moves) -> str:
        now = self._say.money(moves.exposed)
        if moves.exposed == moves.exposed_was:
            return now
        return f"{self._say.money(moves.exposed_was)} {ARROW} {now}"

    @staticmethod
    def _why(moves: Moves) -> str:
        if not moves.is_change:
            return ""
        up = any(one.now > one.was for one in moves.chances)
        down = any(one.now < one.was for one in moves.chances)
        if up and not down:
            return _(
                "What opened worn makes closed parts in its oil likelier worn, the rest a little."
            )
        if down and not up:
            return _("What opened sound makes closed parts in its oil less likely worn.")
        return _("What was opened is known now; what shares its oil or its life moves with it.")

    def _show_chances(self, moves: Moves) -> None:
        if not moves.chances:
            return
        self._rule()
        head = QHBoxLayout()
        head.addWidget(heading_label(_("Chance worn, parts still closed")), 1)
        head.addWidget(heading_label(_("was, now")))
        self._rows.addLayout(head)
        say = self._say
        for one in moves.chances:
            was, now = say.percent(one.was), say.percent(one.now)
            figures = f"{say.number(round(one.was * 100))} {ARROW} {now}"
            why = _("same oil") if one.same_oil else _("life only")
            self.figures[f"chance/{one.part}"] = f"{was} {ARROW} {now}"
            self._rows.addWidget(ChanceRow(one.name, why, figures, (one.was, one.now)))
        count = moves.own_openings
        words = ngettext(
            "Moved by {n} opening of this job.", "Moved by {n} openings of this job.", count
        )
        self._rows.addWidget(plain_label(words.format(n=count), "note", wrapped=True))

    def _show_money(self, moves: Moves) -> None:
        say = self._say
        self._rule()
        self._rows.addWidget(heading_label(_("Contingency")))
        pairs = [
            (
                _("{number}, range before a price").format(number=one.number),
                f"range/{one.number}",
                f"{say.sum(one.range.low)} {DASH} {say.sum(one.range.high)}",
                one.title,
            )
            for one in moves.ranges
        ]
        pairs.append((_("Contingency left"), "left", say.sum(moves.left), ""))
        agreed = say.sum(moves.left_if_agreed)
        pairs.append((_("If all priced are agreed"), "left if agreed", agreed, ""))
        self._pairs(pairs)
        if moves.unpriced:
            said = ngettext(
                "{names} has no price: nobody can yet say whether the contingency is enough.",
                "{names} have no price: nobody can yet say whether the contingency is enough.",
                len(moves.unpriced),
            )
            self._attention(said.format(names=", ".join(moves.unpriced)))
        elif moves.short_by.minor:
            self._attention(
                _("Short by {sum} at {share}.").format(
                    sum=say.money(moves.short_by), share=say.percent(moves.confidence)
                )
            )

    def _attention(self, text: str) -> None:
        row = QHBoxLayout()
        row.setSpacing(8)
        mark = MarkLabel(Mark.NEEDS_YOU)
        mark.setFixedWidth(18)
        mark.setAccessibleName(_("Needs you"))
        words = plain_label(text, "attention", wrapped=True)
        row.addWidget(mark, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(words, 1)
        self._rows.addLayout(row)
        self.figures["attention"] = text

    def _show_finish(self, moves: Moves) -> None:
        say = self._say
        self._rule()
        self._rows.addWidget(heading_label(_("Finish")))
        pairs = []
        for share, was, now in (
            (0.5, moves.half_was, moves.half),
            (moves.confidence, moves.covered_was, moves.covered_day),
        ):
            name, day = say.percent(share), say.day(now)
            text = day if was == now else f"{say.day(was)} {ARROW} {day}"
            pairs.append((name, f"finish/{name}", text, ""))
        self._pairs(pairs)

    # Rows

    def _pairs(self, pairs: list[tuple[str, str, str, str]]) -> None:
        """Names with their figures, the figures in one column at the right."""
        holder = QWidget()
        grid = QGridLayout(holder)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setVerticalSpacing(2)
        grid.setColumnStretch(0, 1)
        for place, (name, key, figure, tip) in enumerate(pairs):
            words, value = plain_label(name, "second", wrapped=True), plain_label(figure, "strong")
            value.setAlignment(Qt.AlignmentFlag.AlignRight)
            words.setToolTip(plain_tip(tip))
            grid.addWidget(words, place, 0)
            grid.addWidget(value, place, 1)
            self.figures[key] = figure
        self._rows.addWidget(holder)

    def _tell(self, label: QWidget, key: str, text: str) -> None:
        label.setText(text)  # type: ignore[attr-defined]
        self.figures[key] = text

    def _rule(self) -> None:
        line = QFrame()
        line.setFrameShape(QFrame.Shape.HLine)
        line.setFixedHeight(1)
        self._rows.addSpacing(6)
        self._rows.addWidget(line)

    def _clear(self) -> None:
        while (item := self._rows.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.hide()
                widget.deleteLater()
            elif (below := item.layout()) is not None:
                while (inner := below.takeAt(0)) is not None:
                    if (one := inner.widget()) is not None:
                        one.hide()
                        one.deleteLater()
