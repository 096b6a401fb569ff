"""A budget letter: what a rebuild may come to before anybody has been at the machine. Always a
range with its class, never one figure, and nothing that could be accepted."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.names import catalogue_in
from estimator.domain.disposition import UNSEEN
from estimator.domain.enquiry import (
    BANDS,
    ON_PAPER,
    UNSEEN_CLASS,
    Band,
    EnquiryRange,
    enquiry_range,
    range_so_far,
)
from estimator.domain.job import Job
from estimator.domain.priced_work import priced_work
from estimator.domain.quote_length import BUDGET
from estimator.domain.side_paper import PaperHead, good_until, paper_head
from estimator.domain.wording import worded


@dataclass(frozen=True, slots=True)
class BudgetLetter:
    """Everything that the letter prints. `groups` are the component groups that the range has work
    on; `bands` every estimate class, the vaguest first."""

    head: PaperHead
    found: EnquiryRange
    groups: tuple[str, ...]
    bands: tuple[Band, ...]
    until: date


class LookedAt(ValueError):
    """Somebody has been at the machine: a quote says more than this letter."""


def budget_letter(job: Job, cat: ClassCatalogue, language: str = "en") -> BudgetLetter:
    """The letter of a job at which nobody has been: from class and hours, or with what oil samples
    and papers tell.

    Raises LookedAt where a finding was made on the machine, NoRate and ValueError where the job
    cannot be reckoned with.
    """
    seen = looks_at_machine(job, cat)
    if seen:
        raise LookedAt(worded("somebody has looked at the machine, as {names} say",
                              names=", ".join(seen[:3])))  # fmt: skip
    found = enquiry_range(job, cat)
    if any(_kind(job, cat, at) in ON_PAPER for at in range(len(job.findings))):
        found = range_so_far(priced_work(job, cat))
    known = catalogue_in(cat, language)
    rows = (*known.operations.values(), *known.parts.values())
    touched = {known.group_of(row.component) for row in rows if job.takes(row)}
    return BudgetLetter(
        head=paper_head(job, known, language, BUDGET),
        found=found,
        groups=tuple(row.name for code, row in known.groups.items() if code in touched),
        bands=tuple(BANDS[number] for number in range(UNSEEN_CLASS, 0, -1)),
        until=job.date + good_until(job),
    )


def looks_at_machine(job: Job, cat: ClassCatalogue) -> list[str]:
    """Findings that somebody made on the machine, by id."""
    apart = (*UNSEEN, *ON_PAPER)
    return [one.id for at, one in enumerate(job.findings) if _kind(job, cat, at) not in apart]


def _kind(job: Job, cat: ClassCatalogue, at: int) -> str:
    finding = job.findings[at]
    measure = cat.measures.get(finding.measure)
    return finding.kind or (measure.kind if measure else "visual")
