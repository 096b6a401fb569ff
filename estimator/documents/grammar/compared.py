"""What of two prints differs, part by part: found in the files' own objects, streams unpacked."""

from __future__ import annotations

import base64
import re
import zlib
from collections.abc import Iterator

PAGE, ATTACHED, DESCRIPTION, FONT, PICTURE, OTHER = (
    "page", "attached data", "description", "font", "picture", "other",
)  # fmt: skip
_OBJECT = re.compile(rb"(?:^|\n)(\d+) 0 obj\r?\n(.*?)\r?\nendobj", re.DOTALL)
_STREAM = re.compile(rb"^(.*?)\r?\nstream\r?\n(.*)\r?\nendstream\s*$", re.DOTALL)
_CONTENTS = re.compile(rb"/Contents (\d+) 0 R")
_LENGTH = re.compile(rb"/Length \d+")
_KINDS = (
    (b"/Type /EmbeddedFile", ATTACHED), (b"/Type /Filespec", ATTACHED),
    (b"/Type /Metadata", DESCRIPTION), (b"/Producer", DESCRIPTION), (b"/FontFile", FONT),
    (b"/Type /Font", FONT), (b"/Length1", FONT), (b"/Subtype /Image", PICTURE),
)  # fmt: skip

Part = tuple[str, int]  # kind, and the page's number where it is one


def differing(one: bytes, other: bytes) -> list[Part]:
    """Parts that are not the same in both documents, pages first; none where they say the same
    and are packed otherwise. A page that only one of them has differs."""
    first, second = _parts(one), _parts(other)
    unlike = {part for part in {*first, *second} if first.get(part) != second.get(part)}
    return sorted(unlike, key=lambda part: (part[0] != PAGE, part))


def _parts(data: bytes) -> dict[Part, list[bytes]]:
    """Contents by part. Numbers of objects are left out of those that are no page: they move."""
    objects = {int(number): body for number, body in _OBJECT.findall(data)}
    pages = [
        int(found.group(1))
        for body in objects.values()
        if b"/Type /Page\n" in body.replace(b"\r", b"") or re.search(rb"/Type /Page[ />]", body)
        if (found := _CONTENTS.search(body))
    ]
    parts: dict[Part, list[bytes]] = {}
    for number, body in objects.items():
        part = (PAGE, pages.index(number) + 1) if number in pages else (_kind(body), 0)
        parts.setdefault(part, []).append(_LENGTH.sub(b"", b"\n".join(_unpacked(body))))
    return parts


def _kind(body: bytes) -> str:
    return next((kind for mark, kind in _KINDS if mark in body[:2000]), OTHER)


def _unpacked(body: bytes) -> Iterator[bytes]:
    found = _STREAM.match(body)
    if found is None:
        yield body
        return
    head, data = found.groups()
    yield head
    try:
        if b"/ASCII85Decode" in head:
            data = base64.a85decode(data.strip().removesuffix(b"~>"))
        yield zlib.decompress(data) if b"/FlateDecode" in head else data
    except (ValueError, zlib.error):
        yield data  # not what its head says: compared as it is
