"""Open what every new job begins with, or say everything that is wrong with it."""

from __future__ import annotations

from pathlib import Path

from estimator.domain.new_job import JobDefaults
from estimator.domain.wording import worded
from estimator.intake.workshop_file import read_workshop
from estimator.services.errors import Refused
from estimator.services.open_catalogue import catalogue_folder


def open_workshop(folder: Path | None = None) -> JobDefaults:
    """What `workshop.toml` in a catalogue folder holds (default: the one that comes with the
    program). Raises Refused with every fault, a missing file among them."""
    where = catalogue_folder(folder)
    defaults, problems = read_workshop(where)
    if defaults is None:
        raise Refused(worded("Workshop terms in {where}", where=str(where)), problems)
    return defaults
