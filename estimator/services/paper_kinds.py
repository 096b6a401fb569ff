"""What a kind of document of a job is: its name, whom it is for, what it needs, how it is made."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property

from estimator.domain.catalogue.catalogue import Catalogue, ClassCatalogue
from estimator.domain.house_style import HouseStyle
from estimator.domain.job import Job
from estimator.domain.language import language_of
from estimator.domain.priced_job import PricedJob, Progress, reckon_on
from estimator.domain.record import FROZEN, IssuedQuote
from estimator.services.frozen_quote import accepted_job, frozen_work
from estimator.services.house_style import house_style, style_of_issue
from estimator.services.learn import learnt
from estimator.services.open_job import catalogue_for
from estimator.services.open_record import Record
from estimator.services.price_job import quiet, reckoned
from estimator.services.write_edit import field_texts, kept_job
from estimator.storage import job_record
from estimator.storage.job_rows import KeptJob

Why = str  # in words why a document cannot be made; "" where it can


@dataclass(frozen=True)
class Source:
    """A job of the record on its way to a document. What is asked of it is read once.

    `catalogue` is asked where the job is not frozen, `paper` is A4 or Letter against the house
    style's ("" for that), `which` what a kind lets one choose: a supplier, a trade.
    """

    record: Record
    number: str
    catalogue: Callable[[], Catalogue]
    locale: str = "en_GB"
    paper: str = ""
    which: str = ""
    progress: Progress = field(default=quiet)

    @cached_property
    def kept(self) -> KeptJob:
        """The job as the record keeps it. Raises NotFound."""
        with self.record.reading() as session:
            return kept_job(session, self.number)

    @property
    def job(self) -> Job:
        """The job."""
        return self.kept.job

    @property
    def language(self) -> str:
        """The language of its locale."""
        return language_of(self.locale)

    @cached_property
    def revisions(self) -> tuple[IssuedQuote, ...]:
        """Everything that was issued of it, the oldest first."""
        with self.record.reading() as session:
            return tuple(job_record.issued_quotes(session, self.job.number))

    @cached_property
    def issued(self) -> IssuedQuote | None:
        """The job's own revision as it was issued; None where it is not issued."""
        if self.kept.state not in FROZEN:
            return None
        own = [one for one in self.revisions if one.revision == self.job.revision]
        return own[-1] if own else None

    @property
    def issued_before(self) -> IssuedQuote | None:
        """The revision that was issued before the job's own; None where it is the first."""
        before = [one for one in self.revisions if one.revision != self.job.revision]
        return before[-1] if before else None

    @cached_property
    def cat(self) -> ClassCatalogue:
        """The catalogue as the job's class sees it. Raises Refused where it does not fit."""
        if self.issued is not None:
            return self.priced.cat
        return catalogue_for(self.job, learnt(self.record, self.catalogue()), self.job.title)

    @cached_property
    def priced(self) -> PricedJob:
        """The job priced: as it was issued where it is frozen, else as it is now. Raises Refused,
        NotReckoned."""
        if self.issued is None:
            return reckoned(self.job, self.cat, self.progress)
        with self.record.reading() as session:
            work = frozen_work(session, accepted_job(self.job, self.issued), self.issued)
        return reckon_on(work, progress=self.progress)

    @cached_property
    def style(self) -> HouseStyle:
        """The house style: as its revision was issued in, else the one in force, unsigned."""
        if self.issued is not None:
            with self.record.reading() as session:
                return style_of_issue(session, self.issued)
        return replace(house_style(self.record).style, signatures=())

    @cached_property
    def not_valid(self) -> tuple[str, ...]:
        """Places that hold text which is not valid yet, or is not known."""
        with self.record.reading() as session:
            return tuple(one.place for one in field_texts(session, self.kept.id))


@dataclass(frozen=True, slots=True)
class PaperKind:
    """One kind of document. `needs` says in words what it cannot do without; `lacks` why it cannot
    be made of a job, as far as that is known without reckoning ("" where nothing stands against
    it); `make` makes it, in the house style that is worn. `slow`: it reckons for some seconds.
    `chooses` names what `which` may be ("" where nothing is to be chosen)."""

    key: str
    title: str
    for_customer: bool
    needs: str
    make: Callable[[Source], bytes]
    lacks: Callable[[Source], Why] = lambda _: ""
    slow: bool = True
    chooses: str = ""
