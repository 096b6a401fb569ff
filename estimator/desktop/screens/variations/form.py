"""The form of a variation: what was found, what it costs and who pays, what declining means."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QFrame,
    QHBoxLayout,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.language import _
from estimator.desktop.screens.variations import words
from estimator.desktop.screens.variations.begun import begun, typed_of
from estimator.desktop.screens.variations.form_fields import Fields
from estimator.desktop.screens.variations.form_layout import fill_answer, fill_found
from estimator.desktop.screens.variations.form_photos import FormPhotos
from estimator.desktop.screens.variations.line_grids import (
    measured_lines,
    price_lines,
    way_lines,
)
from estimator.desktop.screens.variations.typed import PRICE, RANGE, Typed, variation_of
from estimator.desktop.screens.variations.typed_lines import lines_sum, measures_sum
from estimator.desktop.widgets.choice_row import ChoiceRow
from estimator.desktop.widgets.plain_label import heading_label, plain_label
from estimator.desktop.workshop import Workshop
from estimator.domain.contract.contract import Case
from estimator.domain.contract.variation import (
    CHARGED_TO_NOBODY,
    CONTINGENCY,
    CONTRACT_SUM,
    REMEASURED,
    WAYS,
    Variation,
)
from estimator.services.write_contract import Here

WIDE, LEAST_WIDE = 860, 640
TEXTS = (
    "title", "location", "measured", "not_seen", "consequence", "cannot", "answer_by",
    "waiting_from", "waiting_per_day", "days", "low", "likely", "high", "own_cost",
)  # fmt: skip


class VariationForm(QDialog):
    """Asks for a variation; `then` gets it once nothing is wrong. A form that is left changes
    nothing."""

    def __init__(
        self, parent: QWidget, workshop: Workshop, here: Here, case: Case | None,
        then: Callable[[Variation], object],
    ) -> None:  # fmt: skip
        super().__init__(parent)
        self._workshop, self._say, self._here, self._case = workshop, workshop.formats, here, case
        self._then = then
        self._began = begun(here) if case is None else typed_of(case, here, self._say)
        self.setModal(True)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        title = here.contract.next_number if case is None else case.variation.name
        head = _("New variation {number}") if case is None else _("Price or revise {number}")
        self.setWindowTitle(head.format(number=title))
        self.fields = Fields()
        self.lines = price_lines(here, self._say)
        self.measures = measured_lines(here, self._say)
        self.ways = way_lines()
        self.money = ChoiceRow("", ((PRICE, _("A price")), (RANGE, _("A range for now"))))
        self.money_row = QWidget()
        self.photos = FormPhotos(workshop, here.job.number, self._kept_under)
        self.money_fault = plain_label("", "attention", wrapped=True)
        self.whole_fault = plain_label("", "attention", wrapped=True)
        self._build()
        self._fill(self._began)
        self._join()
        self._show_money()
        self._show_sums()
        # What is written anew begins with its price; what is new with its name.
        if case is None:
            self.fields["title"].setFocus()
        else:
            self.lines.grid.setFocus()

    # Building

    def _build(self) -> None:
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(24, 4, 24, 12)
        column.setSpacing(8)
        fill_found(column, self.fields, self._here, new=self._case is None)
        column.addWidget(self.photos)
        self._build_money(column)
        fill_answer(column, self.fields)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setWidget(body)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        leave = QPushButton(_("Leave as it is"))
        leave.setAutoDefault(False)
        leave.clicked.connect(self.reject)
        self.take = QPushButton(_("Raise it") if self._case is None else _("Write it anew"))
        self.take.setProperty("primary", True)
        self.take.setDefault(True)
        self.take.clicked.connect(self._try)
        foot = QHBoxLayout()
        foot.setContentsMargins(24, 0, 24, 16)
        foot.addWidget(self.whole_fault, 1)
        foot.addWidget(leave)
        foot.addWidget(self.take)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 16, 0, 0)
        head = plain_label(self.windowTitle(), "section")
        head.setContentsMargins(24, 0, 24, 0)
        whole.addWidget(head)
        whole.addWidget(scroll, 1)
        whole.addLayout(foot)
        parent = self.parentWidget()
        room = parent.window().size() if parent is not None else self.size()
        self.setMinimumWidth(min(LEAST_WIDE, room.width()))
        self.resize(min(WIDE, room.width() - 40), min(780, room.height() - 40))

    def _build_money(self, column: QVBoxLayout) -> None:
        make = self.fields
        column.addWidget(heading_label(_("What it comes to")))
        choice = QHBoxLayout(self.money_row)
        choice.setContentsMargins(0, 0, 0, 0)
        choice.addWidget(self.money)
        choice.addStretch()
        column.addWidget(self.money_row)
        self.range_row = QWidget()
        self.range_row.setLayout(
            make.row(
                make.line("low", _("Low")), make.line("likely", _("Likely")),
                make.line("high", _("High")),
            )
        )  # fmt: skip
        self.own_row = QWidget()
        self.own_row.setLayout(make.row(make.line("own_cost", _("Workshop's own cost"))))
        for widget in (self.lines, self.measures, self.range_row, self.own_row, self.money_fault):
            column.addWidget(widget)
        self.money_fault.hide()
        activities = {"": _("none")} | {
            code: f"{code} {row.name}" for code, row in self._here.work.cat.activities.items()
        }
        column.addLayout(
            make.row(
                make.line("days", _("Working days it adds")),
                make.combo("activity", _("To this activity"), activities),
            )
        )
        offered = {way: words.way_words()[way] for way in WAYS}
        column.addWidget(heading_label(_("Ways to deal with it, each with price, days, warranty")))
        column.addWidget(self.ways)
        column.addLayout(
            make.row(
                make.combo(
                    "chosen", _("The lines price this way"), {"": _("not said")} | offered
                ),
                make.fault("ways"),
            )
        )  # fmt: skip

    # What stands in the fields

    def _fill(self, typed: Typed) -> None:
        for key in TEXTS:
            self.fields.set_text(key, str(getattr(typed, key)))
        for key in ("component", "cause", "end", "activity", "chosen"):
            self.fields.choose(key, str(getattr(typed, key)))
        self.fields.set_ticked("safety", typed.safety)
        self.money.choose(typed.money)
        self.lines.set_rows(typed.lines)
        self.measures.set_rows(typed.measures)
        self.ways.set_rows(typed.ways)
        self.photos.set_names(typed.photographs)

    def _kept_under(self) -> str:
        """What a photograph is kept under and named after: the component, else the variation."""
        number = self._case.variation.number if self._case else self._here.contract.next_number
        return self.fields.chosen("component") or number

    def typed(self) -> Typed:
        """What stands in the form now."""
        values: dict[str, object] = {key: self.fields.text(key) for key in TEXTS}
        values |= {
            key: self.fields.chosen(key)
            for key in ("component", "cause", "end", "activity", "chosen")
        }
        values |= {
            "safety": self.fields.ticked("safety"), "money": self.money.key,
            "lines": self.lines.rows, "measures": self.measures.rows, "ways": self.ways.rows,
            "parts": self._parts(), "photographs": self.photos.names,
        }  # fmt: skip
        known = {one.name for one in fields(Typed)}
        return Typed(**{key: value for key, value in values.items() if key in known})  # type: ignore[arg-type]

    def _parts(self) -> tuple[str, ...]:
        part = self.fields.chosen("part") if self._case is None else ""
        return (part,) if part else self._began.parts

    def _follow_part(self) -> None:
        """A part is of one component."""
        for one in self._here.work.exposed:
            if one.part == self.fields.chosen("part"):
                self.fields.choose("component", one.component)

    def _join(self) -> None:
        if self._case is None:
            self.fields.combos["part"].currentIndexChanged.connect(lambda _at: self._follow_part())
        self.money.chosen.connect(lambda _key: self._show_money())
        self.fields.combos["end"].currentIndexChanged.connect(lambda _place: self._show_money())
        self.fields.combos["cause"].currentIndexChanged.connect(lambda _place: self._follow_cause())
        for grid in (self.lines, self.measures):
            grid.changed.connect(self._show_sums)

    def _follow_cause(self) -> None:
        """Each cause has the end that goes with it; it may be chosen otherwise."""
        ends = {
            "hidden condition": CONTINGENCY, "customer's request": CONTRACT_SUM,
            "outside scope": CONTRACT_SUM, "own error": "workshop", "supplier's fault": "supplier",
            "measured again": REMEASURED,
        }  # fmt: skip
        end = ends.get(self.fields.chosen("cause"))
        if end is not None:
            self.fields.choose("end", end)

    def _show_money(self) -> None:
        """Lines, a range, lines measured again, or our own cost: by who pays."""
        end = self.fields.chosen("end")
        free, measured = end in CHARGED_TO_NOBODY, end == REMEASURED
        # What has a range already gets its price here; another range is none.
        self.money_row.setVisible(not free and not measured and self._case is None)
        ranged = self.money.key == RANGE
        self.lines.setVisible(not free and not measured and not ranged)
        self.range_row.setVisible(not free and not measured and ranged)
        self.measures.setVisible(measured)
        self.own_row.setVisible(free)

    def _show_sums(self) -> None:
        say, here = self._say, self._here
        self.lines.sum.setText(say.money(lines_sum(self.lines.rows, here, say)))
        change = measures_sum(self.measures.rows, here, say)
        self.measures.sum.setText(words.signed(change, say))

    # Taking it

    def _try(self) -> None:
        self.fields.clear_faults()
        workshop = self._workshop
        variation, faults = variation_of(
            self.typed(), self._here, self._case, self._say, workshop.person, workshop.now()
        )
        self.money_fault.setText(faults.get("money", ""))
        self.money_fault.setVisible("money" in faults)
        self.whole_fault.setText(faults.get("", ""))
        self.fields.mark(faults)
        if variation is None:
            if "money" in faults and len(faults) == 1:
                (self.measures if self.measures.isVisible() else self.lines).grid.setFocus()
            return
        self.accept()
        self._then(variation)
