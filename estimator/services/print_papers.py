"""One entry to every document of a job before acceptance: list them, make one, write it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from dataclasses import replace as changed
from pathlib import Path

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.priced_job import Progress
from estimator.domain.wording import worded
from estimator.services.customer_papers import CUSTOMER_PAPERS
from estimator.services.errors import Conflict, NotFound, NotWritten
from estimator.services.keep_catalogue import working_catalogue
from estimator.services.open_record import Record
from estimator.services.paper_kinds import PaperKind, Source, Why
from estimator.services.price_job import quiet
from estimator.services.print_quote import known_locale
from estimator.services.workshop_papers import WORKSHOP_PAPERS
from estimator.services.write_file import write_whole

PAPERS: tuple[PaperKind, ...] = (*CUSTOMER_PAPERS, *WORKSHOP_PAPERS)
"""Every kind: a room's own kinds are a tuple of `PaperKind` that is added here."""
SIZES = ("", "A4", "Letter")


@dataclass(frozen=True, slots=True)
class Offered:
    """A kind of document and a job: `why_not` is "" where it can be made."""

    kind: PaperKind
    why_not: Why


def paper_kind(key: str) -> PaperKind:
    """The kind of this key. Raises NotFound, naming those there are."""
    for one in PAPERS:
        if one.key == key:
            return one
    raise NotFound(
        worded("There is no document {key}.", key=repr(key)),
        worded("Say one of: {known}.", known=", ".join(one.key for one in PAPERS)),
    )


def papers_of(
    record: Record, number: str, catalogue: Callable[[], Catalogue] | None = None
) -> tuple[Offered, ...]:
    """Every kind with whether it can be made of a job, quickly: nothing is reckoned. Raises
    NotFound."""
    source = Source(record, number, _worked_with(record, catalogue))
    _ = source.kept
    return tuple(Offered(one, one.lacks(source)) for one in PAPERS)


def paper_of(
    record: Record,
    number: str,
    kind: str,
    locale: str = "en_GB",
    *,
    catalogue: Callable[[], Catalogue] | None = None,
    paper: str = "",
    which: str = "",
    progress: Progress = quiet,
) -> bytes:
    """A document of a job as PDF, in the workshop's house style.

    `paper` is A4 or Letter against the house style's. Raises NotFound (job, kind, locale, paper),
    Conflict where the job lacks what the document needs, Refused where it does not fit the
    catalogue, NotReckoned.
    """
    asked = _worked_with(record, catalogue)
    source = Source(record, number, asked, known_locale(locale), _size(paper), which, progress)
    return made_of(source, paper_kind(kind))


def made_of(source: Source, kind: PaperKind) -> bytes:
    """A document of a source that is read already, so that a batch reckons a job once. Raises as
    `paper_of`."""
    from estimator.services.house_style import wearing

    if why := kind.lacks(source):
        raise Conflict(
            worded("{title}: {paper} cannot be made. {why}", title=source.job.title,
                   paper=kind.title, why=why),
            worded("It needs {what}.", what=kind.needs),
        )  # fmt: skip
    style = source.style
    if source.paper:
        style = changed(style, paper=source.paper)
    with wearing(style):
        return kind.make(source)


def print_paper(  # noqa: PLR0913 - which, how and where to
    record: Record,
    number: str,
    kind: str,
    path: Path,
    locale: str = "en_GB",
    *,
    catalogue: Callable[[], Catalogue] | None = None,
    paper: str = "",
    which: str = "",
    replace: bool = False,
    progress: Progress = quiet,
) -> Path:
    """Write a document of a job to `path` and return the path: whole or not at all. A file that is
    there is kept unless `replace`. Raises as `paper_of`, and NotWritten."""
    if path.exists() and not replace:
        raise NotWritten(
            worded("{path} is there already.", path=str(path)),
            worded("Choose another name, or say --replace."),
        )
    data = paper_of(record, number, kind, locale, catalogue=catalogue, paper=paper, which=which,
                    progress=progress)  # fmt: skip
    return write_whole(path, data)


def _worked_with(
    record: Record, catalogue: Callable[[], Catalogue] | None
) -> Callable[[], Catalogue]:
    """The catalogue asked for, else the one that the record works with."""
    return catalogue or (lambda: working_catalogue(record))


def _size(paper: str) -> str:
    if paper not in SIZES:
        raise NotFound(
            worded("There is no {what} here.", what=repr(paper)),
            worded("Say one of: {known}.", known="A4, Letter"),
        )
    return paper
