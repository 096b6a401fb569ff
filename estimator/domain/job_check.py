"""Does a job fit the catalogue: codes known, units of the right kind, sums possible."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal

from estimator.domain.by_hand_check import JOB_FILE, by_hand_faults
from estimator.domain.catalogue.catalogue import Catalogue, ClassCatalogue
from estimator.domain.catalogue.rows import MachineClass
from estimator.domain.finding_check import fault_in, finding_faults
from estimator.domain.job import METERS, MOST_DOUBT, Job
from estimator.domain.money import minor_digits
from estimator.domain.problem import Place, Problem
from estimator.domain.wording import worded

LARGEST_UNIT = Decimal(100)


def check_class(job: Job, catalogue: Catalogue) -> list[Problem]:
    """The fault of a machine class the catalogue does not have; none if it has it."""
    known = [row.id for row in catalogue.table("classes", MachineClass)]
    if job.machine.class_id in known:
        return []
    return [
        Problem(
            "unknown-class",
            Place(JOB_FILE, None, "[machine] class"),
            worded("{class_id!r} is not in the catalogue.", class_id=job.machine.class_id),
            worded("Use one of: {known}.", known=", ".join(known)),
        )
    ]


def check_job(job: Job, cat: ClassCatalogue) -> list[Problem]:
    """Every fault of a job against the catalogue of its class; warnings among them."""
    problems: list[Problem] = []
    seen: dict[str, int | None] = {}
    for finding in job.findings:
        problems += finding_faults(finding, cat)
        if finding.id in seen:
            problems.append(
                fault_in(
                    finding,
                    "id",
                    "id-twice",
                    worded(
                        "{id} stands twice (also row {row}).",
                        id=finding.id,
                        row=str(seen[finding.id]),
                    ),
                    worded("Number it anew."),
                )
            )
        seen[finding.id] = finding.place.row
    problems += _term_faults(job, cat)
    problems += _machine_faults(job)
    problems += _history_faults(job, cat)
    problems += by_hand_faults(job, cat)
    return problems


def duplicate_serials(jobs: Iterable[Job]) -> list[Problem]:
    """Jobs that carry the serial number of another job."""
    first: dict[str, Job] = {}
    faults: list[Problem] = []
    for job in jobs:
        serial = job.machine.serial.casefold().replace(" ", "")
        if serial in first and first[serial].number != job.number:
            faults.append(
                Problem(
                    "serial-twice",
                    Place(job.title, None, "[machine] serial"),
                    worded(
                        "{serial} is also the machine of {title}.",
                        serial=job.machine.serial,
                        title=first[serial].title,
                    ),
                    worded("Check the plate; a second quote for one machine is a revision."),
                )
            )
        first.setdefault(serial, job)
    return faults


def _term_faults(job: Job, cat: ClassCatalogue) -> Iterator[Problem]:
    if job.terms.tax_category not in cat.tax:
        yield Problem(
            "unknown-tax",
            Place(JOB_FILE, None, "[terms] tax_category"),
            worded("{tax_category!r} is not in tax.csv.", tax_category=job.terms.tax_category),
            worded("Use one of: {known}.", known=", ".join(cat.tax)),
        )
    used = {row.currency for row in cat.parts.values() if job.takes(row)}
    used |= {row.currency for row in cat.outwork.values() if job.takes(row)}
    used |= {cat.settings.currency, *(trade.currency for trade in cat.trades.values())}
    used |= {cat.machine_class.currency, *(row.currency for row in cat.levies.values())}
    used |= {row.currency for row in cat.suppliers.values()}
    used |= {remedy.currency for ways in cat.remedies.values() for remedy in ways}
    used |= {row.currency for row in cat.found_work.values() if job.takes(row)}
    for currency in sorted(used - set(job.exchange_rates) - {job.terms.currency}):
        yield Problem(
            "no-rate",
            Place(JOB_FILE, None, "[[exchange_rate]]"),
            worded(
                "holds no rate for {currency}, in which the catalogue prices some rows.",
                currency=currency,
            ),
            worded(
                "Add what one {currency} costs in {own}, its date and source.",
                currency=currency,
                own=job.terms.currency,
            ),
        )
    minor = Decimal(1).scaleb(-minor_digits(job.terms.currency))
    unit = job.terms.quoting_unit
    if unit > LARGEST_UNIT or unit % minor != 0 or LARGEST_UNIT % unit != 0:
        yield Problem(
            "bad-unit",
            Place(JOB_FILE, None, "[terms] quoting_unit"),
            worded("{unit} does not suit {currency}.", unit=unit, currency=job.terms.currency),
            worded(
                "Use {minor}, 1, 10 or another that divides 100 and is made of whole minor units.",
                minor=minor,
            ),
        )
    if job.terms.currency in job.exchange_rates:
        yield Problem(
            "own-rate",
            Place(JOB_FILE, None, "[[exchange_rate]]"),
            worded(
                "holds a rate for {currency}, the quote's own currency.",
                currency=job.terms.currency,
            ),
            worded("Take it out."),
        )


def _machine_faults(job: Job) -> Iterator[Problem]:
    """Hours below something in the machine's past, a doubt beyond what can be reckoned with."""
    machine = job.machine
    for event in machine.history:
        if event.hours > machine.hours:
            yield Problem(
                "history-hours",
                Place(JOB_FILE, None, "[machine] hours"),
                worded(
                    "are {hours:f}, below the {before:f} h of {what!r}.",
                    hours=machine.hours,
                    before=event.hours,
                    what=event.what,
                ),
                worded("Check both; a replaced hour meter is stated as total hours."),
            )
    if machine.meter not in METERS:
        yield Problem(
            "bad-entry",
            Place(JOB_FILE, None, "[machine] meter"),
            worded("is {value!r}.", value=machine.meter[:40]),
            worded("Use one of: {known}.", known=", ".join(METERS)),
        )
    if not 0 <= machine.hours_doubt <= MOST_DOUBT:
        yield Problem(
            "bad-entry",
            Place(JOB_FILE, None, "[machine] hours_doubt"),
            worded(
                "is {value}; it lies between {low} and {high}.",
                value=machine.hours_doubt,
                low=0,
                high=MOST_DOUBT,
            ),
            worded("It is a share: 0.2 means that the true hours may well lie a fifth off."),
        )


def _history_faults(job: Job, cat: ClassCatalogue) -> Iterator[Problem]:
    for number, event in enumerate(job.machine.history, start=1):
        where = Place(JOB_FILE, None, f"[machine.history {number}]")
        unknown = [c for c in event.components if c not in cat.components]
        unknown += [p for p in (*event.renewed, *event.seen_sound) if p not in cat.parts]
        for code in unknown:
            yield Problem(
                "unknown-code",
                where,
                worded("{code!r} is not in the catalogue.", code=code),
                worded("Mend it."),
            )
