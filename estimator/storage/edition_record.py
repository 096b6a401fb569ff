"""Reading and keeping editions of the catalogue: what each changed, and its rows as a whole."""

from __future__ import annotations

import hashlib
import json
import zlib
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import Session

from estimator.domain.catalogue.catalogue import TABLES, Catalogue
from estimator.domain.catalogue.changes import RowChange
from estimator.domain.catalogue.edition import Edition
from estimator.domain.catalogue.name_rows import CatalogueName
from estimator.domain.catalogue.rows import Clause
from estimator.domain.catalogue.setting_rows import SettingRow
from estimator.storage import kept_editions
from estimator.storage.catalogue_codec import Packed, edition_of
from estimator.storage.catalogue_codec import packed as packed_edition
from estimator.storage.database import RecordDamaged
from estimator.storage.edition_tables import CatalogueEditionRow
from estimator.storage.value_codec import NotKept, ValueCodec

EDITIONS: Any = CatalogueEditionRow.__table__
_NAMES = (
    "number", "version", "fingerprint", "based_on", "kind", "at", "who", "why", "rows", "folder",
)  # fmt: skip
_HEADS = sa.select(*(EDITIONS.c[name] for name in _NAMES))
_CODEC = ValueCodec((*TABLES.values(), Clause, CatalogueName, SettingRow, RowChange))


def newest_edition(session: Session) -> Edition | None:
    """The newest edition; None where nobody changed the catalogue yet."""
    wanted = _HEADS.order_by(EDITIONS.c.number.desc()).limit(1)
    row = session.connection().execute(wanted).first()
    return None if row is None else Edition(*row)


def all_editions(session: Session) -> tuple[Edition, ...]:
    """Every edition, the newest first."""
    wanted = _HEADS.order_by(EDITIONS.c.number.desc())
    return tuple(Edition(*row) for row in session.connection().execute(wanted))


def edition_numbered(session: Session, number: int) -> Edition | None:
    """An edition; None where there is none of that number."""
    row = session.connection().execute(_HEADS.where(EDITIONS.c.number == number)).first()
    return None if row is None else Edition(*row)


def changes_of(session: Session, number: int) -> tuple[RowChange, ...]:
    """What an edition changed. Raises RecordDamaged."""
    wanted = sa.select(EDITIONS.c.changes, EDITIONS.c.changes_sha256)
    row = session.connection().execute(wanted.where(EDITIONS.c.number == number)).first()
    if row is None or hashlib.sha256(row.changes).hexdigest() != row.changes_sha256:
        raise RecordDamaged(f"what edition {number} of the catalogue changed was altered")
    try:
        plain = json.loads(zlib.decompress(row.changes))
        return tuple(_CODEC.value_of(one) for one in plain)
    except (ValueError, TypeError, zlib.error) as error:
        raise RecordDamaged(f"edition {number} of the catalogue cannot be read") from error


def catalogue_of(session: Session, number: int, column: str = "kept") -> Catalogue:
    """An edition's rows; with `column` "folder_kept" those of the folder it has taken in. Raises
    RecordDamaged."""
    wanted = sa.select(EDITIONS.c[column]).where(EDITIONS.c.number == number)
    name = session.connection().execute(wanted).scalar_one()
    content = kept_editions.content_of(session, name)
    if content is None or hashlib.sha256(content).hexdigest() != name:
        raise RecordDamaged(f"rows of edition {number} of the catalogue are gone, or were altered")
    try:
        return edition_of(content, lambda table: kept_editions.content_of(session, table))[0]
    except (NotKept, ValueError, TypeError, KeyError, zlib.error) as error:
        raise RecordDamaged(f"edition {number} of the catalogue cannot be read") from error


@dataclass(frozen=True, slots=True)
class EditionHashes:
    """SHA-256 of what an edition changed and of its rows, as the record names them; `sound` where
    what is kept has them."""

    changes: str
    rows: str
    sound: bool


def hashes_of(session: Session, number: int) -> EditionHashes:
    """The hashes of an edition, held against what is kept."""
    wanted = sa.select(EDITIONS.c.changes, EDITIONS.c.changes_sha256, EDITIONS.c.kept)
    row = session.connection().execute(wanted.where(EDITIONS.c.number == number)).one()
    sound = hashlib.sha256(
        row.changes
    ).hexdigest() == row.changes_sha256 and kept_editions.is_sound(session, row.kept)
    return EditionHashes(row.changes_sha256, row.kept, sound)


def packed(changes: Iterable[RowChange]) -> tuple[bytes, str]:
    """(bytes, SHA-256) of changes as they are kept. Raises NotKept."""
    plain = [_CODEC.as_plain(one) for one in changes]
    text = json.dumps(plain, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    content = zlib.compress(text.encode(), 6)
    return content, hashlib.sha256(content).hexdigest()


def packed_rows(catalogue: Catalogue) -> Packed:
    """A catalogue's rows as they are kept. Raises NotKept."""
    return packed_edition(catalogue, {})


def add_edition(
    session: Session,
    edition: Edition,
    changes: tuple[bytes, str],
    rows: Packed,
    folder_kept: str,
) -> None:
    """Keep an edition: what it changed and its rows, as `packed` and `packed_rows` gave them."""
    kept_editions.keep(session, edition.version, rows)
    values = {name: getattr(edition, name) for name in _NAMES}
    session.connection().execute(EDITIONS.insert().values(
        **values, changes=changes[0], changes_sha256=changes[1], kept=rows.name,
        folder_kept=folder_kept,
    ))  # fmt: skip


def keep_rows(session: Session, version: str, rows: Packed) -> str:
    """Keep rows that are no edition by themselves; the name they are kept under."""
    return kept_editions.keep(session, version, rows)


def folder_kept(session: Session, number: int) -> str:
    """The name that the rows of an edition's folder are kept under."""
    wanted = sa.select(EDITIONS.c.folder_kept).where(EDITIONS.c.number == number)
    return str(session.connection().execute(wanted).scalar_one())
