"""Make an issued quote's print anew from what was frozen, and hold it against the bytes kept."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from estimator.documents.grammar.compared import (
    ATTACHED,
    DESCRIPTION,
    FONT,
    PAGE,
    PICTURE,
    differing,
)
from estimator.documents.grammar.dress import dressed
from estimator.documents.quote.quote_pdf import quote_pdf
from estimator.domain.priced_job import Progress
from estimator.domain.quote_length import STANDARD
from estimator.domain.record import IssuedQuote
from estimator.domain.wording import said_by, worded
from estimator.services.errors import NotFound, NotReckoned, ServiceError
from estimator.services.file_source import Wanted, source_of
from estimator.services.frozen_quote import frozen_work, issued_revision, job_as_issued
from estimator.services.house_style import style_of_issue
from estimator.services.open_record import Record
from estimator.services.price_job import quiet
from estimator.services.print_quote import known_locale
from estimator.services.printing_engine import environment
from estimator.services.quote_as_data import quotation_of
from estimator.storage.job_record import issued_quotes

_MOST_TOLD = 6  # parts that differ


@dataclass(frozen=True, slots=True)
class Remade:
    """An issued revision made again. `differs` says what is not as it was issued, nothing where
    the bytes are identical; `then` and `now` are what it was and is made with, by name."""

    number: str
    revision: str
    differs: tuple[str, ...]
    then: Mapping[str, str]  # empty on the oldest, which did not keep it
    now: Mapping[str, str]

    @property
    def identical(self) -> bool:
        """Whether it came out byte for byte as it was issued."""
        return not self.differs

    @property
    def changed_since(self) -> tuple[str, ...]:
        """Versions that are not those it was issued with, like "reportlab 4.2 now 4.4"."""
        return tuple(
            f"{name} {version} now {self.now.get(name, '')}"
            for name, version in self.then.items()
            if version != self.now.get(name, "")
        )


def remake_quote(record: Record, number: str, revision: str, progress: Progress = quiet) -> Remade:
    """Make a revision's print anew from its frozen inputs, catalogue edition, locale, length, house
    style, chain head and signature, and compare it with what is kept. Takes a second or two.

    What cannot be made again (other sums, an edition that is gone) differs, and says so. Raises
    NotFound where there is no such revision.
    """
    with record.reading() as session:
        issued = issued_revision(session, number, revision)
    told = _printed(issued)
    try:
        made = remade_bytes(record, issued, progress)
        differs = tuple(_differences(issued.pdf, made))
    except ServiceError as error:
        differs = (said_by(error),)
    except ValueError as error:
        differs = (worded("what was kept gives no quote any more: {error}", error=said_by(error)),)
    return Remade(number, revision, differs, told.get("made_with", {}), environment())


def remake_issued(record: Record, number: str = "", progress: Progress = quiet) -> Iterator[Remade]:
    """`remake_quote` of every revision of a job, or of all jobs, in the order they were issued.
    Raises NotFound where the job has none."""
    with record.reading() as session:
        found = [(one.number, one.revision) for one in issued_quotes(session, number or None)]
    if number and not found:
        raise NotFound(
            worded("No quote of {number} was issued yet.", number=number),
            worded("Issue it first."),
        )
    for one, revision in found:
        yield remake_quote(record, one, revision, progress)


def remade_bytes(record: Record, issued: IssuedQuote, progress: Progress = quiet) -> bytes:
    """The print as it comes out now. Raises NotReckoned where what was kept does not give the sums
    that were issued, NotFound where the style or the locale is known no more."""
    told = _printed(issued)
    wanted = Wanted(
        number=issued.number, revision=issued.revision, catalogue=_no_catalogue, options=True,
        locale=known_locale(told.get("locale", "en_GB")), length=told.get("length", STANDARD),
    )  # fmt: skip
    with record.reading() as session:
        work = frozen_work(session, job_as_issued(issued), issued)
        style = style_of_issue(session, issued)
    quote = source_of(work, issued, wanted, progress).quote
    carried = bool(told.get("attached"))
    attached = quotation_of(quote, issued.issued_at, issued.chain_head) if carried else ()
    with dressed(style):
        return quote_pdf(quote, wanted.locale, issued.chain_head, attached)


def _no_catalogue() -> Any:
    raise NotReckoned(worded("An issued revision is priced by its own catalogue."))


def _printed(issued: IssuedQuote) -> dict[str, Any]:
    """How it was printed: locale, length, what is attached, what it was made with."""
    told: dict[str, Any] = json.loads(issued.inputs).get("print", {})
    return told


def _differences(kept: bytes, made: bytes) -> Iterator[str]:
    if kept == made:
        return
    parts = differing(kept, made)
    names = {
        ATTACHED: worded("the attached data"), DESCRIPTION: worded("the document's description"),
        FONT: worded("a font"), PICTURE: worded("a picture"),
    }  # fmt: skip
    for kind, page in parts[:_MOST_TOLD]:
        if kind == PAGE:
            yield worded("page {page}", page=page)
        else:
            yield names.get(kind, worded("the document's structure"))
    if not parts:
        yield worded("the same content, packed otherwise")
    elif len(parts) > _MOST_TOLD:
        yield worded("and more")
