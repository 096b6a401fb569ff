"""The verbs of price lists: look at one, take it in, take it back; items and their parts."""

from __future__ import annotations

import argparse
import datetime
import json
from collections.abc import Sequence
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING, Any

from estimator.command.acting import now, record_verb, who_acts
from estimator.command.answer import Options, answer
from estimator.command.columns import table
from estimator.command.price_list_output import (
    MOST_SHOWN,
    bad_option,
    cost_data,
    cost_lines,
    counts_text,
    item_data,
    list_data,
    preview_data,
    preview_text,
)
from estimator.services.errors import Refused

if TYPE_CHECKING:
    from estimator.domain.price_list.mapping import Mapping
    from estimator.services.open_record import Record
    from estimator.services.preview_price_list import ListPreview


def add_to(verbs: Any) -> None:
    """Add the verbs to the command line."""
    text = "show what a supplier's price list would change, without taking any of it"
    look = record_verb(verbs, "price-list-preview", preview, text, acts=False)
    _add_list(look)
    look.add_argument("--kind", help="show changes of this kind alone: new, outlier, gone ...")
    look.add_argument("--most", type=int, default=MOST_SHOWN, help="show no more than so many")
    take = record_verb(verbs, "take-price-list", take_list, "take a supplier's price list in")
    _add_list(take)
    take.add_argument(
        "--leave",
        action="append",
        default=[],
        metavar="KIND-OR-NUMBER",
        help="leave these changes: a kind, or a part number (may be said again)",
    )
    take.add_argument(
        "--also",
        action="append",
        default=[],
        metavar="KIND-OR-NUMBER",
        help="take these too, which are left otherwise: outlier, unit, currency",
    )
    undo = record_verb(verbs, "undo-price-list", undo_list, "take a whole price list back")
    undo.add_argument("number", type=int, help="number of the list, as price-lists shows it")
    lists = record_verb(
        verbs, "price-lists", show_lists, "list the price lists taken in", acts=False
    )
    lists.add_argument("--supplier", default="", help="of this supplier alone")
    link = record_verb(
        verbs, "link-part", link_part, "let a part cost what a supplier's item costs"
    )
    link.add_argument("part", help="code of the part in the catalogue")
    link.add_argument("supplier", help="code of the supplier")
    link.add_argument("number", help="part number of the item")
    link.add_argument("--quantity", default="1", help="how many of it go into one part")
    link.add_argument(
        "--needs", help='what the part\'s row needs, "tracks;slew", where several are'
    )
    link.add_argument("--off", action="store_true", help="link it no more; the cost stays")
    items = record_verb(verbs, "supplier-items", show_items, "search suppliers' items", acts=False)
    items.add_argument("words", nargs="*", help="words of number or description")
    items.add_argument("--supplier", default="", help="of this supplier alone")
    items.add_argument("--most", type=int, default=50, help="show no more than so many")


def _add_list(one: argparse.ArgumentParser) -> None:
    one.add_argument("supplier", help="code of the supplier in the catalogue")
    one.add_argument("file", type=Path, help="the list: .xlsx, .xlsm or CSV")
    one.add_argument(
        "--part-of-it",
        action="store_true",
        help="the list does not hold all the supplier sells: nothing is gone",
    )
    one.add_argument("--sheet", default="", help="sheet of the workbook")
    one.add_argument("--date", help="day of the prices, like 2026-11-30")
    one.add_argument(
        "--mapping", type=Path, help="JSON: which column holds what, as shown by --json"
    )
    one.add_argument("--currency", help="currency where no column says it")
    one.add_argument("--decimal", choices=(".", ","), help="decimal mark of prices that are text")
    one.add_argument("--before-tax", action="store_true",
                     help="the prices are before tax, though a head speaks of tax")  # fmt: skip


def preview(options: Options) -> None:
    """Show what a list would change."""
    from estimator.services.keep_catalogue import working_catalogue
    from estimator.services.open_record import open_record
    from estimator.services.price_list_effect import effect_of

    with open_record(options.record, now()) as record:
        found = _preview(record, options)
        catalogue = working_catalogue(record)
    usual = found.comparison.usual() if found.comparison is not None else frozenset()
    effect = effect_of(found, catalogue, usual)
    answer(options, preview_data(found, effect, options), preview_text(found, effect, options))


def _preview(record: Record, options: Options) -> ListPreview:
    """The preview as the options ask for it. Raises Refused where the list cannot be read."""
    from dataclasses import replace

    from estimator.services.keep_catalogue import working_catalogue
    from estimator.services.preview_price_list import (
        ListWish,
        open_list_file,
        preview_price_list,
    )

    at, catalogue = now(), working_catalogue(record)
    wish = ListWish(
        options.supplier, not options.part_of_it, _mapping(options), options.sheet, _day(options)
    )
    file = open_list_file(options.file)
    found = preview_price_list(record, catalogue, file, wish, at.date())
    said = {"currency": options.currency, "decimal": options.decimal,
            "before_tax": options.before_tax}  # fmt: skip
    if any(said.values()):
        mapping = replace(found.mapping, **{name: one for name, one in said.items() if one})
        found = preview_price_list(
            record, catalogue, file, replace(wish, mapping=mapping), at.date()
        )
    if found.comparison is None:
        raise Refused(f"The price list {found.file}", found.faults)
    return found


def _mapping(options: Options) -> Mapping | None:
    from estimator.domain.price_list.mapping import mapping_from

    if options.mapping is None:
        return None
    try:
        return mapping_from(json.loads(options.mapping.read_text(encoding="utf-8")))
    except (OSError, KeyError, TypeError, ValueError, InvalidOperation) as error:
        raise bad_option(str(options.mapping), f"is no mapping ({error!r:.80}).") from error


def _day(options: Options) -> datetime.date | None:
    try:
        return datetime.date.fromisoformat(options.date) if options.date else None
    except ValueError as error:
        raise bad_option("--date", f"{options.date} is no day like 2026-11-30.") from error


def take_list(options: Options) -> None:
    """Take a list in."""
    from estimator.services.open_record import open_record
    from estimator.services.take_price_list import take_price_list

    at = now()
    with open_record(options.record, at) as record:
        who = who_acts(record, options)
        found = _preview(record, options)
        taken = take_price_list(record, found, _chosen(found, options), who, at)
    data = {**list_data(taken.taken), "linked": [cost_data(one) for one in taken.effect.costs]}
    answer(options, data, "\n".join([
        f"Price list {taken.taken.number} of {taken.taken.supplier} is taken in: "
        f"{counts_text(taken.taken.counts)}.",
        *cost_lines(taken.effect.costs),
    ]))  # fmt: skip


def _chosen(found: ListPreview, options: Options) -> frozenset[str]:
    """Keys of the changes to take: the usual ones, less those left, and those asked for."""
    from estimator.domain.price_list.compare import KINDS
    from estimator.domain.price_list.item import part_key

    assert found.comparison is not None
    changes = found.comparison.changes
    keys = {change.key for change in changes}

    def named(words: Sequence[str]) -> set[str]:
        kinds = {word for word in words if word in KINDS}
        numbers = {part_key(word) for word in words if word not in KINDS}
        if lost := numbers - keys:
            raise bad_option(found.file, f"changes no part {', '.join(sorted(lost))}.")
        return numbers | {change.key for change in changes if change.kind in kinds}

    return frozenset((found.comparison.usual() | named(options.also)) - named(options.leave))


def undo_list(options: Options) -> None:
    """Take a list back."""
    from estimator.services.open_record import open_record
    from estimator.services.take_price_list import undo_price_list

    at = now()
    with open_record(options.record, at) as record:
        undone = undo_price_list(record, options.number, who_acts(record, options), at)
    answer(options, list_data(undone), f"Price list {undone.number} ({undone.file}) is undone.")


def show_lists(options: Options) -> None:
    """List the lists taken in."""
    from estimator.services.open_record import open_record
    from estimator.services.take_price_list import price_lists

    with open_record(options.record, now()) as record:
        found = price_lists(record, options.supplier)
    heads = ("list", "supplier", "file", "prices of", "taken by", "taken", "undone by")
    rows = [(str(one.number), one.supplier, one.file, str(one.price_date), one.taken_by,
             counts_text(one.counts), one.undone_by) for one in found]  # fmt: skip
    text = table(heads, rows) if rows else "No price list was taken in yet."
    answer(options, [list_data(one) for one in found], text)


def link_part(options: Options) -> None:
    """Let a part cost what an item costs, or no more."""
    from estimator.domain.price_list.item import part_key
    from estimator.domain.price_list.linked import PartLink
    from estimator.services import link_parts
    from estimator.services.keep_catalogue import working_catalogue
    from estimator.services.open_record import open_record

    at = now()
    needs = None if options.needs is None else tuple(filter(None, options.needs.split(";")))
    try:
        quantity = Decimal(options.quantity)
    except InvalidOperation as error:
        raise bad_option("--quantity", f"{options.quantity} is no number.") from error
    with open_record(options.record, at) as record:
        who = who_acts(record, options)
        row = link_parts.part_row(working_catalogue(record), options.part, needs)
        link = PartLink(row.id, row.needs, options.supplier, part_key(options.number), quantity)
        if options.off:
            link_parts.unlink_part(record, link, who, at)
            answer(options, {"part": row.id, "linked": False}, f"{row.id} is linked no more.")
            return
        cost = link_parts.link_part(record, link, who, at)
    data = {"part": row.id, "linked": True, "cost": None if cost is None else cost_data(cost)}
    lines = cost_lines(() if cost is None else (cost,))
    answer(options, data, "\n".join([f"{row.id} is linked to {options.number}.", *lines]))


def show_items(options: Options) -> None:
    """Search items."""
    from estimator.services.link_parts import find_items
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        found = find_items(record, " ".join(options.words), options.supplier, max(options.most, 1))
    data = [
        {
            "supplier": one.supplier,
            **item_data(one.item),
            "list": one.list_number,
            "price_date": str(one.price_date),
            "parts": list(one.parts),
        }
        for one in found
    ]
    rows = [(one.supplier, one.item.cells.number, one.item.cells.description, str(one.item.price),
             one.item.cells.per, one.item.cells.unit, str(one.price_date), " ".join(one.parts))
            for one in found]  # fmt: skip
    heads = ("supplier", "number", "description", "price", "per", "unit", "of", "parts")
    answer(options, data, table(heads, rows) if rows else "No item has these words.")
