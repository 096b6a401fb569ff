"""The samples that come with the program: jobs as folders, and a workshop to try everything on."""

from __future__ import annotations

import importlib
import importlib.machinery
import importlib.util
import os
import sys
import tempfile
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from types import ModuleType

from estimator.domain.wording import worded
from estimator.installed import data_root
from estimator.services.errors import NotFound, NotWritten

FIRST_SAMPLE = "wheel_loader"
SAMPLE_ESTIMATOR = "P. Holt"
SAMPLE_PASSPHRASE = "shims and sealing rings"  # of everyone in the sample; published on purpose
_PACKAGE = "sample_db"


def sample_folder(name: str = FIRST_SAMPLE) -> Path:
    """Folder of a sample job. Raises NotFound, naming those there are."""
    folder = data_root() / "sample_db" / name
    if not (folder / "job.toml").is_file():
        raise NotFound(
            worded("There is no sample job {name!r}.", name=name),
            worded("There are: {samples}.", samples=", ".join(samples())),
        )
    return folder


def samples() -> tuple[str, ...]:
    """Names of the sample jobs."""
    return tuple(
        sorted(path.parent.name for path in (data_root() / "sample_db").glob("*/job.toml"))
    )


def sample_record() -> Path:
    """Where the sample workshop's record lies: in the user's data folder, by each system's custom
    (XDG_DATA_HOME, %LOCALAPPDATA%, ~/Library/Application Support)."""
    return _data_folder() / "shimwright" / "sample-workshop.db"


def _data_folder() -> Path:
    if sys.platform == "win32":
        local = os.environ.get("LOCALAPPDATA", "")
        return Path(local) if local else Path.home() / "AppData" / "Local"
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support"
    given = os.environ.get("XDG_DATA_HOME", "")
    # The XDG base directory specification: a relative path is to be ignored.
    return Path(given) if Path(given).is_absolute() else Path.home() / ".local" / "share"


def build_sample_workshop(path: Path, now: datetime, report: Callable[[str], None]) -> None:
    """Build the sample workshop's record at `path`. It takes some ten seconds; `report` is told in
    words how far it is, and what it raises stops the work.

    It is built beside its place and moved there whole: whatever stops it, no half-built record is
    left. Raises NotWritten where the folder cannot be written to or `path` is there already, and
    the errors of the services it is built through.
    """
    if path.exists():
        raise NotWritten(
            worded("{path} is there already.", path=str(path)), worded("Move it away first.")
        )
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=path.parent, prefix=f".{path.name}.") as name:
            half_built = Path(name) / path.name
            _builder().build(half_built, now, report)
            # Closed by then: SQLite has folded its log into the one file that is moved.
            if not path.exists():  # another window may have built its own meanwhile: it stays
                half_built.replace(path)
    except OSError as error:
        reason = error.strerror or worded("unknown reason")
        raise NotWritten(
            worded("{path} cannot be written ({reason}).", path=str(path), reason=reason),
            worded("Choose another place."),
        ) from error


def _builder() -> ModuleType:
    """The program that builds the sample. It lies with the sample's text, outside this package."""
    if _PACKAGE not in sys.modules:
        spec = importlib.machinery.PathFinder.find_spec(_PACKAGE, [str(data_root())])
        if spec is None or spec.loader is None:
            raise NotFound(
                worded("The sample workshop did not come with this copy."),
                worded("Install it anew."),
            )
        module = importlib.util.module_from_spec(spec)
        sys.modules[_PACKAGE] = module
        spec.loader.exec_module(module)
    return importlib.import_module(f"{_PACKAGE}.build_workshop")
