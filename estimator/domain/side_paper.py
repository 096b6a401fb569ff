"""What the papers beside the quote share: whose machine, in which language, with which clauses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue, fits, for_class
from estimator.domain.catalogue.names import lacking
from estimator.domain.catalogue.rows import MachineClass
from estimator.domain.job import Job
from estimator.domain.language import ENGLISH, is_english
from estimator.domain.quote import ClauseText

_KILOGRAMS = Decimal(1000)


@dataclass(frozen=True, slots=True)
class PaperHead:
    """The head of a paper. `clauses` are by section, the paper's own name left off."""

    job: Job
    machine: MachineClass
    language: str
    clauses: Mapping[str, tuple[ClauseText, ...]]
    partly_english: bool = False

    @property
    def tonnes(self) -> Decimal:
        """Operating mass of the class, not rounded."""
        return self.machine.operating_mass_kg / _KILOGRAMS

    @property
    def unconfirmed(self) -> bool:
        """Whether a clause on it is a translation that nobody at the workshop has confirmed."""
        return any(one.unconfirmed for texts in self.clauses.values() for one in texts)


def paper_head(
    job: Job, cat: ClassCatalogue, language: str, paper: str, *, with_names: bool = True
) -> PaperHead:
    """The head of a paper whose clauses stand in sections beginning with `paper`; `cat` has its
    names in the language already. A clause that the language lacks is taken in English."""
    own = {one.id: one for one in cat.catalogue.clauses.get(language, ())}
    traits = cat.catalogue.machine_class(cat.machine_class.id).all_traits
    found: dict[str, list[ClauseText]] = {}
    for clause in sorted(cat.catalogue.clauses.get(ENGLISH, ()), key=lambda one: one.order):
        if not clause.section.startswith(paper) or not fits(clause, traits):
            continue
        if not clause.is_for(job.level):
            continue
        shown = own.get(clause.id) if language != ENGLISH else clause
        section = clause.section.removeprefix(paper)
        found.setdefault(section, []).append(
            ClauseText(
                clause.id, section, (shown or clause).text,
                in_english=shown is None and not is_english(language),
                unconfirmed=shown is not None and shown is not clause
                and not is_english(language) and not shown.confirmed_by,
            )
        )  # fmt: skip
    clauses = {section: tuple(texts) for section, texts in found.items()}
    left = any(one.in_english for texts in clauses.values() for one in texts)
    if with_names and not is_english(language):
        english = for_class(cat.catalogue, cat.machine_class.id)
        left = left or bool(lacking(english, language))
    return PaperHead(job, cat.machine_class, language, clauses, left)


def good_until(job: Job) -> timedelta:
    """How long after its date a paper of the job is good for."""
    return timedelta(days=job.terms.valid_days)
