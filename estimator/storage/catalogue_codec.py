"""A catalogue edition as bytes, so that what was issued is reckoned from it for as long as the
record lives: its rows, its clauses, and the workshop's own cases as they counted that day."""

from __future__ import annotations

import json
import zlib
from collections.abc import Mapping
from typing import Any

from estimator.domain.catalogue.catalogue import TABLES, Catalogue, Settings
from estimator.domain.catalogue.rows import Clause
from estimator.domain.catalogue.work_rows import OwnCase
from estimator.domain.problem import Place
from estimator.storage.value_codec import ValueCodec

Cases = Mapping[str, tuple[OwnCase, ...]]
_CODEC = ValueCodec((*TABLES.values(), Clause, Settings, Place), leaving_out=())


def edition_bytes(catalogue: Catalogue, own_cases: Cases) -> bytes:
    """An edition with the own cases that counted; equal editions give equal bytes."""
    plain = {
        "version": catalogue.version,
        "fingerprint": catalogue.fingerprint,
        "settings": _CODEC.as_plain(catalogue.settings),
        "tables": {name: _rows(rows) for name, rows in catalogue.tables.items()},
        "clauses": {name: _rows(rows) for name, rows in catalogue.clauses.items()},
        "own_cases": {pool: _rows(rows) for pool, rows in own_cases.items()},
    }
    text = json.dumps(plain, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    return zlib.compress(text.encode(), 6)


def edition_of(content: bytes) -> tuple[Catalogue, dict[str, tuple[OwnCase, ...]]]:
    """(catalogue, own cases by pool) that `edition_bytes` wrote. Raises NotKept."""
    plain = json.loads(zlib.decompress(content))
    catalogue = Catalogue(
        plain["version"],
        plain["fingerprint"],
        _CODEC.value_of(plain["settings"]),
        {name: _values(rows) for name, rows in plain["tables"].items()},
        {name: _values(rows) for name, rows in plain["clauses"].items()},
    )
    return catalogue, {pool: _values(rows) for pool, rows in plain["own_cases"].items()}


def _rows(rows: tuple[Any, ...]) -> list[Any]:
    return [_CODEC.as_plain(row) for row in rows]


def _values(rows: list[Any]) -> tuple[Any, ...]:
    return tuple(_CODEC.value_of(row) for row in rows)
