"""One package of what was issued: a ZIP with its files and a list of their hashes.

The list is what `sha256sum -c SHA256SUMS` reads. Files are stored as they are, without compression
and with one fixed time, so that the same files give the same package. Reading one is done without
unpacking it anywhere: names with folders in them, links, and what is too large are refused.
"""

from __future__ import annotations

import hashlib
import re
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass
from io import BytesIO

from estimator.documents.files.file_text import one_line

LIST = "SHA256SUMS"
LARGEST_FILE, LARGEST_PACKAGE, MOST_FILES = 256 << 20, 512 << 20, 64
_TIME = (1980, 1, 1, 0, 0, 0)  # the earliest that a ZIP can tell
_PLAIN_FILE = 0o100644 << 16
_KIND, _PLAIN_KINDS = 0o170000, (0, 0o100000)  # of a Unix file: none told, or a plain one
_ENCRYPTED = 0x1
_LINE = re.compile(r"([0-9a-f]{64}) [ *](.+)")
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")
_PIECE = 1 << 20


class NoPackage(ValueError):
    """A file that is no sealed package, or one that is not safe to read; says why."""


@dataclass(frozen=True, slots=True)
class Checked:
    """What a package holds against its own list. Sound where nothing is named."""

    files: tuple[str, ...]  # as listed
    changed: tuple[str, ...]
    added: tuple[str, ...]
    missing: tuple[str, ...]
    seal: str  # SHA-256 of the list: the one figure that stands for all files
    contents: Mapping[str, bytes]

    @property
    def sound(self) -> bool:
        """Whether every file is there and as it was listed, and no other."""
        return not (self.changed or self.added or self.missing)


def plain_stem(text: str) -> str:
    """A name of ASCII letters, digits, dots and dashes for files in a package."""
    stem = re.sub(r"[^A-Za-z0-9._]+", "-", one_line(text)).strip("-._")
    return stem[:80] or "quote"


def hash_list(files: Mapping[str, bytes]) -> bytes:
    """The list of hashes, by name."""
    lines = (f"{hashlib.sha256(files[name]).hexdigest()}  {name}\n" for name in sorted(files))
    return "".join(lines).encode("ascii")


def seal_of(files: Mapping[str, bytes]) -> str:
    """The figure that stands for all files: SHA-256 of their list."""
    return hashlib.sha256(hash_list(files)).hexdigest()


def sealed_package(files: Mapping[str, bytes]) -> bytes:
    """The package of these files, by plain names. The same files give the same bytes.

    Raises ValueError on a name with anything but letters, digits, dots and dashes.
    """
    for name in files:
        if not _NAME.fullmatch(name) or name == LIST:
            raise ValueError(f"{name!r} is no name for a file of a package")
    content = BytesIO()
    with zipfile.ZipFile(content, "w", zipfile.ZIP_STORED) as package:
        for name, data in (*sorted(files.items()), (LIST, hash_list(files))):
            entry = zipfile.ZipInfo(name, _TIME)
            entry.create_system, entry.external_attr = 3, _PLAIN_FILE
            package.writestr(entry, data)
    return content.getvalue()


def check_package(data: bytes) -> Checked:
    """Every file of a package against its list. Raises NoPackage."""
    if len(data) > LARGEST_PACKAGE:
        raise NoPackage("it is too large for a package of one quote")
    try:
        with zipfile.ZipFile(BytesIO(data)) as package:
            entries = package.infolist()
            _check_entries(entries)
            found = {one.filename: _content(package, one) for one in entries}
    except (zipfile.BadZipFile, NotImplementedError, EOFError, ValueError) as error:
        if isinstance(error, NoPackage):
            raise
        raise NoPackage("it is no ZIP file, or a damaged one") from None
    listed = found.pop(LIST, None)
    if listed is None:
        raise NoPackage(f"it holds no list of hashes ({LIST})")
    return _compared(found, listed)


def _check_entries(entries: list[zipfile.ZipInfo]) -> None:
    """Refuse what no package has: before anything is read."""
    names = [one.filename for one in entries]
    if len(names) > MOST_FILES:
        raise NoPackage(f"it holds more than {MOST_FILES} files")
    if len(set(names)) < len(names):
        raise NoPackage("it holds two files of one name")
    for one in entries:
        told = one_line(one.orig_filename)[:80]
        if not _NAME.fullmatch(one.orig_filename):
            raise NoPackage(f"the name {told!r} would lead out of its folder, or is no plain name")
        if (one.external_attr >> 16) & _KIND not in _PLAIN_KINDS:
            raise NoPackage(f"{told} is no plain file")
        if one.flag_bits & _ENCRYPTED:
            raise NoPackage(f"{told} is encrypted")
        if one.file_size > LARGEST_FILE:
            raise NoPackage(f"{told} is too large")
    if sum(one.file_size for one in entries) > LARGEST_PACKAGE:
        raise NoPackage("its files together are too large")


def _content(package: zipfile.ZipFile, entry: zipfile.ZipInfo) -> bytes | None:
    """What a file holds; None where it is damaged."""
    pieces, size = list[bytes](), 0
    try:
        with package.open(entry) as file:
            while piece := file.read(_PIECE):
                size += len(piece)
                if size > entry.file_size:
                    raise NoPackage(f"{entry.filename} is larger than it says")
                pieces.append(piece)
    except (zipfile.BadZipFile, EOFError, OSError):
        return None
    except Exception as error:
        if type(error).__module__ in ("zlib", "lzma", "_lzma"):
            return None
        raise
    return b"".join(pieces)


def _compared(found: Mapping[str, bytes | None], listed: bytes) -> Checked:
    hashes = _read_list(listed)
    changed = [
        name for name, digest in hashes.items() if name in found and digest != _digest(found[name])
    ]
    return Checked(
        tuple(hashes),
        tuple(changed),
        tuple(sorted(found.keys() - hashes.keys())),
        tuple(name for name in hashes if name not in found),
        hashlib.sha256(listed).hexdigest(),
        {name: content for name, content in found.items() if content is not None},
    )


def _digest(content: bytes | None) -> str:
    return "" if content is None else hashlib.sha256(content).hexdigest()


def _read_list(listed: bytes) -> dict[str, str]:
    """Hash by name. Raises NoPackage on a line that is none of such a list."""
    hashes = dict[str, str]()
    for number, line in enumerate(listed.decode("utf-8", "replace").splitlines(), start=1):
        known = _LINE.fullmatch(line)
        if known is None or known[2] in hashes:
            raise NoPackage(f"line {number} of its list of hashes cannot be read")
        hashes[known[2]] = known[1]
    if not hashes:
        raise NoPackage("its list of hashes is empty")
    return hashes
