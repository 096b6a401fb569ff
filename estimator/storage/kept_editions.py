"""Catalogue editions in the record: each text and each table once, under the name of its bytes."""

from __future__ import annotations

import hashlib
import json
import zlib

import sqlalchemy as sa
from sqlalchemy.orm import Session

from estimator.storage.catalogue_codec import Edition, Packed, edition_of
from estimator.storage.contract_record import CATALOGUES

_TABLE = "table"  # stands for a version where the row is no edition but a table of some


def keep(session: Session, version: str, edition: Packed) -> str:
    """Keep an edition and the tables that are not there yet; the name it is kept under."""
    run = session.connection().execute
    rows = {edition.name: (version, edition.content)}
    rows |= {name: (_TABLE, content) for name, content in edition.tables.items()}
    named = CATALOGUES.c.fingerprint
    there = set(run(sa.select(named).where(named.in_(list(rows)))).scalars())
    missing = [
        {"fingerprint": name, "version": kind, "files": content}
        for name, (kind, content) in rows.items()
        if name not in there
    ]
    if missing:
        run(CATALOGUES.insert(), missing)
    return edition.name


def content_of(session: Session, name: str) -> bytes | None:
    """What is kept under a name; None where nothing is."""
    wanted = sa.select(CATALOGUES.c.files).where(CATALOGUES.c.fingerprint == name)
    row = session.connection().execute(wanted).first()
    return None if row is None else bytes(row.files)


def read(session: Session, name: str) -> Edition | None:
    """(catalogue, own cases by pool) of an edition; None where it was not kept. Raises NotKept
    where a table of it is gone or altered."""
    content = content_of(session, name)
    if content is None:
        return None
    return edition_of(content, lambda table: content_of(session, table))


def is_sound(session: Session, name: str) -> bool:
    """Whether an edition and every table it names are there and are what their names say."""
    content = content_of(session, name)
    if content is None or hashlib.sha256(content).hexdigest() != name:
        return False
    try:
        tables = json.loads(zlib.decompress(content)).get("tables_by_name", {})
    except (ValueError, zlib.error):
        return False
    for table in tables.values():
        kept = content_of(session, table)
        if kept is None or hashlib.sha256(kept).hexdigest() != table:
            return False
    return True
