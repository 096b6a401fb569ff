"""The head of an open job: who and what it is, the three figures, and how certain they are.

The bar moves with each key pressed: firm and provisional sums come from the quick stage, the
contingency and the dates follow when they are worked out; until then they are marked as old.
"""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QGridLayout, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from estimator.desktop.contract_header import contract_words
from estimator.desktop.desk import Desk
from estimator.desktop.drawing.bars import CertaintyParts
from estimator.desktop.formats import DASH
from estimator.desktop.language import _
from estimator.desktop.trade_words import job_title
from estimator.desktop.widgets.certainty_bar import CertaintyBar
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.domain.exposure.contingency import Contingency
from estimator.domain.priced_job import PricedJob
from estimator.domain.priced_work import PricedWork
from estimator.services.show_figures import HeadFigures, head_figures

CHIP_BELOW = 900  # px of header
TALL, LOW = 148, 64


class _FigureBox(QWidget):
    """A headline figure: what it is, the figure, and what to know about it."""

    def __init__(self, title: str) -> None:
        super().__init__()
        self._title = QLabel(title)
        self._title.setProperty("tone", "head")
        self.figure = QLabel(DASH)
        self.figure.setProperty("tone", "figure")
        self.note = QLabel()
        self.note.setProperty("tone", "note")
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 0, 0, 0)
        column.setSpacing(0)
        for label in (self._title, self.figure, self.note):
            label.setTextFormat(Qt.TextFormat.PlainText)
            column.addWidget(label)

    def show_figure(self, title: str, figure: str, note: str) -> None:
        """Show a figure with its words."""
        self._title.setText(title)
        self.figure.setText(figure)
        self.note.setText(note)
        self.setAccessibleName(f"{title}: {figure}. {note}")

    def set_low(self, low: bool) -> None:
        """Leave out the note where the header is low."""
        self.note.setVisible(not low)


class JobHeader(QFrame):
    """Shows the desk's job; listens to the desk by itself."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("look", "header")
        self._desk = desk
        self._formats = desk.workshop.formats
        self._figures: HeadFigures | None = None
        self._ghost: int | None = None  # where the bar ended before the last change
        self._settled: int | None = None
        self._customer = ElidedLabel(tone="title")
        self._chip = QLabel()
        self._chip.setProperty("look", "chip")
        self._machine = ElidedLabel(tone="second")
        self.price = _FigureBox("")
        self.contingency = _FigureBox("")
        self.finish = _FigureBox("")
        self._chip_below = False
        self.bar = CertaintyBar(20)
        self._legend = [ElidedLabel() for _part in range(4)]  # the last of a contract alone
        self._build()
        desk.opened.connect(self._on_opened)
        desk.job_changed.connect(lambda _job: self._show_names())
        desk.names_changed.connect(self._show_names)
        desk.worked.connect(self._on_worked)
        desk.held.connect(self._on_held)
        desk.reckoned.connect(self._on_reckoned)
        desk.faults_changed.connect(lambda _faults: self._show_figures())
        for told in (desk.contract.changed, desk.contract.worked_out, desk.contract.tried_out):
            told.connect(lambda _value: self._show_figures())

    def _build(self) -> None:
        name_row = self._name_row = QHBoxLayout()
        name_row.setSpacing(12)
        name_row.addWidget(self._customer, 1)
        name_row.addWidget(self._chip)
        name_row.addStretch()
        names = QVBoxLayout()
        names.setSpacing(2)
        names.addLayout(name_row)
        names.addWidget(self._machine)
        self._below = QHBoxLayout()  # where the chip goes when the name needs its room
        names.addLayout(self._below)
        names.addStretch()
        head = QHBoxLayout()
        head.setSpacing(10)
        head.addLayout(names, 1)
        for box in (self.price, self.contingency, self.finish):
            head.addWidget(box)
        self._legend_row = QWidget()
        legend = QGridLayout(self._legend_row)
        legend.setContentsMargins(0, 0, 0, 0)
        for place, label in enumerate(self._legend):
            label.setProperty("tone", "second")
            legend.addWidget(label, 0, place)
            legend.setColumnStretch(place, 1)
        self._legend[1].setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._legend_layout = legend
        column = QVBoxLayout(self)
        column.setContentsMargins(24, 10, 24, 8)
        column.setSpacing(2)
        column.addLayout(head)
        column.addWidget(self.bar)
        column.addWidget(self._legend_row)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """In a narrow window the name has its row for itself."""
        super().resizeEvent(event)
        below = self.width() < CHIP_BELOW
        if below == self._chip_below:
            return
        self._chip_below = below
        if below:
            self._below.addWidget(self._chip)
            self._below.addStretch()
        else:
            self._below.takeAt(self._below.count() - 1)
            self._name_row.insertWidget(1, self._chip)

    def set_low(self, low: bool) -> None:
        """Draw the header low, to leave room for a page's grid."""
        self._legend_row.setVisible(not low)
        self._machine.setVisible(not low)
        for box in (self.price, self.contingency, self.finish):
            box.set_low(low)

    # What the desk tells

    def _on_opened(self, _job: object) -> None:
        self._figures = self._ghost = self._settled = None
        self._show_names()
        self._show_figures()

    def _on_worked(self, work: PricedWork) -> None:
        self._take(self._newest(work, None))

    def _on_held(self, work: PricedWork, held: Contingency) -> None:
        self._take(self._newest(work, held))

    def _on_reckoned(self, priced: PricedJob) -> None:
        # Somebody may have gone on typing since this reckoning began: then its dates are news, its
        # sums are not.
        work = self._desk.work
        newer = work is not None and work.job is not priced.job
        self._take(head_figures(work if newer else None, priced))

    def _newest(self, work: PricedWork, held: Contingency | None) -> HeadFigures:
        """Figures of the work, unless the whole reckoning of that very job is there already."""
        if self._desk.fresh and work.job is self._desk.job:
            return head_figures(None, self._desk.priced)
        return head_figures(work, self._desk.priced, held)

    def _take(self, figures: HeadFigures) -> None:
        if figures.held:
            if self._settled is not None and self._settled != figures.shown_end:
                self._ghost = self._settled
            self._settled = figures.shown_end
        self._figures = figures
        self._show_figures()

    def _show_names(self) -> None:
        job = self._desk.job
        if job is None:
            return
        self._customer.set_text(job.customer.name or _("No customer yet"))
        states = {
            "issued": _("issued"), "proposed": _("waits for release"), "accepted": _("accepted"),
            "stopped": _("stopped"), "handed over": _("handed over"), "closed": _("closed"),
        }  # fmt: skip
        state = states.get(self._desk.state, _("not issued"))
        self._chip.setText(f"{job_title(job)}, {state}")
        machine = job.machine
        catalogue = self._desk.workshop.catalogue
        row = catalogue.classes.get(machine.class_id) if catalogue is not None else None
        words = [
            row.type if row is not None else machine.class_id,
            _("serial {serial}").format(serial=machine.serial) if machine.serial else "",
            _("{hours} h").format(hours=self._formats.number(machine.hours)),
        ]
        self._machine.set_text("  \u00b7  ".join(word for word in words if word))

    def _show_figures(self) -> None:
        figures, say = self._figures, self._formats
        under_contract = self._desk.under_contract
        self._legend[3].setVisible(under_contract)
        self._legend_layout.setColumnStretch(3, int(under_contract))
        right = Qt.AlignmentFlag.AlignRight
        self._legend[2].setAlignment(Qt.AlignmentFlag.AlignCenter if under_contract else right)
        self._legend[3].setAlignment(right)
        if under_contract:
            self._show_contract()
            return
        if figures is None:
            for box, title in (
                (self.price, _("Price")),
                (self.contingency, _("Contingency")),
                (self.finish, _("Finish")),
            ):
                box.show_figure(title, DASH, _("working out"))
            self.bar.set_parts(None)
            return
        share = say.percent(figures.confidence)
        self.price.show_figure(
            _("Price, before tax"),
            say.money(figures.net),
            _("firm + provisional + contingency"),
        )
        old = "" if figures.fresh else _("from before, working out")
        self.contingency.show_figure(
            _("Contingency, inside the price"),
            say.money(figures.contingency),
            _("{share} proposed").format(share=share) if figures.held else old,
        )
        self.finish.show_figure(
            _("Finish, {share}").format(share=share),
            say.weekday(figures.finish_covered),
            old
            or _("half: {half}; start {start}").format(
                half=say.day(figures.finish_half), start=say.day(figures.start)
            ),
        )
        self._show_bar(figures)

    def _show_contract(self) -> None:
        boxes = (self.price, self.contingency, self.finish)
        words = contract_words(self._desk.contract, self._formats)
        if words is None:
            titles = (_("Current sum, before tax"), _("Contingency left"), _("Finish"))
            for box, title in zip(boxes, titles, strict=True):
                box.show_figure(title, DASH, _("working out"))
            self.bar.set_parts(None)
            for label in self._legend:
                label.set_text("")
            return
        for box, said in zip(boxes, words.figures, strict=True):
            box.show_figure(*said)
        for label, text in zip(self._legend, words.legend, strict=True):
            label.set_text(text)
        self.bar.set_parts(words.bar)
        self.bar.say(_("How certain the sum is"), words.bar_says)

    def _show_bar(self, figures: HeadFigures) -> None:
        say = self._formats
        self.bar.set_parts(
            CertaintyParts(
                firm=figures.firm.minor,
                provisional=figures.provisional.minor,
                exposed=figures.contingency.minor,
                likely=figures.likely_end,
                ghost=self._ghost if self._ghost is not None else None,
                full=max(figures.shown_end, self._ghost or 0),
            )
        )
        texts = (
            _("Firm {sum}").format(sum=say.money(figures.firm)),
            _("Provisional {sum}").format(sum=say.money(figures.provisional)),
            _("Exposed: contingency {sum} at {share}, mean {mean}").format(
                sum=say.money(figures.contingency),
                share=say.percent(figures.confidence),
                mean=say.money(figures.mean) if figures.mean is not None else DASH,
            ),
        )
        for label, text in zip(self._legend, texts, strict=False):
            label.set_text(text)
        self.bar.say(_("How certain the price is"), ". ".join(texts))
