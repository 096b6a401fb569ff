"""Columns of the price: what each shows, how it is drawn, typed into and copied."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QPainter

from estimator.desktop.drawing.bars import CertaintyParts, RangeValues
from estimator.desktop.drawing.cell_painters import (
    CELL_PAD,
    paint_certainty_cell,
    paint_figure,
    paint_range_cell,
)
from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _
from estimator.desktop.screens.price import typed, words
from estimator.desktop.theme import Theme
from estimator.desktop.widgets.columns import CellPainter, Column
from estimator.domain.money import Money
from estimator.services.show_price import GroupRow, PriceRow

RANGE = "range"


class PriceColumns:
    """Makes the columns of the price view and of the cost view.

    `since` shows amounts of the revision issued last before those of today.
    """

    def __init__(self, say: Formats, currency: str, *, since: bool = False) -> None:
        self.say, self.currency, self.since = say, currency, since

    def price(self) -> tuple[Column, ...]:
        """What the customer pays, how certain it is, and what it rests on."""
        return (
            self._name(),
            self._quantity(58),
            self._hours(),
            self._sum("labour", _("Labour"), 66),
            self._sum("parts", _("Parts"), 70),
            self._sum("outwork", _("Outwork"), 66),
            self._amount(),
            self._certainty(),
            self._rests(),
            self._sum("contingency", _("Contingency"), 84),
            self._range(),
        )

    def cost(self) -> tuple[Column, ...]:
        """What it costs the workshop; never printed."""
        return (
            self._name(),
            self._quantity(76),
            self._hours(),
            self._unit_cost(),
            self._sum("cost", _("Cost"), 88),
            self._amount(),
            self._sum("margin", _("Margin"), 88),
            self._share(),
            self._certainty(),
            self._rests(),
        )

    def _name(self) -> Column:
        return Column(
            "name",
            _("Scope"),
            lambda row: row.name,
            220,
            sort=lambda row: row.name.casefold(),
            strong=is_head,
            slanted=lambda row: isinstance(row, PriceRow) and row.changed,
            tip=_name_tip,
        )

    def _quantity(self, width: int) -> Column:
        say = self.say

        def shown(row: Any) -> str:
            if not isinstance(row, PriceRow) or row.quantity is None or row.kind == "labour":
                return ""
            return f"{say.number(row.quantity)} {row.unit}"

        return Column(
            typed.QUANTITY,
            _("Quantity"),
            shown,
            width,
            right=True,
            sort=lambda row: row.quantity,
            read=lambda row, text: typed.read_quantity(row, text, say),
            edit_text=lambda row: words.plain(row.quantity, say) if shown(row) else "",
            editable=lambda row: isinstance(row, PriceRow) and bool(shown(row)),
            tone=lambda _row: "ink2",
            paint=self._with_before(
                shown,
                lambda row: row.before_quantity if row.kind != "labour" else None,
                say.number,
            ),
        )

    def _hours(self) -> Column:
        say = self.say

        def shown(row: Any) -> str:
            if row.hours is None or not row.hours:
                return DASH if is_head(row) else ""
            return say.number(row.hours)

        return Column(
            typed.HOURS,
            _("Hours"),
            shown,
            74,
            right=True,
            sort=lambda row: row.hours,
            read=lambda row, text: typed.read_quantity(row, text, say),
            edit_text=lambda row: words.plain(row.hours, say),
            editable=lambda row: isinstance(row, PriceRow) and row.kind == "labour",
            strong=is_head,
            paint=self._with_before(
                shown,
                lambda row: row.before_quantity if row.kind == "labour" else None,
                say.number,
            ),
        )

    def _unit_cost(self) -> Column:
        say = self.say

        def shown(row: Any) -> str:
            if not isinstance(row, PriceRow) or row.unit_cost is None:
                return ""
            abroad = f" {row.cost_currency}" if row.cost_currency != self.currency else ""
            return say.number(row.unit_cost) + abroad

        return Column(
            typed.UNIT_COST,
            _("Cost of one"),
            shown,
            104,
            right=True,
            sort=lambda row: row.unit_cost,
            read=lambda row, text: typed.read_cost(row, text, say),
            edit_text=lambda row: words.plain(row.unit_cost, say) if shown(row) else "",
            editable=lambda row: isinstance(row, PriceRow) and row.unit_cost is not None,
            paint=self._with_before(shown, lambda row: row.before_unit_cost, say.number),
        )

    def _sum(self, key: str, title: str, width: int) -> Column:
        say = self.say
        bought = key in ("parts", "outwork", "cost")

        def shown(row: Any) -> str:
            value: Money | None = getattr(row, key)
            return say.sum(value) if value is not None or is_head(row) else ""

        def paint(row: Any) -> CellPainter | None:
            if not bought or not isinstance(row, PriceRow) or not row.expired or not shown(row):
                return None
            return _figure(shown(row), expired=True)

        return Column(
            key,
            title,
            shown,
            width,
            right=True,
            sort=lambda row: _minor(getattr(row, key)),
            edit_text=lambda row: words.plain(getattr(row, key), say),
            strong=lambda row: is_head(row) and key == "margin",
            tip=lambda row: _expired_tip(row) if bought else "",
            paint=paint,
        )

    def _amount(self) -> Column:
        say = self.say

        def shown(row: Any) -> str:
            return say.sum(row.amount) if row.amount is not None else ""

        def before(row: Any) -> Any:
            return row.since_amount if self.since else row.before_amount

        return Column(
            "amount",
            _("Amount"),
            shown,
            92,
            right=True,
            sort=lambda row: _minor(row.amount),
            edit_text=lambda row: words.plain(row.amount, say),
            strong=is_head,
            paint=self._with_before(shown, before, say.sum),
        )

    def _with_before(
        self,
        shown: Callable[[Any], str],
        before: Callable[[Any], Any],
        told: Callable[[Any], str],
    ) -> Callable[[Any], CellPainter | None]:
        """A figure with the older one struck before it, where there is an older one."""

        def paint(row: Any) -> CellPainter | None:
            if not isinstance(row, PriceRow):
                return None
            was = before(row)
            if was is None or not shown(row):
                return None
            return _figure(shown(row), before=told(was))

        return paint

    def _share(self) -> Column:
        say = self.say
        return Column(
            "margin_share",
            _("Margin %"),
            lambda row: say.percent(row.margin_share, 1) if row.margin_share is not None else "",
            72,
            right=True,
            sort=lambda row: row.margin_share,
            edit_text=lambda row: words.plain(_hundredfold(row.margin_share), say),
        )

    def _certainty(self) -> Column:
        say = self.say
        return Column(
            "certainty",
            _("Certainty"),
            lambda row: words.certainty_words(row, say),
            84,
            tip=lambda row: words.certainty_words(row, say),
            paint=_certainty,
        )

    def _rests(self) -> Column:
        say = self.say

        def shown(row: Any) -> str:
            if isinstance(row, GroupRow):
                return words.group_rests(row)
            return words.rests_words(row.rests, say)

        return Column(
            typed.REASON,
            _("Rests on"),
            shown,
            122,
            read=typed.read_reason,
            editable=lambda row: isinstance(row, PriceRow) and (row.own or bool(row.typed_why)),
            slanted=lambda row: isinstance(row, PriceRow) and row.changed,
            tone=_rests_tone,
            tip=lambda row: (
                row.typed_why if isinstance(row, PriceRow) and row.typed_why else shown(row)
            ),
        )

    def _range(self) -> Column:
        def shown(row: Any) -> str:
            if not isinstance(row, PriceRow):
                return ""
            return words.range_words(row, self.currency, self.say)

        return Column(
            RANGE, _("If found"), shown, 104, sort=lambda row: row.high, tip=shown, paint=_range
        )


def is_head(row: Any) -> bool:
    """Whether a row is a group's head."""
    return isinstance(row, GroupRow)


def _name_tip(row: Any) -> str:
    if isinstance(row, PriceRow):
        return f"{row.id}  {row.name}"
    return str(row.name)


def _expired_tip(row: Any) -> str:
    expired = isinstance(row, PriceRow) and row.expired
    return _("The supplier's price has expired.") if expired else ""


def _hundredfold(share: Decimal | None) -> Decimal | None:
    return None if share is None else share.scaleb(2)


def _minor(value: Money | None) -> int | None:
    return None if value is None else value.minor


def _rests_tone(row: Any) -> str:
    if isinstance(row, GroupRow):
        return "exp_text" if row.open_parts else "ink3"
    return "exp_text" if row.rests.unseen else "ink2"


def _wide(rect: QRect) -> QRectF:
    """The cell's whole width: the painters keep their own distance from its edges."""
    return QRectF(rect).adjusted(-CELL_PAD, 0, CELL_PAD, 0)


def _figure(text: str, before: str = "", expired: bool = False) -> CellPainter:
    def draw(painter: QPainter, rect: QRect, theme: Theme) -> None:
        paint_figure(painter, _wide(rect), text, theme, before=before, expired=expired)

    return draw


def _certainty(row: Any) -> CellPainter | None:
    parts = CertaintyParts(
        firm=row.firm.minor if row.firm is not None else 0,
        provisional=row.provisional.minor if row.provisional is not None else 0,
        exposed=row.contingency.minor if row.contingency is not None else 0,
        full=row.full,
    )

    def draw(painter: QPainter, rect: QRect, theme: Theme) -> None:
        paint_certainty_cell(painter, _wide(rect), parts, theme)

    return draw


def _range(row: Any) -> CellPainter | None:
    if not isinstance(row, PriceRow) or row.low == row.high:
        return _nothing
    values = RangeValues(row.low, row.likely, row.high, row.range_full)

    def draw(painter: QPainter, rect: QRect, theme: Theme) -> None:
        paint_range_cell(painter, _wide(rect), values, theme)

    return draw


def _nothing(_painter: QPainter, _rect: QRect, _theme: Theme) -> None:
    """A row without a range leaves its place blank."""
