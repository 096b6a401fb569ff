"""What the papers of a strip print, frozen: the strip report, and the stop after teardown."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from estimator.domain.catalogue.rows import Caution
from estimator.domain.contract.papers import Answered, Head, MeasuredLine, Picture, Sum
from estimator.domain.contract.variation import Range
from estimator.domain.money import Money


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """A reading against its limits, all in `unit`."""

    what: str
    measured: Decimal | None
    unit: str
    new: Decimal | None
    rebuild: Decimal | None
    service: Decimal | None
    words: str
    verdict: str  # what follows from it


@dataclass(frozen=True, slots=True)
class PartFound:
    """A part as it was found, and the variation that carries it."""

    name: str
    state: str
    variation: str


@dataclass(frozen=True, slots=True)
class ComponentOpened:
    """A component as it was opened, once or several times."""

    name: str
    opened: tuple[tuple[datetime, str, str], ...]  # (when, who, capacity)
    parts: tuple[PartFound, ...]
    readings: tuple[ReadingRow, ...]
    measured_lines: tuple[MeasuredLine, ...]
    ticked: tuple[str, ...]  # hazards whose cautions were ticked
    pictures: tuple[Picture, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StripVariation:
    """What a variation of the strip comes to: a price, or a range."""

    name: str
    title: str
    state: str
    amount: Money | None
    range: Range | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StripReport:
    """What the strip showed, component by component, and what is still closed."""

    head: Head
    components: tuple[ComponentOpened, ...]
    still_closed: tuple[tuple[str, tuple[str, ...]], ...]  # (component group, parts)
    unmeasured: tuple[str, ...]  # lines still to be measured
    variations: tuple[StripVariation, ...]
    priced: Money  # of the variations that have a price
    remeasured: Money
    unpriced: Range  # of those that have none, added up
    counts: tuple[tuple[str, int], ...]  # (state, parts)
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class WayBack:
    """One way of handing the machine back after a strip."""

    way: str
    price: Sum
    job: Sum  # what the whole job comes to then
    working_days: int
    ready: date
    chosen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class StopPaper:
    """Stopping after teardown: what it costs, when the machine is back, what is lost."""

    head: Head
    ways: tuple[WayBack, ...]
    longest_days: int
    lost: tuple[str, ...]
    opened: tuple[str, ...]
    open_safety: tuple[str, ...]  # findings that keep the machine from being used
    storage_free_days: int
    storage_per_day: Sum
    strip: Sum  # of strip and report
    done: Sum  # of what else is done or in hand by then
    decided: Answered | None
    cautions: tuple[Caution, ...]
