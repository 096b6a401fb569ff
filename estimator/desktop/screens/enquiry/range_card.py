"""What such a machine may come to: always a range with its class and band, never one figure."""

from __future__ import annotations

from decimal import Decimal

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from estimator.desktop.desk import Desk
from estimator.desktop.drawing.bars import RangeValues
from estimator.desktop.language import _, ngettext
from estimator.desktop.runner import RECKONING
from estimator.desktop.widgets.range_strip import RangeStrip
from estimator.domain.enquiry import BY_BAND, EnquiryRange, enquiry_range
from estimator.domain.job import Job
from estimator.domain.pricing import NoRate
from estimator.services.errors import NotReckoned
from estimator.services.work_out import class_catalogue

SUBJECT = "enquiry range"
WAIT = 400  # ms after the last edit


class RangeCard(QFrame):
    """Works the range out in the background, whenever what it rests on has changed.

    Signals: why_asked(object): (name of a figure, its Reasons).
    """

    why_asked = Signal(object)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("look", "card")
        self._desk = desk
        self._of: tuple[object, ...] = ()
        self.found: EnquiryRange | None = None
        self._title = _label(_("What such a machine may come to"), "section")
        self._machine = _label("", "second")
        self.low, self.high = QPushButton(), QPushButton()
        self.dash = _label("\u2013", "headline")
        self.strip = RangeStrip(14)
        self.band = _label("", "second")
        self.rests = _label("", "second")
        self.warning = _label(
            _("This is a range, not a quote: nobody has looked at the machine for it."), "strong"
        )
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(WAIT)
        self._soon.timeout.connect(self._work_out)
        self._lay_out()
        self._show()

    def _lay_out(self) -> None:
        for button, name in ((self.low, "enquiry/low"), (self.high, "enquiry/high")):
            button.setProperty("look", "figure")
            button.clicked.connect(lambda _on=False, one=name: self._ask(one))
        figures = QHBoxLayout()
        figures.setSpacing(2)
        self.dash.setWordWrap(False)
        figures.addWidget(self.low)
        figures.addWidget(self.dash)
        figures.addWidget(self.high)
        figures.addStretch()
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 16, 20, 16)
        column.setSpacing(8)
        column.addWidget(self._title)
        column.addWidget(self._machine)
        column.addLayout(figures)
        for widget in (self.strip, self.band, self.rests, self.warning):
            column.addWidget(widget)

    def show_job(self) -> None:
        """Work the range out again where the machine, the level or the terms are others."""
        job, catalogue = self._desk.job, self._desk.workshop.catalogue
        if job is None or catalogue is None:
            return
        self._say_machine(job)
        of = (
            job.number, job.machine, job.level, job.terms, job.exchange_rates, job.ways,
            job.start, job.date, catalogue.fingerprint,
        )  # fmt: skip
        if of != self._of:
            if not self._of or self._of[0] != job.number:
                self.found = None
                self._show()
            self._of = of
            self._soon.start()

    def _say_machine(self, job: Job) -> None:
        catalogue, say = self._desk.workshop.catalogue, self._desk.workshop.formats
        row = catalogue.classes.get(job.machine.class_id) if catalogue is not None else None
        levels = {"full": _("full rebuild"), "driveline": _("driveline only")}
        self._machine.setText(
            _("{machine} at {hours} h, {level}").format(
                machine=row.type if row else job.machine.class_id,
                hours=say.number(job.machine.hours),
                level=levels.get(job.level, job.level),
            )
        )

    def _work_out(self) -> None:
        job, catalogue = self._desk.job, self._desk.workshop.catalogue
        if job is None or catalogue is None:
            return
        cat = class_catalogue(catalogue, job.machine.class_id, job.learnt_until)
        if cat is None:
            self._failed(
                NotReckoned(_("The catalogue has no such machine class."), _("Choose another."))
            )
            return

        def reckon(_report: object) -> EnquiryRange:
            try:
                return enquiry_range(job, cat)
            except (NoRate, ValueError) as error:
                words = _("No range can be worked out: {error}.").format(error=error)
                raise NotReckoned(words, _("Check the terms and the rates.")) from error

        self._desk.workshop.runner.run(
            reckon, self._take, lane=RECKONING, subject=SUBJECT,
            says=_("Working out the range"), failed=self._failed,
        )  # fmt: skip

    def _take(self, found: EnquiryRange) -> None:
        self.found = found
        self._show()

    def _failed(self, error: Exception) -> None:
        self.found = None
        self._show(f"{error} {getattr(error, 'remedy', '')}".strip())

    def _show(self, trouble: str = "") -> None:
        found, say = self.found, self._desk.workshop.formats
        for widget in (self.low, self.dash, self.high, self.strip, self.rests):
            widget.setVisible(found is not None)
        if found is None:
            self.band.setText(trouble or _("Working out the range."))
            return
        for button, money, name in (
            (self.low, found.low, _("Low end")),
            (self.high, found.high, _("High end")),
        ):
            text = say.money(money)
            button.setText(text)
            button.setAccessibleName(f"{name}: {text}")
        low, likely, high = found.low.minor, found.likely.minor, found.high.minor
        self.strip.set_values(RangeValues(low, likely, high, high))
        self.strip.say(
            _("Range"),
            _("{low} to {high}, before tax").format(
                low=say.money(found.low), high=say.money(found.high)
            ),
        )
        self.band.setText(
            _(
                "Before tax. Estimate class {number} of 5, by class and hours. Such an estimate "
                "allows for at least {below} below and {above} above."
            ).format(
                number=found.estimate_class,
                below=say.percent(found.band_low),
                above=say.percent(found.band_high),
            )
        )
        self.rests.setText(self._rests_on(found))

    def _rests_on(self, found: EnquiryRange) -> str:
        parts = ngettext(
            "{n} part may be found worn.", "{n} parts may be found worn.", found.open_parts
        ).format(n=found.open_parts)
        ends = {
            (False, False): _("The ends are 1 in 10 and 9 in 10 of what may be found."),
            (True, False): _("The high end is 9 in 10 of what may be found, the low end the band."),
            (False, True): _("The low end is 1 in 10 of what may be found, the high end the band."),
            (True, True): _("Both ends are those of the band; what may be found lies between."),
        }[found.low_rests_on == BY_BAND, found.high_rests_on == BY_BAND]
        words = f"{parts} {ends}"
        if found.without_chance.amount > Decimal(0):
            words += " " + _(
                "Parts the catalogue states no chance for, up to {sum}, count in the high end."
            ).format(sum=self._desk.workshop.formats.money(found.without_chance))
        return words

    def _ask(self, name: str) -> None:
        if self.found is not None:
            self.why_asked.emit((name, self.found.reasons))


def _label(text: str, tone: str) -> QLabel:
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    label.setProperty("tone", tone)
    return label
