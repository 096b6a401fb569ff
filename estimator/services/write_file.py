"""Writing a file whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from estimator.domain.wording import worded
from estimator.services.errors import NotWritten


def write_whole(path: Path, data: bytes) -> Path:
    """Write `data` to `path` in one step. Raises NotWritten; no half-written file is left."""
    handle, name = -1, ""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(0o644)
        Path(name).replace(path)
    except OSError as error:
        if name:
            Path(name).unlink(missing_ok=True)
        reason = error.strerror or worded("unknown reason")
        raise NotWritten(
            worded("{path} cannot be written ({reason}).", path=str(path), reason=reason),
            worded("Choose another place."),
        ) from error
    return path
