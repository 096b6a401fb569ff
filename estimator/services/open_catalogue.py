"""Open the price catalogue, or say everything that is wrong with it."""

from __future__ import annotations

from pathlib import Path

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.wording import worded
from estimator.installed import data_root
from estimator.intake.catalogue_files import read_catalogue
from estimator.services.errors import Refused


def catalogue_folder(folder: Path | None) -> Path:
    """The catalogue named by the user, else the one that comes with the program."""
    return folder if folder is not None else data_root() / "catalog"


def open_catalogue(folder: Path | None = None) -> Catalogue:
    """The catalogue in `folder` (default: the one that comes with the program).

    Raises Refused with every fault, each named by file, row and column.
    """
    where = catalogue_folder(folder)
    catalogue, problems = read_catalogue(where)
    if catalogue is None:
        raise Refused(worded("Catalogue {where}", where=str(where)), problems)
    return catalogue
