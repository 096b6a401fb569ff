"""Take a price list in, or take it back: all of it by one act each, or nothing."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.catalogue.changes import RowChange
from estimator.domain.catalogue.edition import PRICE_LIST, TAKEN_BACK, Edition
from estimator.domain.people import CATALOGUE, Person
from estimator.domain.price_list.compare import KINDS, Change
from estimator.domain.price_list.item import Item
from estimator.domain.price_list.taken import TakenList
from estimator.domain.problem import Place, Problem
from estimator.domain.wording import worded
from estimator.services.catalogue_editions import edition_changes
from estimator.services.collection_paused import collection_paused
from estimator.services.enrol_person import require
from estimator.services.errors import Conflict, NotFound, Refused
from estimator.services.keep_catalogue import keep_with, standing
from estimator.services.open_record import Record
from estimator.services.preview_price_list import ListPreview
from estimator.services.price_list_effect import Effect, effect_of
from estimator.storage import price_list_record
from estimator.storage.change_log import append

if TYPE_CHECKING:
    from estimator.storage.database import Session

SAME, LEFT, FAULTY = "same", "left", "faulty"


@dataclass(frozen=True, slots=True)
class Taken:
    """A list that was taken in, and what followed for the catalogue."""

    taken: TakenList
    effect: Effect


def price_lists(record: Record, supplier: str = "") -> tuple[TakenList, ...]:
    """Lists that were taken in (of one supplier), the newest first."""
    with record.reading() as session:
        return price_list_record.all_lists(session, supplier)


def take_price_list(
    record: Record,
    preview: ListPreview,
    chosen: Collection[str] | None,
    who: Person,
    now: datetime,
) -> Taken:
    """Take the changes whose keys are `chosen` (None: all but outliers and traps), and let the
    costs of linked parts follow in an edition of the catalogue.

    One transaction with its entries in the log. Raises NotAllowed, Refused where the list cannot be
    read, changes nothing, or leaves the catalogue with a fault, and Conflict where the supplier's
    items, links or the catalogue changed since the preview.
    """
    require(who, CATALOGUE)
    with collection_paused():
        return _take(record, preview, chosen, who, now)


def _take(
    record: Record, preview: ListPreview, chosen: Collection[str] | None, who: Person, now: datetime
) -> Taken:
    comparison = preview.comparison
    if comparison is None:
        raise Refused(worded("The price list {file}", file=preview.file), preview.faults)
    wanted = comparison.usual() if chosen is None else frozenset(chosen)
    changes = [change for change in comparison.changes if change.key in wanted]
    catalogue = standing(record).catalogue if preview.has_links else None
    effect = Effect() if catalogue is None else effect_of(preview, catalogue, wanted)
    costs = _followed(effect)
    if not changes and not costs:
        nothing = Problem("no-change", Place(preview.file), worded("Nothing of it is new."))
        raise Refused(worded("The price list {file}", file=preview.file), [nothing])
    confirmed = _confirmed(preview)
    made: list[TakenList] = []

    def write(session: Session, edition: Edition | None) -> None:
        made.append(_write(session, (preview, changes, confirmed, effect), edition, who, now))

    _in_one_act(record, (PRICE_LIST, _why(preview), who, now), costs, catalogue, write)
    return Taken(made[-1], effect)


def _why(preview: ListPreview) -> str:
    return f"price list {preview.file} of {preview.wish.supplier}, {preview.price_date}"


def _followed(effect: Effect) -> tuple[RowChange, ...]:
    """The parts rows that change."""
    return tuple(RowChange("parts", one.before, one.after)
                 for one in effect.costs if one.after is not None)  # fmt: skip


def _in_one_act(
    record: Record,
    told: tuple[str, str, Person, datetime],
    costs: tuple[RowChange, ...],
    catalogue: Catalogue | None,
    write: Callable[[Session, Edition | None], None],
) -> None:
    if costs and catalogue is not None:
        keep_with(record, costs, told, catalogue.fingerprint, also=write)
    else:
        with record.writing() as session:
            write(session, None)


def _confirmed(preview: ListPreview) -> list[Item]:
    """Linked items that stay as they are: they are kept with the list that says so."""
    keys = {link.key for link in preview.links if link.supplier == preview.wish.supplier}
    if not keys or preview.comparison is None:
        return []
    changed = {change.key for change in preview.comparison.changes}
    return [item for item in preview.items if item[0] in keys and item[0] not in changed]


def _write(
    session: Session,
    what: tuple[ListPreview, list[Change], list[Item], Effect],
    edition: Edition | None,
    who: Person,
    now: datetime,
) -> TakenList:
    preview, changes, confirmed, effect = what
    supplier = preview.wish.supplier
    if (
        price_list_record.state_of(session, supplier) != preview.state
        or price_list_record.all_links(session) != preview.links
    ):
        raise Conflict(
            worded("The items of {supplier} were changed by someone else meanwhile.",
                   supplier=supplier),
            worded("Look at the list again; nothing was taken."),
        )  # fmt: skip
    number = price_list_record.next_number(session)
    put = [change.new for change in changes if change.new is not None] + confirmed
    gone = [change.key for change in changes if change.new is None]
    stood = [change.key for change in changes if change.old is not None]
    stood += [item.key for item in confirmed]
    price_list_record.write_items(session, supplier, number, put, gone, stood, preview.standing)
    for before, after in effect.moved:
        price_list_record.move_link(session, before, after.key)
    price_list_record.keep_mapping(session, supplier, preview.mapping, who.name, now)
    taken = _taken(preview, changes, number, edition, who, now)
    price_list_record.add_list(session, taken, effect.moved)
    append(session, at=now, who=who.name, act="took a price list in",
           subject=f"price list/{supplier}", after=_said(taken, effect))  # fmt: skip
    return taken


def _taken(
    preview: ListPreview, changes: list[Change], number: int, edition: Edition | None,
    who: Person, now: datetime,
) -> TakenList:  # fmt: skip
    assert preview.comparison is not None
    counts = dict.fromkeys(KINDS, 0)
    for change in changes:
        counts[change.kind] += 1
    counts[SAME] = preview.comparison.same
    counts[LEFT] = len(preview.comparison.changes) - len(changes)
    counts[FAULTY] = preview.left_out
    return TakenList(
        number=number, supplier=preview.wish.supplier, file=preview.file, sha256=preview.sha256,
        sheet=preview.mapping.sheet, full=preview.wish.full, price_date=preview.price_date,
        taken_by=who.name, taken_at=now, counts=counts,
        edition=edition.number if edition is not None else 0,
    )  # fmt: skip


def _said(taken: TakenList, effect: Effect) -> dict[str, object]:
    return {
        "list": taken.number, "file": taken.file, "sha256": taken.sha256, "full": taken.full,
        "price_date": str(taken.price_date), "counts": dict(taken.counts),
        "edition": taken.edition,
        "moved": [f"{one.code}: {one.key} to {two.key}" for one, two in effect.moved],
    }  # fmt: skip


# Taking back


def undo_price_list(
    record: Record,
    number: int,
    who: Person,
    now: datetime,
) -> TakenList:
    """The supplier's items, links and the costs of parts as they were before a list.

    Raises NotAllowed, NotFound, and Conflict where it was undone already, where a later list of the
    supplier stands on it, or where a part's cost was changed again since.
    """
    require(who, CATALOGUE)
    with record.reading() as session:
        found = _undoable(session, number)
    back: tuple[RowChange, ...] = ()
    if found.edition:
        back = tuple(one.undone for one in reversed(edition_changes(record, found.edition)))

    def write(session: Session, edition: Edition | None) -> None:
        _undo(session, number, edition, who, now)

    why = f"price list {number} ({found.file}) undone"
    catalogue = standing(record).catalogue if back else None
    _in_one_act(record, (TAKEN_BACK, why, who, now), back, catalogue, write)
    with record.reading() as session:
        undone = price_list_record.list_numbered(session, number)
    assert undone is not None
    return undone


def _undoable(session: Session, number: int) -> TakenList:
    found = price_list_record.list_numbered(session, number)
    if found is None:
        raise NotFound(
            worded("There is no price list {number}.", number=number),
            worded("List those that were taken in."),
        )
    if not found.stands:
        raise Conflict(
            worded("Price list {number} was undone already, by {who}.",
                   number=number, who=found.undone_by), worded("Nothing was changed."))  # fmt: skip
    later = [one.number for one in price_list_record.all_lists(session, found.supplier)
             if one.stands and one.number > number]  # fmt: skip
    if later:
        raise Conflict(
            worded(
                "Price list {later} of {supplier} stands on list {number}.",
                later=min(later),
                supplier=found.supplier,
                number=number,
            ),
            worded("Undo the later one first."),
        )
    return found


def _undo(
    session: Session, number: int, edition: Edition | None, who: Person, now: datetime
) -> None:
    found = _undoable(session, number)
    price_list_record.bring_back(session, found)
    for link, before in price_list_record.moved_by(session, number):
        price_list_record.move_link(session, link, before)
    price_list_record.mark_undone(session, number, who.name, now)
    append(session, at=now, who=who.name, act="undid a price list",
           subject=f"price list/{found.supplier}",
           before={"list": number, "file": found.file, "sha256": found.sha256},
           after={"edition": edition.number if edition is not None else 0})  # fmt: skip
