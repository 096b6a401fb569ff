"""Make a job's quote as PDF and put it where the user wants it."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from estimator.documents.quote_pdf import quote_pdf
from estimator.domain.priced_job import PricedJob
from estimator.domain.quote import Quote, build_quote
from estimator.services.errors import NotWritten


def make_quote(priced: PricedJob, language: str = "en") -> Quote:
    """The quote of a priced job, with its options and teardown-only offer."""
    return build_quote(priced, language)


def print_quote(quote: Quote, path: Path, *, locale: str = "en_GB", replace: bool = False) -> Path:
    """Write the quote as PDF to `path` and return the path. Raises NotWritten.

    The file is made whole beside its place and then moved there: a full disk or a crash leaves
    what was there before. A file that exists is kept unless `replace` is true.
    """
    if path.exists() and not replace:
        raise NotWritten(f"{path} is there already.", "Choose another name, or say --replace.")
    return write_whole(path, quote_pdf(quote, locale))


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
        reason = error.strerror or "unknown reason"
        raise NotWritten(
            f"{path} cannot be written ({reason}).", "Choose another place."
        ) from error
    return path
