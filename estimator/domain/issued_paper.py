"""A paper of a contract as it went out: its bytes, and what they were made from."""

from __future__ import annotations

import datetime
import hashlib
from dataclasses import dataclass

PAPER_ISSUED = "paper issued"  # what the log calls it


@dataclass(frozen=True, slots=True, kw_only=True)
class IssuedPaper:
    """A paper that is kept. `place` counts a job's papers from 1, in the order they went out.

    `day` is the date on it, `events` how many events of the contract it tells of, `chain_head` the
    head of the record's log that is printed on it.
    """

    number: str
    place: int
    kind: str
    day: datetime.date
    at: datetime.datetime
    by: str
    locale: str
    events: int
    chain_head: str
    pdf: bytes
    pdf_sha256: str
    variation: str = ""
    revision: int = 0  # of the variation

    @property
    def title(self) -> str:
        """What it is, in short: kind, variation with its revision, day."""
        of = f" {self.variation} rev {self.revision}" if self.variation else ""
        return f"{self.kind}{of} of {self.day.isoformat()}"

    @property
    def sound(self) -> bool:
        """Whether the bytes are those of the hash."""
        return hashlib.sha256(self.pdf).hexdigest() == self.pdf_sha256

    @property
    def told(self) -> dict[str, object]:
        """What the log tells of it."""
        of = {"variation": self.variation, "revision": self.revision} if self.variation else {}
        return {
            "paper": self.kind,
            "place": self.place,
            **of,
            "day": self.day.isoformat(),
            "locale": self.locale,
            "events": self.events,
            "chain_head": self.chain_head,
            "pdf_sha256": self.pdf_sha256,
        }
