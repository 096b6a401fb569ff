"""Look at a supplier's price list: how it is read, and every change it would make, before any of it
is taken."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.catalogue.rows import Supplier
from estimator.domain.price_list.compare import Comparison, compared
from estimator.domain.price_list.item import Item, Plain
from estimator.domain.price_list.linked import PartLink, PricedItem
from estimator.domain.price_list.mapping import Mapping as ColumnMapping
from estimator.domain.problem import Place, Problem, errors_in
from estimator.domain.wording import worded
from estimator.intake.price_list_heads import fitted, proposed_mapping, with_heads
from estimator.intake.price_list_rows import ListRead, groups_in, read_list
from estimator.intake.price_list_table import PriceTable, read_price_table
from estimator.services.collection_paused import collection_paused
from estimator.services.errors import NotFound, Refused
from estimator.services.open_record import Record
from estimator.storage import price_list_record

if TYPE_CHECKING:
    from estimator.storage.database import Session

Progress = Callable[[str], None]
ASKED = 1_000  # items by which a supplier's usual currency is told
SHOWN_ROWS = 20  # of the file, from which columns are chosen
MOST_GROUPS = 200  # more are no discount groups: another column was chosen


@dataclass(frozen=True, slots=True)
class ListFile:
    """A file as it was read from disk."""

    name: str
    data: bytes

    @property
    def sha256(self) -> str:
        """SHA-256 of its bytes."""
        return hashlib.sha256(self.data).hexdigest()


@dataclass(frozen=True, slots=True)
class ListWish:
    """How a list is to be read. `mapping` None: as the supplier's lists were read before, else by
    the words of its heads. `price_date` None: the one day all its rows name, else today."""

    supplier: str
    full: bool = True
    mapping: ColumnMapping | None = None
    sheet: str = ""
    price_date: date | None = None


@dataclass(frozen=True, slots=True)
class ListPreview:
    """A list beside the supplier's items. `comparison` is None where it cannot be read: `problems`
    says why, and `table` and `mapping` are what can be chosen anew. `remembered`: the mapping was
    kept from an earlier list. Nothing was written."""

    wish: ListWish
    file: str
    sha256: str
    table: PriceTable | None
    mapping: ColumnMapping
    remembered: bool
    price_date: date
    problems: tuple[Problem, ...]
    rows: int = 0
    left_out: int = 0
    items: tuple[Item, ...] = ()
    comparison: Comparison | None = None
    state: tuple[int, int] = (0, 0)
    standing: int = 0  # items of the supplier before
    links: tuple[PartLink, ...] = ()
    linked: Mapping[tuple[str, str], PricedItem] | None = None
    already: int = 0  # number of a standing list with these very bytes, 0 for none

    @property
    def faults(self) -> list[Problem]:
        """Faults alone."""
        return errors_in(self.problems)

    @property
    def has_links(self) -> bool:
        """Whether any part is linked to an item of the supplier."""
        return any(link.supplier == self.wish.supplier for link in self.links)

    @property
    def top_rows(self) -> list[list[object]]:
        """The first rows of the sheet, for choosing columns."""
        return [] if self.table is None else [list(row) for row in self.table.rows[:SHOWN_ROWS]]


def discount_groups(found: ListPreview, mapping: ColumnMapping) -> tuple[str, ...]:
    """The discount groups that a list names where it is read with a mapping, as they come; none
    where no column holds them."""
    return () if found.table is None else groups_in(found.table, mapping)[:MOST_GROUPS]


def open_list_file(path: Path) -> ListFile:
    """Read a list's file. Raises Refused."""
    try:
        return ListFile(path.name, path.read_bytes())
    except OSError as error:
        fault = Problem("file-unreadable", Place(path.name), worded(
            "cannot be read ({reason}).", reason=error.strerror or "?"))  # fmt: skip
        raise Refused(worded("The price list"), [fault]) from error


def list_suppliers(catalogue: Catalogue) -> tuple[Supplier, ...]:
    """Suppliers that sell parts."""
    return tuple(one for one in catalogue.table("suppliers", Supplier) if one.kind == "parts")


def preview_price_list(
    record: Record,
    catalogue: Catalogue,
    file: ListFile,
    wish: ListWish,
    today: date,
    progress: Progress = lambda _what: None,
) -> ListPreview:
    """What a list would change. Raises NotFound where the catalogue has no such supplier of parts;
    faults of the file are in `problems`."""
    if wish.supplier not in {one.id for one in list_suppliers(catalogue)}:
        raise NotFound(
            worded("The catalogue has no supplier {code!r} of parts.", code=wish.supplier),
            worded("Choose one that it has, or add it to the catalogue."),
        )
    with collection_paused():
        return _preview(record, file, wish, today, progress)


def _preview(
    record: Record, file: ListFile, wish: ListWish, today: date, progress: Progress
) -> ListPreview:
    progress(worded("Reading the list"))
    with record.reading() as session:
        kept = price_list_record.mapping_of(session, wish.supplier)
    table, problems = read_price_table(
        file.name, file.data, wish.sheet or _sheet_of(wish), "" if kept is None else kept.sheet
    )
    if table is None:
        return ListPreview(wish, file.name, file.sha256, None, wish.mapping or ColumnMapping(),
                           False, wish.price_date or today, tuple(problems))  # fmt: skip
    mapping, remembered, notes = _mapping(wish, table, kept)
    mapping = with_heads(mapping, table)
    bare = ListPreview(wish, file.name, file.sha256, table, mapping, remembered,
                       wish.price_date or today, (*problems, *notes))  # fmt: skip
    if errors_in(notes):
        return bare
    progress(worded("Checking every row"))
    read = read_list(table, mapping)
    bare = replace(bare, problems=(*read.problems, *notes), rows=read.rows, left_out=read.left_out)
    if not read.items:
        return bare
    progress(worded("Comparing with what stands"))
    return _beside_items(record, bare, read, today)


def _sheet_of(wish: ListWish) -> str:
    return wish.mapping.sheet if wish.mapping is not None else ""


def _mapping(
    wish: ListWish, table: PriceTable, kept: ColumnMapping | None
) -> tuple[ColumnMapping, bool, list[Problem]]:
    """(how it is read, whether that was kept, what of it fits no more)."""
    if wish.mapping is not None:
        return wish.mapping, False, []
    proposed = proposed_mapping(table)
    if kept is None:
        return proposed, False, []
    mapping, notes = fitted(kept, table)
    return (proposed, False, notes) if errors_in(notes) else (mapping, True, notes)


def _beside_items(record: Record, bare: ListPreview, read: ListRead, today: date) -> ListPreview:
    supplier = bare.wish.supplier
    with record.reading() as session:
        old = price_list_record.items_by_key(session, supplier)
        state = price_list_record.state_of(session, supplier)
        links, linked = linked_now(session)
        lists = price_list_record.all_lists(session, supplier)
    comparison = compared(
        old, read.items, full=bare.wish.full, currency=_usual(old), faulty=read.faulty_keys,
        supersedes=read.supersedes,
    )  # fmt: skip
    own_day = (
        _one_day(read.items[:1], read.items[-1:]) if bare.mapping.column("valid_from") else None
    )
    same = next((one.number for one in lists if one.stands and one.sha256 == bare.sha256), 0)
    return replace(
        bare,
        price_date=bare.wish.price_date or own_day or today,
        items=tuple(read.items),
        comparison=comparison,
        state=state,
        standing=len(old),
        links=links,
        linked=linked,
        already=same,
    )


def linked_now(
    session: Session,
) -> tuple[tuple[PartLink, ...], dict[tuple[str, str], PricedItem]]:
    """Every link, and the items linked."""
    links = price_list_record.all_links(session)
    wanted = dict.fromkeys((link.supplier, link.key) for link in links)
    return links, price_list_record.priced_items(session, wanted)


def _usual(old: Mapping[str, Plain]) -> str:
    """The currency most of a supplier's items are in; "" where there are none."""
    some = Counter(Item._make(row).cells.currency for row in islice(old.values(), ASKED))
    return some.most_common(1)[0][0] if some else ""


def _one_day(first: list[Item], last: list[Item]) -> date | None:
    days = {item.cells.valid_from for item in (*first, *last)} - {""}
    return date.fromisoformat(days.pop()) if len(days) == 1 else None
