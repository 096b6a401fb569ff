"""Keep changes of the catalogue as editions in the record. What was issued keeps its own."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.catalogue.changes import (
    RowChange,
    RowsMoved,
    applied,
    same,
)
from estimator.domain.catalogue.check import check_catalogue
from estimator.domain.catalogue.edition import EDITED, FOLDER, Edition
from estimator.domain.catalogue.standing_for import needs_release
from estimator.domain.people import CATALOGUE, RELEASE, Person, roles_for
from estimator.domain.problem import Place, Problem, errors_in
from estimator.domain.wording import joined, worded
from estimator.intake.plain_text import hidden_sign
from estimator.services.catalogue_rows import faults_in_cells
from estimator.services.enrol_person import require
from estimator.services.errors import Conflict, NotAllowed, Refused
from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_record import Record
from estimator.services.verify_editions import CHANGED
from estimator.storage import edition_record
from estimator.storage.change_log import append

if TYPE_CHECKING:
    from estimator.storage.database import Session

SUBJECT = "catalogue"
_MOST_TRIES = 5  # another edition may come in while the catalogue is checked
_MOST_NAMED = 5
_LOGGED = 20  # rows that a line of the log names


@dataclass(frozen=True, slots=True)
class Standing:
    """The catalogue that is worked with, and the edition it is: None where it is the folder's."""

    catalogue: Catalogue
    edition: Edition | None

    @property
    def number(self) -> int:
        """Number of the edition; 0 before any was kept."""
        return self.edition.number if self.edition is not None else 0


def working_catalogue(
    record: Record,
    folder: Path | None = None,
    supplied: Callable[[], Catalogue] | None = None,
) -> Catalogue:
    """The catalogue to work with: that of a folder the user names, else the newest edition kept in
    the record, else the one that comes with the program (`supplied`).

    Raises Refused with every fault of a folder, NotOpened where the record is damaged.
    """
    return open_catalogue(folder) if folder is not None else standing(record, supplied).catalogue


def standing(record: Record, supplied: Callable[[], Catalogue] | None = None) -> Standing:
    """The newest edition kept in the record, else the catalogue that comes with the program."""
    with record.reading() as session:
        edition = edition_record.newest_edition(session)
        if edition is not None:
            return Standing(edition_record.catalogue_of(session, edition.number), edition)
    return Standing((supplied or open_catalogue)(), None)


def keep_edition(
    record: Record,
    changes: Iterable[RowChange],
    why: str,
    who: Person,
    now: datetime,
    based_on: str,
    kind: str = EDITED,
    folder: Catalogue | None = None,
) -> Edition:
    """Keep changes as a new edition, with a reason. `based_on` is the fingerprint of the catalogue
    they were made on; where another edition came since, both stand unless they touch one row.
    `folder` is a folder's catalogue whose rows the changes take in.

    One transaction with its entry in the log. Raises NotAllowed, Refused with every fault of the
    reason and of the whole catalogue as it would be, Conflict.
    """
    return keep_with(record, changes, (kind, why, who, now), based_on, folder)


def keep_with(
    record: Record,
    changes: Iterable[RowChange],
    told: tuple[str, str, Person, datetime],
    based_on: str,
    folder: Catalogue | None = None,
    also: Callable[[Session, Edition], None] | None = None,
) -> Edition:
    """As `keep_edition`, `told` being its kind, reason, person and time; what `also` writes stands
    in the same transaction: where it raises, nothing is kept."""
    kind, why, who, now = told
    require(who, CATALOGUE)
    wanted = tuple(one for one in changes if not same(one.before, one.after))
    _may_stand_for(who, wanted)
    reason = checked_reason(why)
    _refuse(faults_in_cells(wanted))
    if not wanted:
        raise Refused(
            worded("Catalogue"), [Problem("no-change", Place(), worded("Nothing changes."))]
        )
    for _ in range(_MOST_TRIES):
        before = standing(record)
        after = _changed(before, wanted, based_on, folder)
        kept = _kept(record, before, after, wanted, (kind, reason, who, now), folder, also)
        if kept is not None:
            return kept
    raise Conflict(worded("Others keep changing the catalogue."), worded("Try again in a moment."))


def _may_stand_for(who: Person, changes: Sequence[RowChange]) -> None:
    """Confirming a translation, and a chance that is a starting value no more, let quotes out that
    were withheld: whoever may release stands for them, here as by adopting. Raises NotAllowed."""
    found = needs_release(changes)
    if found and not who.may(RELEASE):
        rows = joined([worded("{table}: {code}", table=one.table, code=one.key[1])
                       for one in found[:_MOST_NAMED]])  # fmt: skip
        raise NotAllowed(
            worded("{rows}: {name} may not confirm a translation, nor say that a chance is no "
                   "starting value.", rows=rows, name=who.name),
            worded("That is for: {roles}.", roles=roles_for(RELEASE)),
        )  # fmt: skip


def checked_reason(why: str) -> str:
    """A reason in one line. Raises Refused where it is blank or holds signs nobody sees."""
    reason = " ".join(why.split())
    if fault := hidden_sign(why) if reason else worded("is blank."):
        raise Refused(
            worded("Catalogue"),
            [Problem("no-reason", Place(column="why"), fault, worded("Say why in a few words."))],
        )
    return reason


def faults_after(catalogue: Catalogue, changes: Sequence[RowChange]) -> list[Problem]:
    """What would be wrong with the catalogue once the changes are made; faults that it has already
    are left out. Raises Conflict where a row is not as it was taken to be."""
    if faults := faults_in_cells(changes):
        return faults
    try:
        return new_faults(catalogue, applied(catalogue, changes))
    except RowsMoved as moved:
        raise _conflict(moved, "") from moved


def new_faults(before: Catalogue, after: Catalogue) -> list[Problem]:
    """Faults of `after` that `before` does not have: checks may have grown since it was kept."""
    found = errors_in(check_catalogue(after))
    if not found:
        return []
    known = {_told(one) for one in check_catalogue(before)}
    return [one for one in found if _told(one) not in known]


def _told(problem: Problem) -> tuple[str, str, str, str]:
    return problem.code, problem.place.file, problem.place.column, str(problem.message)


def _changed(
    before: Standing, changes: Sequence[RowChange], based_on: str, folder: Catalogue | None
) -> Catalogue:
    version = folder.version if folder is not None else _base_version(before)
    number = max(before.number, 1) + 1  # the folder's own rows are the first
    try:
        after = applied(before.catalogue, changes, version=f"{version}.{number}")
    except ValueError as error:  # a figure of the workshop that is none
        raise Refused(
            worded("Catalogue"), [Problem("bad-setting", Place("catalogue.toml"), str(error))]
        ) from error
    except RowsMoved as moved:
        late = before.edition is not None and before.catalogue.fingerprint != based_on
        raise _conflict(moved, before.edition.who if late and before.edition else "") from moved
    _refuse(new_faults(before.catalogue, after))
    return after


def _base_version(before: Standing) -> str:
    """The version of the folder, without the number of an edition."""
    version = before.catalogue.version
    return version.removesuffix(f".{before.number}") if before.number > 1 else version


def _refuse(problems: Sequence[Problem]) -> None:
    if problems:
        raise Refused(worded("Catalogue"), problems)


def _conflict(moved: RowsMoved, who: str) -> Conflict:
    rows = joined(
        [worded("{table}: {code}", table=change.table, code=change.key[1])
         for change, _ in moved.found[:_MOST_NAMED]]
    )  # fmt: skip
    if who:
        said = worded("{name} changed the same rows meanwhile: {rows}.", name=who, rows=rows)
    else:
        said = worded("These rows are not as they were: {rows}.", rows=rows)
    return Conflict(said, worded("Look at them as they are now, then change them."))


def _kept(
    record: Record,
    before: Standing,
    after: Catalogue,
    changes: Sequence[RowChange],
    told: tuple[str, str, Person, datetime],
    folder: Catalogue | None,
    also: Callable[[Session, Edition], None] | None = None,
) -> Edition | None:
    """Write an edition; None where another came in since `before` was read."""
    kind, why, who, now = told
    # Made before the record is locked: others may write meanwhile.
    parts = edition_record.packed(changes), edition_record.packed_rows(after)
    source = folder or (before.catalogue if before.edition is None else None)
    source_rows = edition_record.packed_rows(source) if source is not None else None
    with record.writing() as session:
        newest = edition_record.newest_edition(session)
        if (newest.number if newest else 0) != before.number:
            return None
        if newest is None:
            newest = _keep_first(session, before.catalogue, now)
        edition = Edition(
            newest.number + 1, after.version, after.fingerprint, newest.number, kind, now,
            who.name, why, len(changes), folder.fingerprint if folder else newest.folder,
        )  # fmt: skip
        name = edition_record.folder_kept(session, newest.number)
        if folder is not None and source_rows is not None:
            name = edition_record.keep_rows(session, folder.version, source_rows)
        edition_record.add_edition(session, edition, *parts, name)
        append(session, at=now, who=who.name, act=CHANGED, subject=SUBJECT,
               before={"edition": newest.number, "fingerprint": newest.fingerprint},
               after=_said(edition, changes, (parts[0][1], parts[1].name)))  # fmt: skip
        if also is not None:
            also(session, edition)
    return edition


def _keep_first(session: Session, catalogue: Catalogue, now: datetime) -> Edition:
    """Keep the folder as it is before anybody changes a row: edition 1, made by nobody."""
    first = Edition(
        1, catalogue.version, catalogue.fingerprint, 0, FOLDER, now, "", "", 0,
        catalogue.fingerprint,
    )  # fmt: skip
    rows = edition_record.packed_rows(catalogue)
    edition_record.add_edition(session, first, edition_record.packed(()), rows, rows.name)
    return first


def _said(
    edition: Edition, changes: Sequence[RowChange], hashes: tuple[str, str]
) -> dict[str, object]:
    """What the log tells of an edition: its rows by name, and the hashes that hold them."""
    named = [f"{one.table}/{one.key[1]}" for one in changes[:_LOGGED]]
    return {
        "edition": edition.number, "kind": edition.kind, "why": edition.why,
        "fingerprint": edition.fingerprint, "rows": edition.rows, "named": named,
        "changes": hashes[0], "kept": hashes[1],
    }  # fmt: skip
