"""What the contingency rests on: starting values that nobody adopted, and the cases taken in."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtGui import QShowEvent

from estimator.desktop.desk import Desk
from estimator.desktop.language import _, ngettext
from estimator.desktop.questions import ask_words
from estimator.desktop.screens.exposure.pane import GridPane
from estimator.desktop.trade_words import roles_words
from estimator.desktop.widgets.columns import Column
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.row_model import RowModel
from estimator.domain.adoption import StartingValue, count_parts
from estimator.domain.people import RELEASE
from estimator.domain.priced_job import PricedJob
from estimator.services.adopt_values import adopt, not_adopted
from estimator.services.learn import later_cases, with_later_cases

MOST_NAMES = 3
READ_AGAIN = frozenset({"adoptions", "outcomes"})


class StartingPane(GridPane):
    """Reads the record when the reckoning is another, and only while it can be seen.

    Signals: part_asked(str): the part a value stands for, to be shown among what is not seen
    """

    part_asked = Signal(str)

    def __init__(self, desk: Desk) -> None:
        self._desk, self._formats = desk, desk.workshop.formats
        self._values: tuple[StartingValue, ...] | None = None
        self._read_of: PricedJob | None = None
        self._later = 0
        model = RowModel(_columns(), lambda row: f"{row.subject}/{row.stated}")
        super().__init__(Grid(model, _("Starting values")))
        self.adopt = CommandButton(_("Adopt them"), tool=True)
        self.adopt.clicked.connect(self._ask_why)
        self.tools = (self.adopt,)
        self._cases = ElidedLabel(tone="second")
        self.take_in = CommandButton(_("Take them in"), tool=True)
        self.take_in.clicked.connect(self._take_in)
        self.foot.addWidget(self._cases, 1)
        self.foot.addWidget(self.take_in)
        self.grid.opened.connect(self._on_opened)
        desk.workshop.record_changed.connect(self._on_record)

    def follow(self) -> None:
        """The desk holds something else."""
        if self._desk.priced is not self._read_of and self.isVisible():
            self._read()
        self._tell()

    def showEvent(self, event: QShowEvent) -> None:
        """What changed while nobody looked is read now."""
        super().showEvent(event)
        self.follow()

    def _on_record(self, kinds: frozenset[str]) -> None:
        if kinds & READ_AGAIN:
            self._read_of = None
            self.follow()

    def _read(self) -> None:
        workshop, priced = self._desk.workshop, self._desk.priced
        catalogue = workshop.catalogue
        self._read_of = priced
        if priced is None or catalogue is None:
            self._values = None
            self.show_rows()
            return
        record, today = workshop.record, workshop.today()

        def take(found: tuple[tuple[StartingValue, ...], int]) -> None:
            if priced is self._read_of:
                self._values, self._later = found
                self.show_rows()
                self._tell()

        workshop.runner.run(
            lambda _report: (
                not_adopted(record, priced),
                later_cases(priced.job, catalogue, today),
            ),
            take,
            subject="starting values",
        )

    def show_rows(self) -> None:
        """The values nobody adopted, in the order of the breakdown."""
        self.fill(self._values or ())

    def _tell(self) -> None:
        self.note.set_text(self._note())
        self._cases.set_text(self._cases_words())
        person = self._desk.workshop.person
        reason = ""
        if not self._values:
            reason = _("Nothing is left to adopt.")
        elif not person.may(RELEASE):
            reason = _("{who} may look; changing this is for: {roles}.").format(
                who=person.name, roles=roles_words(RELEASE)
            )
        self.adopt.set_available(reason)
        nothing = "" if self._later else _("No later case is in the record.")
        self.take_in.set_available(self._desk.why_not() or nothing)

    def _note(self) -> str:
        if self._values is None:
            return _("Working out what may be found.")
        count = count_parts(self._values)
        if not count:
            return _("No chance here rests on a starting value that nobody has adopted.")
        return ngettext(
            "{n} chance rests on a starting value; a quote goes out once it is adopted",
            "{n} chances rest on starting values; a quote goes out once they are adopted",
            count,
        ).format(n=count)

    def _cases_words(self) -> str:
        job = self._desk.job
        if job is None:
            return ""
        if job.learnt_until is None:
            first = _("Own cases: those of the catalogue alone")
        else:
            first = _("Own cases up to {day}").format(day=self._formats.day(job.learnt_until))
        if not self._later:
            return first
        return ngettext("{first}; {n} later one", "{first}; {n} later ones", self._later).format(
            first=first, n=self._later
        )

    def on_current(self, row: Any) -> None:
        """Why the first of its parts may be worn."""
        if isinstance(row, StartingValue) and row.parts:
            self.why_asked.emit(f"chance/{row.parts[0]}")

    def _on_opened(self, row: Any) -> None:
        if isinstance(row, StartingValue) and row.parts:
            self.part_asked.emit(row.parts[0])

    # Acts

    def _ask_why(self) -> None:
        values = self._values
        if not values:
            return
        count = count_parts(values)
        ask_words(
            self.window(),
            _("Adopt starting values"),
            ngettext(
                "{n} chance of this job rests on what the catalogue began with. Adopted, it counts "
                "as this workshop's own judgement, in every job, until the catalogue states "
                "another.",
                "{n} chances of this job rest on what the catalogue began with. Adopted, they "
                "count as this workshop's own judgement, in every job, until the catalogue states "
                "others.",
                count,
            ).format(n=count),
            _("Reason"),
            lambda why: self._adopt(values, why),
        )

    def _adopt(self, values: tuple[StartingValue, ...], why: str) -> None:
        workshop = self._desk.workshop
        record, person, now = workshop.record, workshop.person, workshop.now()

        def done(count: int) -> None:
            text = ngettext("{n} starting value adopted", "{n} starting values adopted", count)
            workshop.presenter.done(text.format(n=count))
            workshop.changed("adoptions")

        workshop.runner.run(lambda _report: adopt(record, values, person, now, why), done)

    def _take_in(self) -> None:
        job = self._desk.job
        if job is not None and not self._desk.why_not():
            after = with_later_cases(job, self._desk.workshop.today())
            self._desk.edit(_("cases taken in"), after)


def _columns() -> tuple[Column, ...]:
    def names(row: StartingValue) -> str:
        listed = ", ".join(row.names[:MOST_NAMES])
        beyond = len(row.names) - MOST_NAMES
        if beyond > 0:
            return _("{names} and {n} more").format(names=listed, n=beyond)
        return listed

    return (
        Column("parts", _("Part"), names, 180, tip=lambda row: "\n".join(row.names)),
        Column(
            "count", _("Alike"), lambda row: str(len(row.names)), 48, right=True,
            sort=lambda row: len(row.names),
        ),
        Column(
            "stated", _("Starting value"), lambda row: row.stated, 240,
            tip=lambda row: row.stated,
        ),
    )  # fmt: skip
