"""Which column holds what: a choice for each field, beside the first rows of the file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QFormLayout,
    QFrame,
    QHBoxLayout,
    QLineEdit,
    QScrollArea,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.price_lists.group_shares import GroupShares
from estimator.desktop.screens.price_lists.words import field_words, letters, sheet_columns
from estimator.desktop.telling import told
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.plain_label import plain_label
from estimator.desktop.widgets.row_model import RowModel
from estimator.domain.money import MINOR_DIGITS
from estimator.domain.price_list import mapping as m
from estimator.domain.price_list.mapping import ColumnUse, Mapping
from estimator.services.preview_price_list import ListPreview, discount_groups

LONGEST_HEAD = 24  # characters of a head that a choice shows
NO_COLUMN = -1


class MappingForm(QWidget):
    """Signals: changed(): the mapping is another one now."""

    changed = Signal()

    def __init__(self, formats: Formats, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._mapping, self._rows, self._filling = Mapping(), list[list[Any]](), False
        self.shares = GroupShares(formats)
        self.fields = {field: QComboBox() for field in m.FIELDS}
        self.sheet, self.head_row, self.currency = QComboBox(), QSpinBox(), QLineEdit()
        self.decimal, self.lead_in = QComboBox(), QComboBox()
        self.before_tax = QCheckBox(_("Prices are before tax"))
        self.why = plain_label("", "attention", wrapped=True)
        self.why.hide()
        self.model = RowModel(sheet_columns(()), lambda row: str(row[0]))
        self.grid = Grid(self.model, _("First rows of the file"), row_height=26)
        self._build()

    def _build(self) -> None:
        self.head_row.setRange(1, 1)
        self.currency.setMaxLength(3)
        for combo, choices in (
            (self.decimal, (("", _("as the column shows")), (m.POINT, "1,234.50"),
                            (m.COMMA, "1.234,50"))),
            (self.lead_in, ((m.WEEKS, _("weeks")), (m.DAYS, _("days")))),
        ):  # fmt: skip
            for key, text in choices:
                combo.addItem(text, key)
        right = QVBoxLayout()
        right.addWidget(self.grid, 1)
        right.addWidget(self.shares)
        row = QHBoxLayout()
        row.addWidget(self._choices(), 2)
        row.addLayout(right, 5)
        column = QVBoxLayout(self)
        column.setContentsMargins(24, 8, 0, 0)
        column.addWidget(self.why)
        column.addLayout(row, 1)

    def _choices(self) -> QScrollArea:
        """A choice for each field, and how the list is written."""
        form = QFormLayout()
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        words = field_words()
        rows: list[tuple[str, QWidget]] = [
            (_("Sheet"), self.sheet),
            (_("Row of the heads"), self.head_row),
            *((words[field], combo) for field, combo in self.fields.items()),
            (_("Currency of the list"), self.currency),
            (_("Decimal mark"), self.decimal),
            (_("Lead time in"), self.lead_in),
        ]
        for text, widget in rows:
            widget.setAccessibleName(text)
            form.addRow(text, widget)
            self._join(widget)
        form.addRow("", self.before_tax)
        self.before_tax.toggled.connect(lambda _on: self._on_changed())
        side = QWidget()
        side.setLayout(form)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setWidget(side)
        scroll.setAccessibleName(_("Columns of the list"))
        scroll.setMinimumWidth(360)
        scroll.setMaximumWidth(460)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        return scroll

    def _join(self, widget: QWidget) -> None:
        if isinstance(widget, QComboBox):
            widget.currentIndexChanged.connect(lambda _n: self._on_changed())
            widget.setSizeAdjustPolicy(
                QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
        elif isinstance(widget, QSpinBox):
            widget.valueChanged.connect(lambda _n: self._on_changed())
        elif isinstance(widget, QLineEdit):
            widget.editingFinished.connect(self._on_changed)

    @property
    def mapping(self) -> Mapping:
        """The mapping as it is chosen."""
        heads = self._heads(self.head_row.value())
        columns = tuple(
            ColumnUse(field, place, heads[place] if place < len(heads) else "")
            for field, combo in self.fields.items()
            if (place := combo.currentData()) is not None and place != NO_COLUMN
        )
        currency = self.currency.text().strip().upper()
        return replace(
            self._mapping,
            columns=columns,
            sheet=self.sheet.currentText(),
            head_row=self.head_row.value(),
            currency=currency if currency in MINOR_DIGITS else "",
            decimal=self.decimal.currentData(),
            lead_in=self.lead_in.currentData(),
            before_tax=self.before_tax.isChecked(),
            discounts=self.shares.shares,
        )

    @property
    def has_new_shares(self) -> bool:
        """Whether percentages of discount groups were typed that the list was not read with."""
        return self.shares.is_changed

    def panes(self) -> Sequence[QWidget]:
        """What F6 steps through."""
        shares = () if self.shares.isHidden() else (self.shares.grid,)
        return (self.head_row, self.grid, *shares)

    def show_preview(self, found: ListPreview) -> None:
        """Show how a list is read, and what keeps it from being read."""
        self._filling = True
        try:
            self._mapping, self._rows = found.mapping, found.top_rows
            self._fill(found)
            groups = discount_groups(found, found.mapping)
            self.shares.show_shares(groups, found.mapping.discounts)
        finally:
            self._filling = False
        self._show_sheet()
        faults = [told(one.said) for one in found.faults[:4]]
        self.why.setText("\n".join(faults))
        self.why.setVisible(bool(faults))

    def _fill(self, found: ListPreview) -> None:
        mapping = found.mapping
        self.sheet.clear()
        self.sheet.addItems(list(found.table.sheets) if found.table is not None else [])
        self.sheet.setCurrentText(mapping.sheet or (found.table.sheet if found.table else ""))
        self.sheet.setEnabled(self.sheet.count() > 1)
        self.head_row.setRange(1, max(len(self._rows), 1))
        self.head_row.setValue(mapping.head_row)
        heads = self._heads(mapping.head_row)
        for field, combo in self.fields.items():
            combo.clear()
            combo.addItem(_("none"), NO_COLUMN)
            for place, head in enumerate(heads):
                combo.addItem(f"{letters(place)}: {head[:LONGEST_HEAD]}", place)
            column = mapping.column(field)
            combo.setCurrentIndex(0 if column is None else combo.findData(column))
        self.currency.setText(mapping.currency)
        self.decimal.setCurrentIndex(self.decimal.findData(mapping.decimal))
        self.lead_in.setCurrentIndex(self.lead_in.findData(mapping.lead_in))
        self.before_tax.setChecked(mapping.before_tax)

    def _heads(self, number: int) -> Sequence[str]:
        row = self._rows[number - 1] if 0 < number <= len(self._rows) else []
        return [" ".join(str(cell).split()) for cell in row]

    def _on_changed(self) -> None:
        if not self._filling:
            self._show_sheet()
            self.changed.emit()

    def _show_sheet(self) -> None:
        width = len(self._rows[0]) if self._rows else 0
        mapping = self.mapping
        self.model.set_rows([])
        self.model.set_columns(sheet_columns([mapping.use_of(n) for n in range(width)]))
        self.model.set_rows(list(enumerate(self._rows, start=1)))
        self.grid.set_widths(-1)
