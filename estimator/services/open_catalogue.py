"""Open the price catalogue, or say everything that is wrong with it."""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from pathlib import Path
from threading import Lock

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.wording import worded
from estimator.installed import data_root
from estimator.intake.catalogue_files import fingerprint, read_catalogue
from estimator.intake.workshop_file import FILE
from estimator.services.errors import Refused

_MOST_KEPT = 3
_READ: OrderedDict[tuple[Path, str, str], Catalogue] = OrderedDict()
_KEEPING = Lock()  # the window reads on threads of its own


def catalogue_folder(folder: Path | None) -> Path:
    """The catalogue named by the user, else the one that comes with the program."""
    return folder if folder is not None else data_root() / "catalog"


def open_catalogue(folder: Path | None = None) -> Catalogue:
    """The catalogue in `folder` (default: the one that comes with the program). One whose files
    are what they were when it was last read is not read and checked again.

    Raises Refused with every fault, each named by file, row and column.
    """
    where = catalogue_folder(folder)
    before = _state(where)
    with _KEEPING:
        if before is not None and before in _READ:
            _READ.move_to_end(before)
            return _READ[before]
    catalogue, problems = read_catalogue(where)
    if catalogue is None:
        raise Refused(worded("Catalogue {where}", where=str(where)), problems)
    if before is not None and before == _state(where):  # nobody wrote to it meanwhile
        with _KEEPING:
            _READ[before] = catalogue
            while len(_READ) > _MOST_KEPT:
                _READ.popitem(last=False)
    return catalogue


def _state(folder: Path) -> tuple[Path, str, str] | None:
    """What tells the files of a catalogue apart from any others; None where one cannot be read:
    reading it as a catalogue says which."""
    terms = folder / FILE
    try:
        content = terms.read_bytes() if terms.is_file() else b""
        return folder.resolve(), fingerprint(folder), hashlib.sha256(content).hexdigest()
    except OSError:
        return None
