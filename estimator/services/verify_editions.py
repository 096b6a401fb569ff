"""Editions of the catalogue against their hashes and the log: none changed, added or taken out."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from estimator.domain.catalogue.edition import FOLDER
from estimator.domain.record import LogEntry
from estimator.storage import edition_record

if TYPE_CHECKING:
    from estimator.storage.database import Session

CHANGED = "changed the catalogue"  # the act, as the log has it


def edition_faults(session: Session, log: list[LogEntry]) -> list[str]:
    """What is wrong with the editions."""
    told = {}
    for entry in log:
        if entry.act == CHANGED:
            said = json.loads(entry.after)
            told[said["edition"]] = entry, said
    faults: list[str] = []
    for one in edition_record.all_editions(session):
        title = f"edition {one.number} of the catalogue"
        hashes = edition_record.hashes_of(session, one.number)
        if not hashes.sound:
            faults.append(f"{title}: its rows or changes are not those that were kept")
        if one.kind == FOLDER:
            continue
        of = told.pop(one.number, None)
        if of is None:
            faults.append(f"{title}: the log knows of no such edition")
            continue
        entry, said = of
        kept = (said["fingerprint"], said["changes"], said["kept"], said["why"], entry.who)
        if kept != (one.fingerprint, hashes.changes, hashes.rows, one.why, one.who):
            faults.append(f"{title}: it is not what entry {entry.number} of the log tells")
    for number, (entry, _) in told.items():
        faults.append(
            f"edition {number} of the catalogue, which entry {entry.number} of the log tells of, "
            "is gone"
        )
    return faults
