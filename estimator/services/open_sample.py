"""The sample jobs that come with the program."""

from __future__ import annotations

from pathlib import Path

from estimator.installed import data_root
from estimator.services.errors import NotFound

FIRST_SAMPLE = "wheel_loader"


def sample_folder(name: str = FIRST_SAMPLE) -> Path:
    """Folder of a sample job. Raises NotFound, naming those there are."""
    folder = data_root() / "sample_db" / name
    if not (folder / "job.toml").is_file():
        raise NotFound(f"There is no sample job {name!r}.", f"There are: {', '.join(samples())}.")
    return folder


def samples() -> tuple[str, ...]:
    """Names of the sample jobs."""
    return tuple(
        sorted(path.parent.name for path in (data_root() / "sample_db").glob("*/job.toml"))
    )
