"""What taking changes of a price list makes of the catalogue: costs of linked parts that follow,
and links that go over to a successor."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.catalogue.work_rows import PartsGroup
from estimator.domain.money import Money, money_sum
from estimator.domain.price_list.compare import RING, Change, successor
from estimator.domain.price_list.linked import (
    LinkedCost,
    PartLink,
    PricedItem,
    RowKey,
    linked_costs,
    moved_links,
)
from estimator.services.preview_price_list import ListPreview


@dataclass(frozen=True, slots=True)
class Effect:
    """What a choice of changes makes of the catalogue: rows whose cost follows, links that go over
    to a successor (before, after), and the sum by which one of each part moves."""

    costs: tuple[LinkedCost, ...] = ()
    moved: tuple[tuple[PartLink, PartLink], ...] = ()
    total: Money | None = None


def parts_rows(catalogue: Catalogue) -> dict[RowKey, PartsGroup]:
    """Parts rows by code and needs."""
    return {(row.id, row.needs): row for row in catalogue.table("parts", PartsGroup)}


def effect_of(preview: ListPreview, catalogue: Catalogue, chosen: Collection[str]) -> Effect:
    """What follows for the catalogue from taking the changes with the keys `chosen`."""
    comparison, linked = preview.comparison, preview.linked
    supplier = preview.wish.supplier
    ours = [link for link in preview.links if link.supplier == supplier]
    if comparison is None or linked is None or not ours:
        return Effect()
    taken = {change.key: change for change in comparison.changes if change.key in chosen}
    after = _items_after(preview, ours, taken)
    moved = dict(_moved(ours, taken, after, preview))
    links = [moved.get(link, link) for link in preview.links]
    items = {**linked, **{(supplier, key): one for key, one in after.items() if one is not None}}
    for key, one in after.items():
        if one is None:
            items.pop((supplier, key), None)
    rows = {link.row for link in ours}
    costs = linked_costs(parts_rows(catalogue), [one for one in links if one.row in rows], items)
    return Effect(costs, tuple(moved.items()), _total(costs))


def _items_after(
    preview: ListPreview, ours: list[PartLink], taken: Mapping[str, Change]
) -> dict[str, PricedItem | None]:
    """The linked items, and what takes their place, as they are afterwards; None where gone. Those
    that the list has and that stay as they are get its day."""
    keys = {link.key for link in ours}
    keys |= {_next(change) for change in taken.values() if change.key in keys} - {""}
    wanted = keys | set(taken) if any(_next(taken[k]) for k in keys & set(taken)) else keys
    changed = {change.key for change in preview.comparison.changes} if preview.comparison else set()
    found: dict[str, PricedItem | None] = {}
    for item in preview.items:
        if item[0] in wanted and (item[0] in taken or item[0] not in changed):
            own = item.cells.valid_from
            day = date.fromisoformat(own) if own else preview.price_date
            found[item[0]] = PricedItem(item, preview.file, day)
    for key in keys & set(taken):
        if taken[key].new is None:
            found[key] = None
    return found


def _next(change: Change) -> str:
    return successor(change.new) if change.new is not None and change.kind != RING else ""


def _moved(
    ours: list[PartLink],
    taken: Mapping[str, Change],
    after: Mapping[str, PricedItem | None],
    preview: ListPreview,
) -> list[tuple[PartLink, PartLink]]:
    """Links to items that another has taken the place of by this list."""
    items = {key: one.item for key, one in after.items() if one is not None}
    known = {(link.row, link.key) for link in preview.links if link.supplier == ours[0].supplier}
    found = []
    for link in ours:
        if link.key in taken and taken[link.key].kind != RING:
            for now in moved_links([link], items):
                if (now.row, now.key) not in known:
                    found.append((link, now))
    return found


def _total(costs: tuple[LinkedCost, ...]) -> Money | None:
    """The sum of all differences, where they are in one currency."""
    pairs = [(one.old, one.new) for one in costs if one.new is not None]
    currencies = {money.currency for pair in pairs for money in pair}
    if len(currencies) != 1:
        return None
    currency = currencies.pop()
    return money_sum((new - old for old, new in pairs), currency)
