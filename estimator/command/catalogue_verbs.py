"""The verbs of the catalogue in the record: its editions, files out and in, and acts on many rows.

A catalogue that is named by --catalogue goes before the record's, as with every verb.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING, Any

from estimator.command.acting import now, record_verb, who_acts
from estimator.command.answer import Options, answer
from estimator.command.columns import table

if TYPE_CHECKING:
    from estimator.domain.catalogue.catalogue import Catalogue
    from estimator.domain.catalogue.changes import RowChange
    from estimator.domain.catalogue.edition import Edition
    from estimator.services.open_record import Record

_MOST_SHOWN = 60


def working(record: Record, options: Options) -> Catalogue:
    """The catalogue a verb works with: the folder it was told, else the record's newest edition."""
    from estimator.services.keep_catalogue import working_catalogue

    return working_catalogue(record, options.catalogue)


def add_to(verbs: Any) -> None:
    """Add the verbs to the command line."""
    text = "list the editions of the catalogue that the record keeps"
    record_verb(verbs, "catalogue-editions", list_editions, text, acts=False)
    text = "show what differs between two editions, column by column"
    comparing = record_verb(verbs, "compare-editions", compare, text, acts=False)
    comparing.add_argument("one", type=int, help="number of the edition before")
    comparing.add_argument("other", type=int, help="number of the edition after")
    text = "write the catalogue as the CSV files it is made of"
    exporting = record_verb(verbs, "export-catalogue", export, text, acts=False)
    exporting.add_argument("folder", type=Path, help="folder to write to")
    exporting.add_argument("--replace", action="store_true", help="replace files that are there")
    text = "take a catalogue folder, or the file of one table, in as an edition"
    importing = record_verb(verbs, "import-catalogue", import_files, text)
    importing.add_argument("path", type=Path, help="folder, or a file like parts.csv")
    importing.add_argument("--keep-missing", action="store_true",
                           help="rows that a file lacks stay")  # fmt: skip
    importing.add_argument("--preview", action="store_true", help="show the changes, keep nothing")
    _why(importing)
    _add_acts(verbs)


def _add_acts(verbs: Any) -> None:
    text = "multiply hours or costs of the catalogue by a factor, as the workshop's own values"
    adjusting = record_verb(verbs, "adjust-catalogue", adjust, text)
    adjusting.add_argument("what", choices=("hours", "costs", "adopt"),
                           help="what is multiplied; adopt: taken on as it stands")  # fmt: skip
    adjusting.add_argument("factor", type=_number, nargs="?", default=Decimal(1))
    for name, said in (("table", "only this table"), ("class", "only rows that this class sees"),
                       ("with", "only rows with these words")):  # fmt: skip
        adjusting.add_argument(f"--{name}", dest=f"only_{name}", default="", help=said)
    _why(adjusting)
    scaling = record_verb(verbs, "scale-class", scale, "add a machine class scaled from a like one")
    scaling.add_argument("like", help="class to scale from, like WL28")
    scaling.add_argument("id", help="code of the new class")
    scaling.add_argument("type", help="its term, like 'wheel loader'")
    for name in ("mass", "power", "price-low", "price-likely", "price-high"):
        scaling.add_argument(f"--{name}", type=_number, required=True)
    _why(scaling)
    text = "undo all that an edition of the catalogue changed, as a new edition"
    back = record_verb(verbs, "take-back-edition", take_back, text)
    back.add_argument("number", type=int, help="number of the edition")
    _why(back)


def _why(verb: Any) -> None:
    verb.add_argument("--why", required=True, help="reason, kept on record")


def _number(text: str) -> Decimal:
    try:
        return Decimal(text)
    except InvalidOperation:
        raise ValueError(text) from None


def list_editions(options: Options) -> None:
    """List the editions, and say where the folder was changed since."""
    from estimator.services.catalogue_editions import editions, folder_news
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        found = editions(record)
        news = folder_news(record, options.catalogue)
    rows = [
        (str(one.number), one.version, f"{one.at:%Y-%m-%d %H:%M}", one.kind, one.who,
         str(one.rows), one.why)
        for one in found
    ]  # fmt: skip
    told = [table(("No", "Version", "Made (UTC)", "Kind", "By", "Rows", "Why"), rows)]
    if not found:
        told = ["The catalogue is the folder's: no edition was kept yet."]
    if news is not None:
        told.append(f"The folder was changed since: {len(news.changes)} rows to take in, "
                    f"{len(news.clashes)} that the workshop changed too.")  # fmt: skip
    data = {
        "editions": [_edition_data(one) for one in found],
        "folder_changes": 0 if news is None else len(news.changes),
        "folder_clashes": 0 if news is None else len(news.clashes),
    }
    answer(options, data, "\n".join(told))


def compare(options: Options) -> None:
    """Show what differs."""
    from estimator.services.catalogue_editions import compare_editions
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        changes = compare_editions(record, options.one, options.other)
    answer(options, {"changes": _changes_data(changes)}, _changes_text(changes))


def export(options: Options) -> None:
    """Write the files."""
    from estimator.services.catalogue_exchange import export_catalogue
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        made = export_catalogue(
            record, options.folder.absolute(), replace_files=options.replace,
            source=options.catalogue,
        )  # fmt: skip
    answer(options, {"files": [str(one) for one in made]},
           f"{len(made)} files written to {options.folder}.")  # fmt: skip


def import_files(options: Options) -> None:
    """Take files in."""
    from estimator.services.catalogue_exchange import import_catalogue, keep_import
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        who = who_acts(record, options)
        found = import_catalogue(record, options.path, complete=not options.keep_missing)
        if options.preview or not found.changes:
            data = {"edition": None, "changes": _changes_data(found.changes)}
            answer(options, data, _changes_text(found.changes))
            return
        edition = keep_import(record, found, options.why, who, now())
    _tell(options, edition)


def adjust(options: Options) -> None:
    """Multiply, or adopt."""
    from estimator.services.catalogue_acts import Choice, adjust_catalogue, adopt_rows
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        who = who_acts(record, options)
        choice = Choice(options.only_table, options.only_with, options.only_class)
        if options.what == "adopt":
            edition = adopt_rows(record, choice, options.why, who, now())
        else:
            edition = adjust_catalogue(
                record, choice, options.what, options.factor, options.why, who, now()
            )
    _tell(options, edition)


def scale(options: Options) -> None:
    """Add a class."""
    from estimator.domain.catalogue.new_class import WantedClass
    from estimator.services.catalogue_acts import scale_class
    from estimator.services.open_record import open_record

    at = now()
    wanted = WantedClass(
        options.id, options.type, options.mass, options.power, options.price_low,
        options.price_likely, options.price_high, at.date(),
    )  # fmt: skip
    with open_record(options.record, at) as record:
        who = who_acts(record, options)
        edition = scale_class(record, options.like, wanted, options.why, who, at)
    _tell(options, edition)


def take_back(options: Options) -> None:
    """Undo an edition."""
    from estimator.services.catalogue_editions import take_back as service
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        who = who_acts(record, options)
        edition = service(record, options.number, options.why, who, now())
    _tell(options, edition)


def _tell(options: Options, edition: Edition) -> None:
    said = f"Edition {edition.number} ({edition.version}) is kept: {edition.rows} rows."
    answer(options, {"edition": _edition_data(edition)}, said)


def _edition_data(one: Edition) -> dict[str, object]:
    return {
        "number": one.number, "version": one.version, "fingerprint": one.fingerprint,
        "based_on": one.based_on, "kind": one.kind, "at": one.at.isoformat(), "who": one.who,
        "why": one.why, "rows": one.rows,
    }  # fmt: skip


def _changes_data(changes: Sequence[RowChange]) -> list[dict[str, object]]:
    from estimator.domain.catalogue.changes import field_changes

    return [
        {
            "table": one.table, "code": one.key[1], "needs": list(one.key[2]),
            "act": _act(one),
            "fields": {
                f.column: [f.before, f.after] for f in field_changes(one.before, one.after)
            },
        }
        for one in changes
    ]  # fmt: skip


def _act(change: RowChange) -> str:
    if change.before is None:
        return "added"
    return "changed" if change.after is not None else "taken out"


def _changes_text(changes: Sequence[RowChange]) -> str:
    from estimator.domain.catalogue.changes import field_changes

    if not changes:
        return "Nothing differs."
    rows = []
    for one in changes[:_MOST_SHOWN]:
        head = (one.table, one.key[1], _act(one))
        if one.before is None or one.after is None:
            rows.append((*head, "", ""))
            continue
        rows += [
            (*head, f.column, f"{f.before or '-'} -> {f.after or '-'}")
            for f in field_changes(one.before, one.after)
        ]
    said = table(("Table", "Code", "", "Column", "Before -> after"), rows)
    left = len(changes) - _MOST_SHOWN
    return said if left <= 0 else f"{said}\n{left} more rows."
