"""Does plain data fit a JSON Schema? Just the words of JSON Schema 2020-12 that ours use.

A word that is not known here is a fault too, so that none is passed over.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

TYPES = {
    "object": dict, "array": list, "string": str, "boolean": bool, "number": (int, float),
    "integer": int, "null": type(None),
}  # fmt: skip
SAYS_NOTHING = {"$schema", "$id", "$defs", "title", "description"}
CHECKED = {
    "type", "properties", "required", "additionalProperties", "patternProperties", "items",
    "minItems", "pattern", "enum", "const", "minimum", "maximum", "exclusiveMinimum", "anyOf",
    "$ref",
}  # fmt: skip


def faults(data: Any, schema: Any, whole: Any = None, at: str = "$") -> Iterator[str]:
    """Every place where `data` does not fit, in words."""
    whole = schema if whole is None else whole
    if unknown := set(schema) - SAYS_NOTHING - CHECKED:
        yield f"{at}: the schema says {sorted(unknown)}"
    if "$ref" in schema:
        yield from faults(data, whole["$defs"][schema["$ref"].removeprefix("#/$defs/")], whole, at)
    if "anyOf" in schema and all(any(faults(data, one, whole, at)) for one in schema["anyOf"]):
        yield f"{at}: {data!r} is none of the choices"
    if "type" in schema and not is_a(data, schema["type"]):
        yield f"{at}: {data!r} is no {schema['type']}"
        return
    yield from _of_value(data, schema, at)
    if isinstance(data, dict):
        yield from _of_object(data, schema, whole, at)
    if isinstance(data, list):
        if len(data) < schema.get("minItems", 0):
            yield f"{at}: too few items"
        for place, one in enumerate(data):
            yield from faults(one, schema.get("items", {}), whole, f"{at}[{place}]")


def is_a(data: Any, kind: str) -> bool:
    if isinstance(data, bool) and kind != "boolean":
        return False
    return isinstance(data, TYPES[kind])


def _of_value(data: Any, schema: Any, at: str) -> Iterator[str]:
    if isinstance(data, str) and not re.search(schema.get("pattern", ""), data):
        yield f"{at}: {data!r} does not match {schema['pattern']}"
    if data not in schema.get("enum", [data]) or data != schema.get("const", data):
        yield f"{at}: {data!r} is not among the values"
    if isinstance(data, int | float) and not isinstance(data, bool):
        if not schema.get("minimum", data) <= data <= schema.get("maximum", data):
            yield f"{at}: {data!r} is out of range"
        if data <= schema.get("exclusiveMinimum", data - 1):
            yield f"{at}: {data!r} is out of range"


def _of_object(data: Any, schema: Any, whole: Any, at: str) -> Iterator[str]:
    for name in schema.get("required", []):
        if name not in data:
            yield f"{at}: lacks {name}"
    for name, value in data.items():
        own = [schema.get("properties", {})[name]] if name in schema.get("properties", {}) else []
        own += [one for pattern, one in schema.get("patternProperties", {}).items()
                if re.search(pattern, name)]  # fmt: skip
        if not own and (other := schema.get("additionalProperties", True)) is not True:
            if other is False:
                yield f"{at}: {name} is not in the schema"
                continue
            own = [other]
        for one in own:
            yield from faults(value, one, whole, f"{at}.{name}")
