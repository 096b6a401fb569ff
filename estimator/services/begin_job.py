"""Begin a job in the record: numbered without a gap, on the workshop's usual terms."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.job import Job, Party
from estimator.domain.job_check import check_class
from estimator.domain.job_data import job_as_data
from estimator.domain.new_job import JobDefaults, new_job, new_machine
from estimator.domain.people import TAKE_IN, Person
from estimator.domain.problem import Place, Problem
from estimator.domain.record import DRAFT, KeptText
from estimator.domain.wording import worded
from estimator.intake.plain_text import hidden_sign
from estimator.services.enrol_person import require
from estimator.services.errors import Refused
from estimator.services.keep_job import free_number
from estimator.services.open_record import Record
from estimator.services.open_workshop import open_workshop
from estimator.storage import job_record
from estimator.storage.change_log import append
from estimator.storage.edit_record import keep_text

if TYPE_CHECKING:
    from estimator.storage.database import Session

UNKNOWN_HOURS = Decimal(10_000)  # stands until somebody types them; marked as not known
UNKNOWN_CUSTOMER = "not named yet"
CUSTOMER_PLACE, HOURS_PLACE = "customer/name", "machine/hours"


@dataclass(frozen=True, slots=True)
class Enquiry:
    """What is known when a job begins. Blank fields take the workshop's usual values; customer
    and hours that are not known are marked so on the job, and nothing is issued before they are."""

    class_id: str = ""  # "": the catalogue's reference class
    customer: Party = Party("")
    serial: str = ""
    hours: Decimal | None = None
    duty: Decimal | None = None
    life_wanted: Decimal | None = None
    level: str = "full"
    note: str = ""


def begin_job(
    record: Record,
    catalogue: Catalogue,
    who: Person,
    now: datetime,
    enquiry: Enquiry | None = None,
    defaults: JobDefaults | None = None,
) -> str:
    """Begin a job and return its number (Q-0001 ...). `defaults` is what every job of the workshop
    begins with (default: `workshop.toml` that comes with the program).

    Raises NotAllowed, Refused with every fault of the enquiry.
    """
    require(who, TAKE_IN)
    asked = enquiry or Enquiry()
    usual = defaults or open_workshop()
    _job(asked, "new", catalogue, who, now, usual)  # faults are told before a number is taken
    with record.writing() as session:
        job = _job(asked, free_number(session), catalogue, who, now, usual)
        job_id = job_record.add_job(session, job, DRAFT, now)
        _mark_unknown(session, job_id, asked, who, now)
        append(
            session,
            at=now,
            who=who.name,
            act="begun",
            subject=f"job/{job.number}",
            after=job_as_data(job),
        )
    return job.number


def _job(
    asked: Enquiry,
    number: str,
    catalogue: Catalogue,
    who: Person,
    now: datetime,
    usual: JobDefaults,
) -> Job:
    machine = new_machine(
        asked.class_id or catalogue.settings.reference_class,
        asked.serial,
        UNKNOWN_HOURS if asked.hours is None else asked.hours,
        usual,
        asked.duty,
        asked.life_wanted,
    )
    customer = asked.customer if asked.customer.name else Party(UNKNOWN_CUSTOMER)
    try:
        job = new_job(
            number, machine, customer, who.name, now.date(), usual,
            level=asked.level, note=asked.note,
        )  # fmt: skip
    except ValueError as error:
        problems = [Problem("bad-entry", Place("enquiry"), str(error))]
        raise Refused(worded("The new job"), problems) from error
    problems = [*check_class(job, catalogue), *_text_faults(asked)]
    if problems:
        raise Refused(worded("The new job"), problems)
    return job


def _text_faults(asked: Enquiry) -> list[Problem]:
    texts = {
        "customer": "\n".join(
            (asked.customer.name, *asked.customer.address, asked.customer.contact)
        ),
        "serial": asked.serial,
        "note": asked.note,
    }
    return [
        Problem("hidden-sign", Place("enquiry", None, name), fault, worded("Type the text again."))
        for name, text in texts.items()
        if (fault := hidden_sign(text))
    ]


def _mark_unknown(
    session: Session, job_id: str, asked: Enquiry, who: Person, now: datetime
) -> None:
    marks = []
    if not asked.customer.name:
        marks.append((CUSTOMER_PLACE, "the customer is not named yet"))
    if asked.hours is None:
        marks.append((HOURS_PLACE, "the hours are not known yet"))
    for place, reason in marks:
        keep_text(session, job_id, KeptText(place, "", reason, who.name, now))
