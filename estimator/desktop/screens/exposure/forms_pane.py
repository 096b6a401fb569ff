"""The commercial forms side by side, and what certainty costs at each confidence."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QModelIndex

from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _
from estimator.desktop.screens.exposure.pane import GridPane
from estimator.desktop.widgets.columns import Column
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.plain_label import plain_label
from estimator.desktop.widgets.row_model import RowModel, Section
from estimator.domain.money import Money
from estimator.services.exposure_tables import FormTable
from estimator.services.show_forms import (
    CUSTOMER,
    FIXED,
    NAMED,
    NOT_TO_EXCEED,
    NOTHING_HELD,
    PROVISIONAL_SUMS,
    SCHEDULE_OF_RATES,
    TO_THE_CAP,
    WORKSHOP,
    CertaintyRow,
    FormRow,
)

INDENT = 14
LEFT_OUT = ("margin", "passed", "keeps", "bears")  # the first to go first


@dataclass(frozen=True, slots=True)
class Head:
    """The head over some rows."""

    id: str
    title: str


@dataclass(frozen=True, slots=True)
class FixedAt:
    """A fixed price at a confidence, beside the forms; `here` at the job's own."""

    row: CertaintyRow
    here: bool


Row = Head | FixedAt | FormRow


class FormsPane(GridPane):
    """Which form, who bears what is hidden, who keeps what is not spent, what certainty costs."""

    def __init__(self, formats: Formats) -> None:
        self._formats = formats
        self._cost: bool | None = None
        self._sections: tuple[Section, ...] = ()
        super().__init__(Grid(RowModel((), _row_id), _("Commercial forms")), LEFT_OUT)
        self.grid.setIndentation(INDENT)
        self.foot.addWidget(
            plain_label(
                _("Whoever bears what is hidden asks for it or takes it: no form makes it less."),
                "note",
                wrapped=True,
            )
        )

    def set_forms(
        self,
        table: FormTable | None,
        *,
        cost: bool,
    ) -> None:
        """Show the forms of another reckoning; `cost` tells whether the workshop's margin may be
        seen."""
        if cost != self._cost:
            self._cost = cost
            self.grid.rows.set_columns(_columns(self._formats, cost=cost))
            self.dress()
        self._sections = ()
        if table is not None:
            share = self._formats.percent(table.confidence)
            here = table.confidence
            fixed = tuple(FixedAt(row, row.confidence == here) for row in table.fixed)
            self._sections = (
                Section(Head("forms", _("Forms, at {share}").format(share=share)), table.forms),
                Section(Head("fixed", _("What certainty costs: a fixed price")), fixed),
            )
        self.note.set_text(_("what is paid in the mean, and who bears what is found beyond it"))
        self.show_rows()

    def on_current(self, _row: Any) -> None:
        """All forms stand on the contingency."""
        self.why_asked.emit("contingency")

    def show_rows(self) -> None:
        """The forms in their order."""
        self.grid.rows.set_sections(self._sections)
        for place in range(len(self._sections)):
            self.grid.setFirstColumnSpanned(place, QModelIndex(), True)


def _row_id(row: Row) -> str:
    if isinstance(row, FixedAt):
        return f"fixed/{row.row.confidence:f}"
    return row.id if isinstance(row, Head) else row.form


def form_word(form: str) -> str:
    """A commercial form."""
    return {
        FIXED: _("Fixed price"),
        NOT_TO_EXCEED: _("Not to exceed"),
        NAMED: _("Base and named contingency"),
        PROVISIONAL_SUMS: _("Provisional sums"),
        SCHEDULE_OF_RATES: _("Schedule of rates"),
    }.get(form, form)


def who_word(who: str) -> str:
    """Who bears what is hidden, or keeps what is not spent."""
    return {
        WORKSHOP: _("workshop"),
        CUSTOMER: _("customer"),
        TO_THE_CAP: _("customer to the cap"),
        NOTHING_HELD: DASH,
    }.get(who, who)


def _columns(formats: Formats, *, cost: bool) -> tuple[Column, ...]:
    def passes(row: Row) -> str:
        return formats.percent(row.passed) if isinstance(row, FormRow) else ""

    columns = (
        Column("form", _("Form"), lambda row: _name(row, formats), 150, strong=_strong,
               tip=lambda row: _name(row, formats)),
        _money(formats, "quoted", _("Quoted"), "quoted", "price"),
        _money(formats, "pays", _("Customer\npays, mean"), "pays", "price"),
        _money(formats, "worst", _("Customer\nat most"), "worst", "price",
               tip=_worst_in_full),
        _who("bears", _("Hidden\ncondition")),
        _who("keeps", _("Unspent\nstays with")),
        _money(formats, "above", _("Above\nthe mean"), "workshop", "costs",
               tip=lambda _row: _("what is paid in the mean, less the mean of the work")),
        Column(
            "passed", _("Passes\nquoted"), passes, 50, right=True,
            sort=lambda row: row.passed if isinstance(row, FormRow) else None,
            tip=lambda _row: _("chance that the work comes to more than is quoted"),
        ),
        _money(formats, "margin", _("Our\nmargin"), "margin", tip=lambda _row: _(
            "what is paid in the mean, less the workshop's own mean cost")),
    )  # fmt: skip
    return tuple(one for one in columns if cost or one.key != "margin")


def _name(row: Row, formats: Formats) -> str:
    if isinstance(row, Head):
        return row.title
    if isinstance(row, FixedAt):
        return _("At {share}").format(share=formats.percent(row.row.confidence))
    return form_word(row.form)


def _strong(row: Row) -> bool:
    if isinstance(row, FixedAt):
        return row.here
    return isinstance(row, Head) or row.chosen


def _worst_in_full(row: Row) -> str:
    if isinstance(row, FormRow) and not row.capped:
        return _("nothing caps it: 99 outcomes of 100 do not exceed this")
    return _("never more") if not isinstance(row, Head) else ""


def _money(
    formats: Formats, key: str, title: str, of_form: str, of_fixed: str = "", **more: Any
) -> Column:
    """A sum of either kind of row: the field of a form, and of a fixed price."""

    def value(row: Row) -> Money | None:
        field = {FormRow: of_form, FixedAt: of_fixed}.get(type(row), "")
        found = getattr(row.row if isinstance(row, FixedAt) else row, field) if field else None
        return found if isinstance(found, Money) else None

    def text(row: Row) -> str:
        return "" if isinstance(row, Head) else formats.sum(value(row))

    def minor(row: Row) -> int | None:
        sum_ = value(row)
        return None if sum_ is None else sum_.minor

    return Column(key, title, text, 66, right=True, strong=_strong, sort=minor, **more)


def _who(key: str, title: str) -> Column:
    def text(row: Row) -> str:
        if isinstance(row, Head):
            return ""
        return who_word(getattr(row, key) if isinstance(row, FormRow) else WORKSHOP)

    return Column(key, title, text, 76, tip=text)
