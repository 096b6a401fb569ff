"""Reading JSON and TOML strictly: no doubled keys, no numbers that are none, no endless nesting."""

from __future__ import annotations

import json
import re
import tomllib
from decimal import Decimal, DecimalException
from typing import Any

from estimator.domain.problem import Place, Problem

DECIMAL_COMMA = re.compile(r"^\s*\w+\s*=\s*\d+,\d+\s*(#.*)?$", re.MULTILINE)
LONGEST_REASON = 200


def read_json(text: str, file: str) -> tuple[Any, list[Problem]]:
    """(value, faults) of a JSON text; None beside a fault."""
    try:
        return (
            json.loads(
                text,
                parse_float=_number,
                parse_constant=_number,
                object_pairs_hook=_without_doubles,
            ),
            [],
        )
    except (ValueError, RecursionError, DecimalException) as error:
        return None, [_fault(file, error, "Mend it.")]


def read_toml(text: str, file: str) -> tuple[dict[str, Any] | None, list[Problem]]:
    """(table, faults) of a TOML text; None beside a fault."""
    try:
        return tomllib.loads(text, parse_float=_number), []
    except (ValueError, RecursionError, DecimalException) as error:
        comma = DECIMAL_COMMA.search(text)
        remedy = "Write a decimal point, not a comma." if comma else "Mend it."
        return None, [_fault(file, error, remedy)]


def _number(text: str) -> Decimal:
    # Kept as it is, nan and inf included: whoever wants a number says where it stood.
    return Decimal(text)


def _without_doubles(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name, value in pairs:
        if name in found:
            raise ValueError(f"{name[:40]!r} stands twice in one object")
        found[name] = value
    return found


def _fault(file: str, error: Exception, remedy: str) -> Problem:
    reason = "it is nested too deeply" if isinstance(error, RecursionError) else str(error)
    if isinstance(error, DecimalException):
        reason = "it holds a number beyond all measure"
    message = f"cannot be read: {reason[:LONGEST_REASON].rstrip('.')}."
    return Problem("bad-file", Place(file), message, remedy)
