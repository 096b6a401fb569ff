"""Reading and writing price lists: tens of thousands of items at a time, as plain rows.

The statements that touch every item go to the driver as they are: the layer above takes as long for
each row as the database does.
"""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Any, cast

import sqlalchemy as sa
from sqlalchemy.orm import Session

from estimator.domain.price_list.item import Item, Plain
from estimator.domain.price_list.linked import PartLink, PricedItem
from estimator.domain.price_list.mapping import Mapping, mapping_data, mapping_from
from estimator.domain.price_list.taken import TakenList
from estimator.storage.database import RecordDamaged
from estimator.storage.price_list_tables import (
    PartLinkRow,
    PriceListRow,
    SupplierItemRow,
    SupplierMappingRow,
)

LISTS: Any = PriceListRow.__table__
ITEMS: Any = SupplierItemRow.__table__
MAPPINGS: Any = SupplierMappingRow.__table__
LINKS: Any = PartLinkRow.__table__
_HEADS = (
    "number", "supplier", "file", "sha256", "sheet", "full", "price_date", "taken_by", "taken_at",
    "counts", "edition", "undone_by", "undone_at",
)  # fmt: skip
_COLUMNS = "supplier, key, taken, minor, said"
_PUT = f"INSERT OR REPLACE INTO supplier_item ({_COLUMNS}) VALUES (?, ?, ?, ?, ?)"
_KEEP = (
    f"INSERT INTO supplier_item_past (until, {_COLUMNS}) SELECT ?, {_COLUMNS} FROM supplier_item"
)
_THESE = " WHERE supplier = ? AND key IN (SELECT value FROM json_each(?))"


def all_lists(session: Session, supplier: str = "") -> tuple[TakenList, ...]:
    """Lists that were taken in (of one supplier), the newest first."""
    wanted = sa.select(*(LISTS.c[name] for name in _HEADS)).order_by(LISTS.c.number.desc())
    if supplier:
        wanted = wanted.where(LISTS.c.supplier == supplier)
    return tuple(_list(row) for row in session.connection().execute(wanted))


def list_numbered(session: Session, number: int) -> TakenList | None:
    """A list; None where there is none of that number."""
    wanted = sa.select(*(LISTS.c[name] for name in _HEADS)).where(LISTS.c.number == number)
    row = session.connection().execute(wanted).first()
    return None if row is None else _list(row)


def _list(row: Any) -> TakenList:
    cells = dict(row._mapping)
    try:
        cells["counts"] = {str(kind): int(n) for kind, n in json.loads(cells["counts"]).items()}
    except (ValueError, AttributeError, TypeError) as error:
        raise RecordDamaged(f"the counts of price list {row.number} cannot be read") from error
    return TakenList(**cells)


def state_of(session: Session, supplier: str) -> tuple[int, int]:
    """What tells whether a supplier's items are still as they were read: (number of the newest
    list, lists that stand)."""
    wanted = sa.select(
        sa.func.coalesce(sa.func.max(LISTS.c.number), 0),
        sa.func.count().filter(LISTS.c.undone_at.is_(None)),
    ).where(LISTS.c.supplier == supplier)
    newest, standing = session.connection().execute(wanted).one()
    return int(newest), int(standing)


def next_number(session: Session) -> int:
    """Number of the next list."""
    newest = session.connection().execute(sa.select(sa.func.max(LISTS.c.number))).scalar()
    return int(newest or 0) + 1


def items_by_key(session: Session, supplier: str) -> dict[str, Plain]:
    """The items of a supplier that stand, by key, as they are kept: nearly all of them are only
    compared."""
    result = session.connection().exec_driver_sql(
        "SELECT key, minor, said FROM supplier_item WHERE supplier = ?", (supplier,)
    )
    rows = cast(list[Plain], result.cursor.fetchall())
    result.close()
    return {row[0]: row for row in rows}


def add_list(
    session: Session, taken: TakenList, moved: Sequence[tuple[PartLink, PartLink]]
) -> None:
    """Keep a list, with the links that went over to a successor."""
    cells = {name: getattr(taken, name) for name in _HEADS}
    cells["counts"] = json.dumps(dict(taken.counts), sort_keys=True)
    cells["moved"] = json.dumps([
        [one.code, list(one.needs), one.supplier, one.key, two.key] for one, two in moved
    ])  # fmt: skip
    session.connection().execute(LISTS.insert().values(**cells))


def write_items(
    session: Session,
    supplier: str,
    number: int,
    put: Sequence[Item],
    gone: Sequence[str],
    stood: Sequence[str],
    old: int,
) -> None:
    """Write items that are new or changed, drop those that are gone, and keep how they were.
    `stood` are the keys of both that stand now; `old` is how many stand in all."""
    run = session.connection().exec_driver_sql
    if len(stood) == old and old:
        run(_KEEP + " WHERE supplier = ?", (number, supplier))
    elif stood:
        run(_KEEP + _THESE, (number, supplier, json.dumps(list(stood))))
    if gone:
        run("DELETE FROM supplier_item" + _THESE, (supplier, json.dumps(list(gone))))
    if put:  # in order of keys, as they are kept
        run(_PUT, [(supplier, key, number, minor, said) for key, minor, said in sorted(put)])


def bring_back(session: Session, taken: TakenList) -> None:
    """The items as they were before a list, and its links."""
    run = session.connection().exec_driver_sql
    run(
        "DELETE FROM supplier_item WHERE supplier = ? AND taken = ?", (taken.supplier, taken.number)
    )
    run(f"INSERT INTO supplier_item ({_COLUMNS}) SELECT {_COLUMNS} FROM supplier_item_past "
        "WHERE until = ?", (taken.number,))  # fmt: skip
    run("DELETE FROM supplier_item_past WHERE until = ?", (taken.number,))


def mark_undone(session: Session, number: int, who: str, at: datetime.datetime) -> bool:
    """Say that a list was undone; False where it was already."""
    done = session.connection().execute(
        LISTS.update()
        .where(LISTS.c.number == number, LISTS.c.undone_at.is_(None))
        .values(undone_by=who, undone_at=at)
    )
    return done.rowcount == 1


def moved_by(session: Session, number: int) -> list[tuple[PartLink, str]]:
    """Links that a list moved, as they are now without their quantity, each with its key before."""
    body = session.connection().execute(
        sa.select(LISTS.c.moved).where(LISTS.c.number == number)
    ).scalar_one()  # fmt: skip
    zero = Decimal(0)
    return [(PartLink(code, tuple(needs), supplier, now, zero), before)
            for code, needs, supplier, before, now in json.loads(body)]  # fmt: skip


# Mappings


def mapping_of(session: Session, supplier: str) -> Mapping | None:
    """How a supplier's list is read; None where none was taken in yet. Raises RecordDamaged."""
    body = session.connection().execute(
        sa.select(MAPPINGS.c.body).where(MAPPINGS.c.supplier == supplier)
    ).scalar()  # fmt: skip
    if body is None:
        return None
    try:
        return mapping_from(json.loads(body))
    except (KeyError, TypeError, ValueError, ArithmeticError) as error:
        raise RecordDamaged(f"how lists of {supplier} are read is not readable") from error


def keep_mapping(
    session: Session, supplier: str, mapping: Mapping, who: str, at: datetime.datetime
) -> None:
    """Keep how a supplier's list is read."""
    run = session.connection().execute
    run(MAPPINGS.delete().where(MAPPINGS.c.supplier == supplier))
    body = json.dumps(mapping_data(mapping), ensure_ascii=False)
    run(MAPPINGS.insert().values(supplier=supplier, body=body, at=at, who=who))


# Links


def all_links(session: Session) -> tuple[PartLink, ...]:
    """Every link of a part to an item."""
    wanted = sa.select(
        *(LINKS.c[name] for name in ("code", "needs", "supplier", "key", "quantity"))
    )
    ordered = wanted.order_by(LINKS.c.code, LINKS.c.needs, LINKS.c.supplier, LINKS.c.key)
    return tuple(
        PartLink(row.code, tuple(row.needs.split(";")) if row.needs else (), row.supplier, row.key,
                 row.quantity)
        for row in session.connection().execute(ordered)
    )  # fmt: skip


def put_link(session: Session, link: PartLink) -> None:
    """Keep a link; one of the same part and item is written over."""
    drop_link(session, link)
    session.connection().execute(LINKS.insert().values(
        code=link.code, needs=";".join(link.needs), supplier=link.supplier, key=link.key,
        quantity=link.quantity,
    ))  # fmt: skip


def drop_link(session: Session, link: PartLink) -> bool:
    """Take a link out; False where it is not there."""
    done = session.connection().execute(LINKS.delete().where(*_is(link)))
    return bool(done.rowcount)


def move_link(session: Session, link: PartLink, key: str) -> bool:
    """Let a link be to another item of its supplier; False where there is one already."""
    there = session.connection().execute(
        sa.select(LINKS.c.code).where(*_is(PartLink(link.code, link.needs, link.supplier, key,
                                                    link.quantity)))
    ).first()  # fmt: skip
    if there is not None:
        return False
    session.connection().execute(LINKS.update().where(*_is(link)).values(key=key))
    return True


def _is(link: PartLink) -> tuple[Any, ...]:
    return (LINKS.c.code == link.code, LINKS.c.needs == ";".join(link.needs),
            LINKS.c.supplier == link.supplier, LINKS.c.key == link.key)  # fmt: skip


def priced_items(
    session: Session, wanted: Iterable[tuple[str, str]]
) -> dict[tuple[str, str], PricedItem]:
    """Items by supplier and key, with the list each came with; those that are gone are left out."""
    found = {}
    for supplier, key in wanted:
        row = session.connection().execute(_one_item(), {"s": supplier, "k": key}).first()
        if row is not None:
            item = Item(row.key, row.minor, row.said)
            found[supplier, key] = PricedItem(item, row.file, price_day(item, row.price_date))
    return found


def _one_item() -> Any:
    return (
        sa.select(ITEMS.c.key, ITEMS.c.minor, ITEMS.c.said, LISTS.c.file, LISTS.c.price_date)
        .join_from(ITEMS, LISTS, LISTS.c.number == ITEMS.c.taken)
        .where(ITEMS.c.supplier == sa.bindparam("s"), ITEMS.c.key == sa.bindparam("k"))
    )


def price_day(item: Item, of_list: datetime.date) -> datetime.date:
    """The day an item's price is of: its own, else the list's."""
    own = item.cells.valid_from
    return datetime.date.fromisoformat(own) if own else of_list
