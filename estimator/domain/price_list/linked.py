"""Which supplier's items make up one of a parts group, and what their prices make of its cost."""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, Decimal

from estimator.domain.catalogue.work_rows import PartsGroup
from estimator.domain.money import Money, money_half_up
from estimator.domain.price_list.compare import last_successor
from estimator.domain.price_list.item import Cells, Item
from estimator.domain.price_list.units import EACH, unit_of
from estimator.domain.wording import joined, worded

RowKey = tuple[str, tuple[str, ...]]  # code and needs of a parts row


@dataclass(frozen=True, slots=True)
class PartLink:
    """One item of a supplier that goes into a parts group, and how many go into one of it."""

    code: str
    needs: tuple[str, ...]
    supplier: str
    key: str
    quantity: Decimal

    @property
    def row(self) -> RowKey:
        """The parts row it is for."""
        return self.code, self.needs


@dataclass(frozen=True, slots=True)
class PricedItem:
    """An item with the list it stands in: its file's name and the day its price is of."""

    item: Item
    list_name: str
    price_date: datetime.date


@dataclass(frozen=True, slots=True)
class LinkedCost:
    """A parts row before and after. `after` is None, with `why` in words, where no cost follows."""

    before: PartsGroup
    after: PartsGroup | None
    why: str = ""

    @property
    def old(self) -> Money:
        """What one cost."""
        return money_half_up(self.before.unit_cost, self.before.currency)

    @property
    def new(self) -> Money | None:
        """What one costs."""
        return None if self.after is None else money_half_up(
            self.after.unit_cost, self.after.currency)  # fmt: skip

    @property
    def ratio(self) -> Decimal | None:
        """New to old cost; None across currencies and from nothing."""
        if self.after is None or self.after.currency != self.before.currency:
            return None
        return self.after.unit_cost / self.before.unit_cost if self.before.unit_cost else None


def moved_links(links: Iterable[PartLink], items: Mapping[str, Item]) -> tuple[PartLink, ...]:
    """Links to items that another has taken the place of, as they are afterwards: each to the last
    of its chain that stands in `items`. Those that stay are left out."""
    moved = []
    for link in links:
        last, ring = last_successor(link.key, items)
        if not ring and last != link.key and last in items:
            moved.append(replace(link, key=last))
    return tuple(moved)


def linked_costs(
    rows: Mapping[RowKey, PartsGroup],
    links: Iterable[PartLink],
    items: Mapping[tuple[str, str], PricedItem],
) -> tuple[LinkedCost, ...]:
    """Parts rows whose cost, lead time, exchange charge or price date their links change, and those
    of which none can be told. `items` by supplier and key. A row that is gone is passed over; a
    currency that no parts row is in yet makes no cost."""
    by_row: dict[RowKey, list[PartLink]] = defaultdict(list)
    for link in links:
        by_row[link.row].append(link)
    known = {row.currency for row in rows.values()}
    found = []
    for key, some in by_row.items():
        row = rows.get(key)
        if row is None:
            continue
        cost = _cost(row, [(link, items.get((link.supplier, link.key))) for link in some])
        if cost.after is not None and cost.after.currency not in known:
            cost = LinkedCost(row, None, _no_rate(cost.after.currency))
        if cost.after is None or _differs(row, cost.after):
            found.append(cost)
    return tuple(sorted(found, key=lambda cost: (cost.before.id, cost.before.needs)))


def _no_rate(currency: str) -> str:
    return worded(
        "It is in {currency}, in which the catalogue prices nothing yet: jobs would have no rate "
        "for it.",
        currency=currency,
    )


def _differs(before: PartsGroup, after: PartsGroup) -> bool:
    return (before.unit_cost, before.currency, before.price_date, before.lead_weeks,
            before.exchange_charge) != (after.unit_cost, after.currency, after.price_date,
                                        after.lead_weeks, after.exchange_charge)  # fmt: skip


def _cost(row: PartsGroup, parts: list[tuple[PartLink, PricedItem | None]]) -> LinkedCost:
    gone = [link.key for link, priced in parts if priced is None]
    if gone:
        why = worded("{keys}: no such item stands any more.", keys=joined(gone))
        return LinkedCost(row, None, why)
    known = [(link, priced, priced.item.cells) for link, priced in parts if priced is not None]
    currencies = {cells.currency for _, _, cells in known}
    if len(currencies) > 1:
        why = worded("Its items are in {currencies}.", currencies=joined(sorted(currencies)))
        return LinkedCost(row, None, why)
    currency = currencies.pop()
    if fault := _unit_fault(row, known):
        return LinkedCost(row, None, fault)
    each = sum((link.quantity * priced.item.net_each for link, priced, _ in known), Decimal(0))
    after = replace(
        row,
        unit_cost=money_half_up(each, currency).amount,
        currency=currency,
        price_date=min(priced.price_date for _, priced, _ in known),
        lead_weeks=_lead(row, known),
        exchange_charge=_charge(row, known, currency),
        origin="supplier",
        source="; ".join(_named(priced, cells) for _, priced, cells in known),
    )
    return LinkedCost(row, after)


def _unit_fault(row: PartsGroup, known: list[tuple[PartLink, PricedItem, Cells]]) -> str:
    """Why an item's unit does not go into the row's; "" where it does. Several items, or another
    quantity than one, make up a unit of their own, and pieces make up a set."""
    if len(known) > 1 or known[0][0].quantity != 1:
        return ""
    unit = unit_of(known[0][2].unit)
    if not unit or unit == row.unit or {unit, row.unit} <= {EACH, "set", "lot", "job"}:
        return ""
    return worded("The item is sold by {unit}, the part is counted in {row}: say how much of it "
                  "goes into one.", unit=unit, row=row.unit)  # fmt: skip


def _lead(row: PartsGroup, known: list[tuple[PartLink, PricedItem, Cells]]) -> Decimal:
    """The longest of the items' lead times; as it was where none says one."""
    leads = [Decimal(cells.lead) for _, _, cells in known if cells.lead]
    return max(leads) if leads else row.lead_weeks


def _charge(
    row: PartsGroup, known: list[tuple[PartLink, PricedItem, Cells]], currency: str
) -> Decimal:
    """What is held for old parts; as it was where no item says it, and in another currency, since
    the row's charge is in the catalogue's own."""
    said = [(link.quantity, cells.charge) for link, _, cells in known if cells.charge]
    if not said or currency != row.currency:
        return row.exchange_charge
    charges = (quantity * Money(int(charge), currency).amount for quantity, charge in said)
    return money_half_up(sum(charges, Decimal(0)), currency).amount


def _named(priced: PricedItem, cells: Cells) -> str:
    return f"price list {priced.list_name} of {priced.price_date}, part {cells.number}"


def weeks_of_days(days: Decimal) -> Decimal:
    """Calendar days as weeks, up to the next tenth."""
    return (days / 7).quantize(Decimal("0.1"), rounding=ROUND_CEILING)
