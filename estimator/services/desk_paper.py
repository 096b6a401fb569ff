"""A document of the job that is open, from the figures that were worked out for it already."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property

from estimator.domain.catalogue.catalogue import Catalogue, ClassCatalogue
from estimator.domain.job import Job
from estimator.domain.priced_job import PricedJob, Progress
from estimator.domain.quote_length import FULL, SHORT, STANDARD
from estimator.domain.record import IssuedQuote
from estimator.services.open_record import Record
from estimator.services.paper_choices import choices_of
from estimator.services.paper_kinds import PaperKind, Source
from estimator.services.price_job import quiet
from estimator.services.print_papers import made_of, paper_kind
from estimator.services.print_quote import known_locale
from estimator.services.workshop_papers import Choices

QUOTE_LENGTHS = {"quote-short": SHORT, "quote": STANDARD, "quote-full": FULL}
"""How much of it a kind of quote tells."""


@dataclass(frozen=True)
class _OnDesk(Source):
    """A draft as it is worked on: nothing of it is read or reckoned again. `on_desk` is the job
    priced."""

    on_desk: PricedJob | None = None

    @property
    def job(self) -> Job:
        """The job as it is worked on."""
        return self.priced.job

    @cached_property
    def cat(self) -> ClassCatalogue:
        """The catalogue it was priced with."""
        return self.priced.cat

    @cached_property
    def priced(self) -> PricedJob:
        """The job priced."""
        assert self.on_desk is not None
        return self.on_desk


@dataclass(frozen=True, slots=True)
class Papered:
    """A document as bytes; where a job has several of its kind, which one it is of `choices`."""

    content: bytes
    which: str = ""
    choices: Choices = ()


def desk_paper(
    record: Record,
    priced: PricedJob,
    kind: str,
    locale: str = "en_GB",
    *,
    paper: str = "",
    which: str = "",
    progress: Progress = quiet,
) -> Papered:
    """A document of a draft as it is priced now, as PDF in the workshop's house style.

    `paper` is A4 or Letter against the house style's. Of several documents of a kind, `which` names
    one; the first is made where it is not known. Raises NotFound (job, kind, locale), Conflict
    where the job lacks what the document needs, Refused, NotReckoned.
    """
    number = priced.job.number
    return _papered(
        _OnDesk(record, number, _unasked, known_locale(locale), paper, which, progress, priced),
        paper_kind(kind),
    )


def issued_paper(
    record: Record,
    number: str,
    kind: str,
    locale: str = "en_GB",
    *,
    catalogue: Callable[[], Catalogue],
    paper: str = "",
    which: str = "",
    progress: Progress = quiet,
) -> Papered:
    """The same of a job as the record holds it, from what was frozen where it is issued. Raises as
    `desk_paper`."""
    source = Source(record, number, catalogue, known_locale(locale), paper, which, progress)
    return _papered(source, paper_kind(kind))


def _papered(source: Source, kind: PaperKind) -> Papered:
    choices = () if kind.lacks(source) else choices_of(source, kind)
    codes = [code for code, _name in choices]
    if codes and source.which not in codes:
        source = replace(source, which=codes[0])
    return Papered(made_of(source, kind), source.which, choices)


def issued_as(issued: IssuedQuote) -> tuple[str, str]:
    """(kind of document, locale) in which a revision was issued; the locale is "" where the oldest
    ones do not say."""
    printed = json.loads(issued.inputs).get("print", {})
    length = printed.get("length", STANDARD)
    kinds = {one: kind for kind, one in QUOTE_LENGTHS.items()}
    return kinds.get(length, kinds[STANDARD]), str(printed.get("locale", ""))


def _unasked() -> Catalogue:
    raise AssertionError("a job on the desk has its catalogue")
