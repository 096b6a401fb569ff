"""What can be accepted of an issued revision, and what is usual for it. Reads only."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from estimator.domain.contract.acceptance import TO_CUSTOMER, UNSPENT
from estimator.domain.contract.forms import RULES
from estimator.domain.fixed_words import fixed
from estimator.domain.money import Money
from estimator.domain.record import ISSUED
from estimator.domain.wording import worded
from estimator.services.accept_quote import strip_of, strip_price
from estimator.services.errors import Conflict
from estimator.services.frozen_quote import frozen_work, issued_revision
from estimator.services.open_record import Record
from estimator.services.write_edit import kept_job


@dataclass(frozen=True, slots=True)
class Acceptable:
    """An issued revision as somebody may accept it: whole at `net`, of it `contingency`, or its
    teardown alone at `strip`; all before tax. `unspent` is the rule its form brings, and `fixed`
    tells that nothing else can be agreed; `held` that its last day is past."""

    number: str
    revision: str
    customer: str
    contact: str
    issued_at: datetime
    valid_until: date
    held: bool
    released_by: str
    commercial_form: str
    net: Money
    contingency: Money
    strip: Money
    unspent: str
    fixed: bool
    strip_accepted: bool = False  # its teardown was accepted before: only the whole can follow


def show_acceptance(record: Record, number: str, today: date) -> Acceptable:
    """What of a job can be accepted. Raises NotFound, NotReckoned, and Conflict where no revision
    of it is issued."""
    with record.reading() as session:
        kept = kept_job(session, number)
        if kept.state != ISSUED:
            raise Conflict(
                worded(
                    "{title} is {state}; only the revision that is issued is accepted.",
                    title=kept.job.title,
                    state=fixed(kept.state),
                ),
                worded("Issue it first."),
            )
        issued = issued_revision(session, number, kept.job.revision)
        work = frozen_work(session, kept.job, issued)
        stripped = strip_of(session, number) is not None
    rule = RULES.get(work.job.terms.commercial_form)
    settled = rule.unspent_fixed if rule is not None else ""
    return Acceptable(
        number=number,
        revision=issued.revision,
        customer=work.job.customer.name,
        contact=work.job.customer.contact,
        issued_at=issued.issued_at,
        valid_until=issued.valid_until,
        held=today > issued.valid_until,
        released_by=issued.released_by.partition(",")[0].strip(),
        commercial_form=work.job.terms.commercial_form,
        net=issued.net,
        contingency=issued.contingency,
        strip=strip_price(work),
        unspent=settled or TO_CUSTOMER,
        fixed=bool(settled),
        strip_accepted=stripped,
    )


__all__ = ["UNSPENT", "Acceptable", "show_acceptance"]
