"""What stands at the top of every paper of inspection and workshop, and the clauses it prints."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue, fits
from estimator.domain.catalogue.rows import Caution
from estimator.domain.catalogue.work_rows import Operation
from estimator.domain.job import Job, Party
from estimator.domain.language import ENGLISH, is_english
from estimator.domain.quote import ClauseText
from estimator.domain.scope_line import ScopeLine

_KILOGRAMS = Decimal(1000)
SAFETY = "safety"
_SAFETY = "safety: first"  # what every paper with cautions says first
_WITH_CAUTIONS = ("inspection report: ", "inspection sheet: ", "job card: ")
_SHOWN_DIGITS = 12  # of the catalogue's fingerprint


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperHead:
    """Whose paper it is and about which machine. Without a job, number and serial are blank and
    `hours` and `customer` None."""

    workshop: Party
    machine: str  # its type, as printed
    tonnes: Decimal
    day: date  # of the paper
    version: str  # of the catalogue
    edition: str  # first digits of its fingerprint
    currency: str
    quoting_unit: Decimal
    number: str = ""
    revision: str = ""
    serial: str = ""
    hours: Decimal | None = None
    customer: Party | None = None
    level: str = ""
    clauses: Mapping[str, tuple[ClauseText, ...]] = field(default_factory=dict)

    @property
    def title(self) -> str:
        """The job as people say it; "" without one."""
        return f"{self.number} rev {self.revision}" if self.number else ""


def head_of(job: Job, cat: ClassCatalogue, day: date, paper: str, language: str) -> PaperHead:
    """The head of a paper about a job; `paper` is what the sections of its clauses begin with."""
    return PaperHead(
        workshop=job.workshop,
        machine=cat.machine_class.type,
        tonnes=cat.machine_class.operating_mass_kg / _KILOGRAMS,
        day=day,
        version=cat.catalogue.version,
        edition=cat.catalogue.fingerprint[:_SHOWN_DIGITS],
        currency=job.terms.currency,
        quoting_unit=job.terms.quoting_unit,
        number=job.number,
        revision=job.revision,
        serial=job.machine.serial,
        hours=job.machine.hours,
        customer=job.customer,
        level=job.level,
        clauses=paper_clauses(cat, paper, language),
    )


def head_of_class(
    workshop: Party, cat: ClassCatalogue, day: date, paper: str, language: str
) -> PaperHead:
    """The head of a paper about a class of machine, no job known."""
    return PaperHead(
        workshop=workshop,
        machine=cat.machine_class.type,
        tonnes=cat.machine_class.operating_mass_kg / _KILOGRAMS,
        day=day,
        version=cat.catalogue.version,
        edition=cat.catalogue.fingerprint[:_SHOWN_DIGITS],
        currency=cat.settings.currency,
        quoting_unit=Decimal(1),
        clauses=paper_clauses(cat, paper, language),
    )


def paper_clauses(
    cat: ClassCatalogue, paper: str, language: str
) -> dict[str, tuple[ClauseText, ...]]:
    """The clauses of the sections that begin with `paper`, by what follows that, in order, and what
    is said before all cautions; English where the language has none."""
    catalogue = cat.catalogue
    traits = catalogue.machine_class(cat.machine_class.id).all_traits  # its type is a trait too
    own = {one.id: one for one in catalogue.clauses.get(language, ()) if fits(one, traits)}
    found: dict[str, list[ClauseText]] = {}
    for clause in sorted(catalogue.clauses.get(ENGLISH, ()), key=lambda one: one.order):
        safety = clause.section == _SAFETY and paper in _WITH_CAUTIONS
        if not (safety or clause.section.startswith(paper)) or not fits(clause, traits):
            continue
        shown = (own.get(clause.id) if language != ENGLISH else clause) or clause
        left = shown is clause and not is_english(language)
        unconfirmed = shown is not clause and not shown.confirmed_by
        section = SAFETY if safety else clause.section.removeprefix(paper)
        text = ClauseText(clause.id, section, shown.text, left, unconfirmed)
        found.setdefault(section, []).append(text)
    return {section: tuple(texts) for section, texts in found.items()}


def cautions_of(cat: ClassCatalogue, lines: Iterable[ScopeLine]) -> tuple[Caution, ...]:
    """Cautions of the operations among these lines, in the order of the catalogue."""
    rows = [line.row for line in lines if isinstance(line.row, Operation)]
    return cautions_named(cat, (code for row in rows for code in row.cautions))


def cautions_named(cat: ClassCatalogue, codes: Iterable[str]) -> tuple[Caution, ...]:
    """Cautions by their codes, in the order of the catalogue."""
    used = set(codes)
    return tuple(row for code, row in cat.cautions.items() if code in used)


def component_name(cat: ClassCatalogue, code: str) -> str:
    """Name of a component; its code where the catalogue has none."""
    row = cat.components.get(code)
    return row.name if row is not None else code
