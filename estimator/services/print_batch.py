"""Documents of many jobs in one go: one that fails does not stop the others."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.priced_job import Progress
from estimator.domain.wording import worded
from estimator.services.errors import NotWritten, ServiceError
from estimator.services.note_unexpected import note_unexpected
from estimator.services.open_record import Record
from estimator.services.paper_choices import choices_of
from estimator.services.paper_kinds import PaperKind, Source
from estimator.services.price_job import quiet
from estimator.services.print_papers import made_of, paper_kind
from estimator.services.print_quote import known_locale
from estimator.services.write_file import write_whole

WRITTEN, KEPT, FAILED = "written", "kept", "failed"
_UNFIT = re.compile(r"[^\w.\-]+")


@dataclass(frozen=True, slots=True)
class Printed:
    """What became of one document: `state` is one of WRITTEN, KEPT (a file was there) and FAILED,
    where `message` and `remedy` say why. `which` is one of several of its kind."""

    number: str
    kind: str
    state: str
    path: Path | None = None
    which: str = ""
    code: str = ""
    message: str = ""
    remedy: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """What is wanted of each job. Files are named NUMBER-REVISION-KIND-LOCALE.pdf, with supplier or
    trade after the kind where there are several; with `paper` at the end where one is said."""

    kinds: Sequence[str]
    folder: Path
    catalogue: Callable[[], Catalogue]
    locale: str = "en_GB"
    paper: str = ""
    replace: bool = False


def print_batch(
    record: Record, numbers: Sequence[str], batch: Batch, progress: Progress = quiet
) -> Iterator[Printed]:
    """Write documents of jobs, one after another, each told as it is done; a job is reckoned once.

    Where a job has several documents of a kind, all are written. Raises NotFound for a kind or a
    locale that is not there and NotWritten for a folder that is a file, before anything is written;
    whatever else goes wrong is told of the document and ends nothing.
    """
    kinds = [paper_kind(one) for one in dict.fromkeys(batch.kinds)]
    batch = replace(batch, locale=known_locale(batch.locale))
    if batch.folder.exists() and not batch.folder.is_dir():
        raise NotWritten(
            worded("{path} is no folder.", path=str(batch.folder)), worded("Name a folder.")
        )
    return _printed(record, tuple(dict.fromkeys(numbers)), kinds, batch, progress)


def _printed(
    record: Record,
    numbers: Iterable[str],
    kinds: Sequence[PaperKind],
    batch: Batch,
    progress: Progress,
) -> Iterator[Printed]:
    for number in numbers:
        source = Source(record, number, batch.catalogue, batch.locale, batch.paper, "", progress)
        for kind in kinds:
            progress(f"{number} {kind.key}")
            yield from _of_kind(source, kind, batch)


def _of_kind(source: Source, kind: PaperKind, batch: Batch) -> Iterator[Printed]:
    number = source.number
    try:
        number = source.job.number
        choices = () if kind.lacks(source) else choices_of(source, kind)
    except Exception as error:
        yield _failed(number, kind, "", error)
        return
    for which in [code for code, _name in choices] or [""]:
        yield _one(source, kind, which, batch)


def _one(source: Source, kind: PaperKind, which: str, batch: Batch) -> Printed:
    number = source.job.number
    path = batch.folder / file_of(source, kind.key, which)
    if path.exists() and not batch.replace:
        return Printed(number, kind.key, KEPT, path, which)
    try:
        chosen = replace(source, which=which) if which else source
        write_whole(path, made_of(chosen, kind))
    except Exception as error:
        return _failed(number, kind, which, error)
    return Printed(number, kind.key, WRITTEN, path, which)


def _failed(number: str, kind: PaperKind, which: str, error: Exception) -> Printed:
    """What went wrong in words; the next document is made all the same."""
    if isinstance(error, ServiceError):
        code, message, remedy = error.code, error.message, error.remedy
    else:
        code, message, remedy = "unexpected", note_unexpected(error), ""
    return Printed(number, kind.key, FAILED, None, which, code, message, remedy)


def file_of(source: Source, kind: str, which: str = "") -> str:
    """The name of a document's file: the same job, revision, document, language and paper are
    always called the same."""
    parts = (source.job.number, source.job.revision, kind, which, source.locale, source.paper)
    return "-".join(_UNFIT.sub("_", one) for one in parts if one) + ".pdf"
