"""Price every class of a catalogue at different hours, to see whether it can be believed."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from pathlib import Path

from estimator.domain.catalogue.catalogue import UnknownClass
from estimator.domain.plausibility import MACHINE_HOURS, ClassPrice, class_prices
from estimator.domain.priced_job import Progress
from estimator.domain.pricing import NoRate
from estimator.domain.programme.network import NetworkCycle
from estimator.domain.programme.working_time import BeyondCalendar
from estimator.domain.wording import said_by, worded
from estimator.services.errors import NotFound, NotReckoned
from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_workshop import open_workshop
from estimator.services.price_job import quiet


def price_classes(
    folder: Path | None,
    today: date,
    classes: Iterable[str] = (),
    machine_hours: Iterable[int] = MACHINE_HOURS,
    progress: Progress = quiet,
) -> tuple[ClassPrice, ...]:
    """Full and driveline rebuild and a typical repair of each class, by a catalogue folder (None:
    the one that comes with the program). Raises Refused, NotFound, NotReckoned."""
    catalogue, defaults = open_catalogue(folder), open_workshop(folder)
    try:
        return tuple(
            class_prices(
                catalogue, defaults, today, classes, machine_hours=machine_hours, progress=progress
            )
        )
    except UnknownClass as error:
        raise NotFound(
            worded("The catalogue has no class {code!r}.", code=str(error.args[0])),
            worded("Use one of: {known}.", known=", ".join(catalogue.classes)),
        ) from error
    except (NoRate, NetworkCycle, BeyondCalendar, ValueError) as error:
        raise NotReckoned(
            worded("The classes cannot be priced: {error}.", error=said_by(error)),
            worded("Check the figures it names."),
        ) from error
