"""What the inspection found: one row a look, reading or sample, as the inspector wrote it.

*Not seen* and *not tested* are states of their own, never blanks: what nobody has looked at keeps
its chance of being worn.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.catalogue.column import column
from estimator.domain.catalogue.work_rows import FINDING_KINDS
from estimator.domain.problem import Place

DISPOSITIONS = ("reuse", "recondition", "exchange", "replace", "open")
RESULTS = ("sound", "worn", "alarm", "clear")


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One finding. Cells left blank are taken from the catalogue's measure, where one is named."""

    id: str = column("number of the finding, like I01")
    measure: str = column("measure of the catalogue it is a reading of", default="")
    component: str = column("component", default="")
    part: tuple[str, ...] = column("parts it settles, or that were not seen", default=())
    sign_of: tuple[str, ...] = column("parts it is a sign of", default=())
    test: str = column("test it is the result of", default="")
    kind: str = column("kind of finding", choices=("", *FINDING_KINDS), default="")
    what: str = column("what was looked at or measured", default="")
    unit: str = column("unit of the reading", refers="unit", default="")
    measured: Decimal | None = column("the reading", default=None)
    new: Decimal | None = column("value when new, if not the catalogue's", default=None)
    rebuild_limit: Decimal | None = column("rebuild limit, if not the catalogue's", default=None)
    service_limit: Decimal | None = column("service limit, if not the catalogue's", default=None)
    gauge_error: Decimal | None = column("error of the gauge", low="0", default=None)
    hours_on_part: Decimal | None = column("hours the part has run", low="0", default=None)
    metals: tuple[str, ...] = column("metals in the oil, ppm, like 'Fe 86'", default=())
    cleanliness: str = column("ISO 4406 code found", default="")
    reading: str = column("what was seen, in words", default="")
    result: str = column("result where no limit decides it", choices=("", *RESULTS), default="")
    quantity: Decimal | None = column("quantity needed, likely", low="0", default=None)
    quantity_low: Decimal | None = column("quantity needed, low", low="0", default=None)
    quantity_high: Decimal | None = column("quantity needed, high", low="0", default=None)
    override: str = column(
        "disposition instead of the rule's", choices=("", *DISPOSITIONS), default=""
    )
    override_reason: str = column("why it was overruled", default="")
    overridden_by: str = column("who overruled", default="")
    photo: tuple[str, ...] = column("photographs", default=())
    note: str = column("note", default="")
    inspector: str = column("who looked", default="")
    date: datetime.date = column("when")
    place: Place = Place()
