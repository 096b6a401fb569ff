"""Searching suppliers' items: tens of thousands of rows, while somebody types."""

from __future__ import annotations

from collections.abc import Sequence
from heapq import merge
from itertools import islice
from operator import attrgetter
from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import Session

from estimator.domain.price_list.item import Item
from estimator.domain.price_list.taken import FoundItem
from estimator.storage.price_list_record import ITEMS, LISTS, all_links, all_lists, price_day

LAST = "\U0010ffff"  # after every sign that a part number may hold
_BY_KEY = attrgetter("key", "supplier")


def find_items(
    session: Session, words: Sequence[tuple[str, str]], supplier: str, most: int
) -> list[FoundItem]:
    """Items in which every word stands, in the part number or anywhere else; each word as (key,
    pattern): as a part number is compared, and for LIKE. Those whose number begins with the first
    word come first.

    Rows are kept by supplier and key. So each supplier is asked by itself and in that order, and no
    more is read than there is room for: words that many items have are found at once.
    """
    suppliers = (supplier,) if supplier else _suppliers(session)
    first = words[0][0] if words else ""
    rows: list[Any] = []
    if first:
        begins = sa.and_(ITEMS.c.key >= first, ITEMS.c.key < first + LAST)
        rows = _some(session, (*_holding(words), begins), suppliers, most)
        if len(rows) < most:
            others = (*_holding(words), sa.not_(begins))
            rows += _some(session, others, suppliers, most - len(rows))
    else:
        rows = _some(session, _holding(words), suppliers, most)
    return _with_lists(session, rows)


def _suppliers(session: Session) -> tuple[str, ...]:
    """Suppliers of whom any list was taken."""
    wanted = sa.select(LISTS.c.supplier).distinct()
    return tuple(session.connection().execute(wanted).scalars())


def _holding(words: Sequence[tuple[str, str]]) -> tuple[Any, ...]:
    """What an item fulfils in which every word stands."""
    said = ITEMS.c.said
    return tuple(
        sa.or_(ITEMS.c.key.contains(key, autoescape=True), said.like(pattern, escape="\\"))
        if key
        else said.like(pattern, escape="\\")
        for key, pattern in words
    )


def _some(
    session: Session, fulfil: tuple[Any, ...], suppliers: Sequence[str], most: int
) -> list[Any]:
    """The first of the items of all suppliers, in order of their keys."""
    wanted = sa.select(ITEMS.c.supplier, ITEMS.c.key, ITEMS.c.minor, ITEMS.c.said, ITEMS.c.taken)
    found = [
        session.connection()
        .execute(wanted.where(ITEMS.c.supplier == one, *fulfil).order_by(ITEMS.c.key).limit(most))
        .all()
        for one in suppliers
    ]
    return list(islice(merge(*found, key=_BY_KEY), most))


def _with_lists(session: Session, rows: Sequence[Any]) -> list[FoundItem]:
    """The items with the list each came with, and the parts it is linked to."""
    lists = {one.number: one for one in all_lists(session)} if rows else {}
    parts: dict[tuple[str, str], list[str]] = {}
    for link in all_links(session) if rows else ():
        parts.setdefault((link.supplier, link.key), []).append(link.code)
    found = []
    for row in rows:
        item, of_list = Item(row.key, row.minor, row.said), lists[row.taken]
        found.append(FoundItem(
            row.supplier, item, row.taken, of_list.file, price_day(item, of_list.price_date),
            tuple(parts.get((row.supplier, row.key), ())),
        ))  # fmt: skip
    return found
