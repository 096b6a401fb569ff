"""A catalogue edition as bytes, so that what was issued is reckoned from it for as long as the
record lives: its rows, its clauses, and the workshop's own cases as they counted that day.

An edition is a short text that names its tables by the SHA-256 of their bytes; the tables stand
beside it, each once, however many editions share it. The text's own SHA-256 so answers for all.
"""

from __future__ import annotations

import hashlib
import json
import zlib
from collections import OrderedDict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from threading import Lock
from typing import Any

from estimator.domain.catalogue.catalogue import TABLES, Catalogue, Settings
from estimator.domain.catalogue.name_rows import CatalogueName
from estimator.domain.catalogue.rows import Clause
from estimator.domain.catalogue.work_rows import OwnCase
from estimator.domain.problem import Place
from estimator.storage.value_codec import NotKept, ValueCodec

Cases = Mapping[str, tuple[OwnCase, ...]]
Edition = tuple[Catalogue, dict[str, tuple[OwnCase, ...]]]
_MOST_EDITIONS = 8
_MOST_TABLES = 240  # of some six editions
_KEEPING = Lock()  # the window issues on a thread of its own
_CODEC = ValueCodec((*TABLES.values(), Clause, CatalogueName, Settings, Place), leaving_out=())


class _Table:
    """One table of an edition as it is kept; what its bytes say is worked out once, when asked."""

    def __init__(self, content: bytes) -> None:
        self.content = content
        self.name = hashlib.sha256(content).hexdigest()

    @cached_property
    def rows(self) -> tuple[Any, ...]:
        """Its rows. Raises NotKept."""
        return tuple(_CODEC.value_of(row) for row in json.loads(zlib.decompress(self.content)))


@dataclass(frozen=True, slots=True)
class Packed:
    """An edition as it is kept: its text, and its tables by name. `name` is that of the text."""

    content: bytes
    tables: Mapping[str, bytes]

    @property
    def name(self) -> str:
        """SHA-256 of the text."""
        return hashlib.sha256(self.content).hexdigest()


# No table of an edition ever changes, and one quote after the other is issued from it and accepted:
# the newest tables and editions are remembered, tables also by the very rows they were made from.
_BY_ROWS: OrderedDict[int, tuple[tuple[Any, ...], _Table]] = OrderedDict()
_BY_NAME: OrderedDict[str, _Table] = OrderedDict()
_EDITIONS: OrderedDict[str, Edition] = OrderedDict()


def packed(catalogue: Catalogue, own_cases: Cases) -> Packed:
    """An edition with the own cases that counted; equal editions give equal bytes."""
    tables = {key: _known_table(rows) for key, rows in _tables_of(catalogue)}
    plain = {
        "version": catalogue.version,
        "fingerprint": catalogue.fingerprint,
        "settings": _CODEC.as_plain(catalogue.settings),
        "own_cases": {pool: _plain_rows(rows) for pool, rows in own_cases.items()},
        "tables_by_name": {key: table.name for key, table in tables.items()},
    }
    content = zlib.compress(_text(plain).encode(), 6)
    return Packed(content, {table.name: table.content for table in tables.values()})


def edition_of(content: bytes, table_of: Callable[[str], bytes | None]) -> Edition:
    """(catalogue, own cases by pool) of an edition's text; `table_of` gives a table by its name.
    Raises NotKept where one is missing or is not what its name says."""
    name = hashlib.sha256(content).hexdigest()
    with _KEEPING:
        known = _EDITIONS.get(name)
    if known is None:
        plain = json.loads(zlib.decompress(content))
        known = _whole(plain) if "tables" in plain else _from_tables(plain, table_of)
        with _KEEPING:
            _remember(_EDITIONS, name, known, _MOST_EDITIONS)
    catalogue, own_cases = known
    return catalogue, dict(own_cases)


def _tables_of(catalogue: Catalogue) -> Iterator[tuple[str, tuple[Any, ...]]]:
    """Each table, clause file and name file, as "tables/operations"."""
    for kind in ("tables", "clauses", "names"):
        for name, rows in getattr(catalogue, kind).items():
            yield f"{kind}/{name}", rows


def _from_tables(plain: Mapping[str, Any], table_of: Callable[[str], bytes | None]) -> Edition:
    found: dict[str, dict[str, tuple[Any, ...]]] = {"tables": {}, "clauses": {}, "names": {}}
    for key, name in plain["tables_by_name"].items():
        kind, _, table = key.partition("/")
        found[kind][table] = _read_table(key, name, table_of).rows
    return _edition(plain, found)


def _whole(plain: Mapping[str, Any]) -> Edition:
    """An edition as the first ones were kept: everything in one text."""
    found = {
        kind: {name: _rows(rows) for name, rows in plain.get(kind, {}).items()}
        for kind in ("tables", "clauses", "names")
    }
    return _edition(plain, found)


def _edition(plain: Mapping[str, Any], found: Mapping[str, dict[str, tuple[Any, ...]]]) -> Edition:
    catalogue = Catalogue(
        plain["version"],
        plain["fingerprint"],
        _CODEC.value_of(plain["settings"]),
        found["tables"],
        found["clauses"],
        names=found["names"],
    )
    return catalogue, {pool: _rows(rows) for pool, rows in plain["own_cases"].items()}


def _read_table(key: str, name: str, table_of: Callable[[str], bytes | None]) -> _Table:
    with _KEEPING:
        known = _BY_NAME.get(name)
    if known is not None:
        return known
    content = table_of(name)
    table = _Table(content) if content is not None else None
    if table is None or table.name != name:
        raise NotKept(f"{key} is gone, or was altered")
    with _KEEPING:
        _remember(_BY_NAME, name, table, _MOST_TABLES)
    return table


def _known_table(rows: tuple[Any, ...]) -> _Table:
    """A table as it is kept, remembered by the very rows."""
    with _KEEPING:
        known = _BY_ROWS.get(id(rows))
        if known is not None and known[0] is rows:
            return known[1]
    table = _Table(zlib.compress(_text(_plain_rows(rows)).encode(), 6))
    with _KEEPING:
        table = _BY_NAME.get(table.name, table)
        _remember(_BY_ROWS, id(rows), (rows, table), _MOST_TABLES)
        _remember(_BY_NAME, table.name, table, _MOST_TABLES)
    return table


def _remember(known: OrderedDict[Any, Any], key: object, value: object, most: int) -> None:
    known[key] = value
    known.move_to_end(key)
    while len(known) > most:
        known.popitem(last=False)


def _text(plain: Any) -> str:
    return json.dumps(plain, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def _plain_rows(rows: tuple[Any, ...]) -> list[Any]:
    return [_CODEC.as_plain(row) for row in rows]


def _rows(plain: list[Any]) -> tuple[Any, ...]:
    return tuple(_CODEC.value_of(row) for row in plain)
