"""A catalogue edition as bytes, so that what was issued is reckoned from it for as long as the
record lives: its rows, its clauses, and the workshop's own cases as they counted that day."""

from __future__ import annotations

import json
import zlib
from collections import deque
from collections.abc import Mapping
from threading import Lock
from typing import Any

from estimator.domain.catalogue.catalogue import TABLES, Catalogue, Settings
from estimator.domain.catalogue.name_rows import CatalogueName
from estimator.domain.catalogue.rows import Clause
from estimator.domain.catalogue.work_rows import OwnCase
from estimator.domain.problem import Place
from estimator.storage.value_codec import ValueCodec

Cases = Mapping[str, tuple[OwnCase, ...]]
_KNOWN: deque[tuple[Mapping[str, tuple[Any, ...]], str]] = deque(maxlen=6)
_KEEPING = Lock()  # the window issues on a thread of its own
_CODEC = ValueCodec((*TABLES.values(), Clause, CatalogueName, Settings, Place), leaving_out=())


def edition_bytes(catalogue: Catalogue, own_cases: Cases) -> bytes:
    """An edition with the own cases that counted; equal editions give equal bytes."""
    parts = {
        "version": _text(catalogue.version),
        "fingerprint": _text(catalogue.fingerprint),
        "settings": _text(_CODEC.as_plain(catalogue.settings)),
        "tables": _texts(catalogue.tables),
        "clauses": _texts(catalogue.clauses),
        "own_cases": _text({pool: _rows(rows) for pool, rows in own_cases.items()}),
    }
    if catalogue.names:
        parts["names"] = _texts(catalogue.names)
    text = ",".join(f'"{name}":{parts[name]}' for name in sorted(parts))
    return zlib.compress(f"{{{text}}}".encode(), 6)


def _texts(rows: Mapping[str, tuple[Any, ...]]) -> str:
    """Tables as JSON; remembered for the newest few, since one quote after the other is issued from
    an edition, and none of it ever changes."""
    with _KEEPING:
        for known, text in _KNOWN:
            if known is rows:
                return text
    text = _text({name: _rows(some) for name, some in rows.items()})
    with _KEEPING:
        _KNOWN.append((rows, text))
    return text


def _text(plain: Any) -> str:
    return json.dumps(plain, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def edition_of(content: bytes) -> tuple[Catalogue, dict[str, tuple[OwnCase, ...]]]:
    """(catalogue, own cases by pool) that `edition_bytes` wrote. Raises NotKept."""
    plain = json.loads(zlib.decompress(content))
    catalogue = Catalogue(
        plain["version"],
        plain["fingerprint"],
        _CODEC.value_of(plain["settings"]),
        {name: _values(rows) for name, rows in plain["tables"].items()},
        {name: _values(rows) for name, rows in plain["clauses"].items()},
        names={name: _values(rows) for name, rows in plain.get("names", {}).items()},
    )
    return catalogue, {pool: _values(rows) for pool, rows in plain["own_cases"].items()}


def _rows(rows: tuple[Any, ...]) -> list[Any]:
    return [_CODEC.as_plain(row) for row in rows]


def _values(rows: list[Any]) -> tuple[Any, ...]:
    return tuple(_CODEC.value_of(row) for row in rows)
