"""What a document says of itself: on every page, and to a file manager."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from estimator.documents.grammar.archive import Attached


@dataclass(frozen=True, slots=True)
class About:
    """What stands on every page, and what a file manager shows of the document.

    `locale`, like de_DE or en_US, tells the paper where neither `paper` nor the house style does.
    """

    sender: str
    reference: str
    foot: str
    title: str
    subject: str
    language: str
    day: date
    note: str = ""  # at the foot of the first page alone
    locale: str = ""
    paper: str = ""  # A4 or Letter, against what the house style has
    attached: tuple[Attached, ...] = ()
    band: str = ""  # across the head of every page: whom the paper is not for
