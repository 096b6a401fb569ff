"""An unexpected error: its details go to a log, a plain sentence to the user."""

from __future__ import annotations

import os
import sys
import traceback
from datetime import UTC, datetime
from pathlib import Path

from estimator.domain.wording import joined, worded


def log_path() -> Path:
    """Where unexpected errors are logged, by the custom of each system."""
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA", str(Path.home())))
    else:
        base = Path(os.environ.get("XDG_STATE_HOME", str(Path.home() / ".local" / "state")))
    return base / "shimwright" / "errors.log"


def note_unexpected(error: Exception) -> str:
    """Log `error` with its details; returns what to tell the user."""
    name = type(error).__name__
    said = worded("Something went wrong that should not have ({kind}).", kind=name)
    path = log_path()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("a", encoding="utf-8") as log:
            log.write(f"--- {datetime.now(UTC).isoformat()}\n")
            log.write("".join(traceback.format_exception(error)))
    except OSError:
        rest = worded("Nothing was changed. The details could not be logged.")
        return joined((said, rest), " ")
    rest = worded(
        "Nothing was changed. The details are in {path}; please pass them on.", path=str(path)
    )
    return joined((said, rest), " ")
