"""An edition of the catalogue as the workshop keeps it: who made it of which, when and why."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

FOLDER = "folder"  # as it stood in the folder it was read from, before anybody changed a row
EDITED, IMPORTED, ADJUSTED = "edited", "imported", "adjusted"
SCALED, PRICE_LIST, TAKEN_BACK = "new class", "price list", "taken back"
KINDS = (FOLDER, EDITED, IMPORTED, ADJUSTED, SCALED, PRICE_LIST, TAKEN_BACK)


@dataclass(frozen=True, slots=True)
class Edition:
    """An edition without its rows. Numbers run from 1, the folder as it was first kept."""

    number: int
    version: str  # what is printed of it: that of the folder, and its number
    fingerprint: str  # SHA-256 over the version and every row (`changes.fingerprint_of`)
    based_on: int  # number of the edition that its changes were applied to; 0 of the first
    kind: str  # one of KINDS
    at: datetime.datetime
    who: str  # "" of the first, which nobody made
    why: str
    rows: int  # how many rows changed
    folder: str  # fingerprint of the folder whose rows it has taken in
