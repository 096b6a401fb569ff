"""Which items of suppliers make up a part of the catalogue: link, unlink, search."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.catalogue.changes import RowChange
from estimator.domain.catalogue.edition import PRICE_LIST, Edition
from estimator.domain.catalogue.work_rows import PartsGroup
from estimator.domain.people import CATALOGUE, Person
from estimator.domain.price_list.item import part_key
from estimator.domain.price_list.linked import LinkedCost, PartLink, PricedItem, linked_costs
from estimator.domain.price_list.taken import FoundItem
from estimator.domain.problem import Place, Problem
from estimator.domain.wording import worded
from estimator.services.enrol_person import require
from estimator.services.errors import Conflict, NotFound, Refused
from estimator.services.keep_catalogue import keep_with, standing
from estimator.services.open_record import Record
from estimator.services.preview_price_list import linked_now
from estimator.services.price_list_effect import parts_rows
from estimator.storage import price_list_record, price_list_search
from estimator.storage.change_log import append

if TYPE_CHECKING:
    from estimator.storage.database import Session

MOST_FOUND = 200
LARGEST = Decimal(10_000)


def find_items(
    record: Record, text: str, supplier: str = "", most: int = MOST_FOUND
) -> list[FoundItem]:
    """Items in which every word of a text stands: in the part number, however it is written, or in
    the description. Those whose number begins with the first word come first; all of them, in order
    of their numbers, for a blank text."""
    words = [(part_key(word), _pattern(word)) for word in text.split()]
    with record.reading() as session:
        found = price_list_search.find_items(session, words, supplier, most)
    bare = [word.casefold() for word in text.split() if not word.isascii()]
    return [one for one in found if all(word in one.item.said.casefold() for word in bare)]


def _pattern(word: str) -> str:
    """A word for LIKE, which knows capitals of plain letters alone: others match any sign here, and
    are looked at afterwards."""
    return "%" + "".join(f"\\{s}" if s in "\\%_" else s if s.isascii() else "_" for s in word) + "%"


def part_links(record: Record, code: str = "") -> tuple[PartLink, ...]:
    """Every link, or those of a part."""
    with record.reading() as session:
        links = price_list_record.all_links(session)
    return tuple(link for link in links if not code or link.code == code)


def links_of_item(record: Record, supplier: str, number: str) -> tuple[PartLink, ...]:
    """The links of one item."""
    key = part_key(number)
    return tuple(one for one in part_links(record) if (one.supplier, one.key) == (supplier, key))


def link_cost(record: Record, catalogue: Catalogue, link: PartLink) -> LinkedCost | None:
    """What a part's row would come to with a link beside those there are; None where it would stay.
    Raises NotFound."""
    with record.reading() as session:
        links, items = _with(session, link)
    _row(catalogue, link)
    rows = parts_rows(catalogue)
    found = linked_costs(rows, [one for one in links if one.row == link.row], items)
    return found[0] if found else None


def link_part(record: Record, link: PartLink, who: Person, now: datetime) -> LinkedCost | None:
    """Say that an item goes into a part, and let the part's cost follow in an edition of the
    catalogue; what came of it, None where it stays as it is.

    One transaction. Raises NotAllowed, NotFound, Refused where no cost follows, Conflict.
    """
    require(who, CATALOGUE)
    catalogue = standing(record).catalogue
    row = _row(catalogue, link)
    if not 0 < link.quantity <= LARGEST:
        fault = Problem(
            "quantity",
            Place(column="quantity"),
            worded("holds {n}; it is above 0 and at most {most}.", n=link.quantity, most=LARGEST),
        )
        raise Refused(worded("The link of {code}", code=link.code), [fault])
    cost = link_cost(record, catalogue, link)
    if cost is not None and cost.after is None:
        fault = Problem("no-cost", Place(column=link.key), cost.why)
        raise Refused(worded("The link of {code}", code=link.code), [fault])

    def write(session: Session, edition: Edition | None) -> None:
        if not price_list_record.priced_items(session, [(link.supplier, link.key)]):
            raise _no_item(link)
        price_list_record.put_link(session, link)
        _log(session, "linked a part", link, edition, who, now)

    if cost is not None and cost.after is not None:
        why = f"{row.id} costs what {link.quantity} of {link.key} of {link.supplier} cost"
        keep_with(record, [RowChange("parts", cost.before, cost.after)],
                  (PRICE_LIST, why, who, now), catalogue.fingerprint, also=write)  # fmt: skip
    else:
        with record.writing() as session:
            write(session, None)
    return cost


def unlink_part(record: Record, link: PartLink, who: Person, now: datetime) -> None:
    """An item goes into a part no more; the part keeps the cost it has. Raises NotAllowed,
    NotFound."""
    require(who, CATALOGUE)
    with record.writing() as session:
        if not price_list_record.drop_link(session, link):
            raise NotFound(
                worded(
                    "{code} is not linked to {key} of {supplier}.",
                    code=link.code,
                    key=link.key,
                    supplier=link.supplier,
                ),
                worded("Look at its links."),
            )
        _log(session, "unlinked a part", link, None, who, now)


def part_row(catalogue: Catalogue, code: str, needs: tuple[str, ...] | None = None) -> PartsGroup:
    """The parts row of a code; where several have it, the one with those needs. Raises NotFound,
    and Conflict where the needs must be told."""
    rows = [row for row in catalogue.table("parts", PartsGroup) if row.id == code
            and (needs is None or row.needs == needs)]  # fmt: skip
    if not rows:
        raise NotFound(worded("The catalogue has no part {code!r}.", code=code),
                       worded("Look at its parts."))  # fmt: skip
    if len(rows) > 1:
        raise Conflict(
            worded("{code} stands in several rows: {needs}.", code=code,
                   needs=" / ".join(";".join(row.needs) or "-" for row in rows)),
            worded("Say which by what it needs."),
        )  # fmt: skip
    return rows[0]


def _with(
    session: Session, link: PartLink
) -> tuple[list[PartLink], dict[tuple[str, str], PricedItem]]:
    links, items = linked_now(session)
    found = price_list_record.priced_items(session, [(link.supplier, link.key)])
    if not found:
        raise _no_item(link)
    others = [one for one in links if (one.row, one.supplier, one.key)
              != (link.row, link.supplier, link.key)]  # fmt: skip
    return [*others, link], {**items, **found}


def _row(catalogue: Catalogue, link: PartLink) -> PartsGroup:
    return part_row(catalogue, link.code, link.needs)


def _no_item(link: PartLink) -> NotFound:
    return NotFound(
        worded("{supplier} has no item {key}.", supplier=link.supplier, key=link.key),
        worded("Search its items."),
    )


def _log(
    session: Session, act: str, link: PartLink, edition: Edition | None, who: Person, now: datetime
) -> None:
    append(session, at=now, who=who.name, act=act, subject=f"price list/{link.supplier}", after={
        "part": link.code, "needs": list(link.needs), "item": link.key,
        "quantity": str(link.quantity), "edition": edition.number if edition is not None else 0,
    })  # fmt: skip
