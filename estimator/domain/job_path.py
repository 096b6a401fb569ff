"""How far a job has come: a mark and a short note for each of its areas, and who is waited for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.component_tree import parts_to_settle
from estimator.domain.contract.contract import Contract
from estimator.domain.contract.states import DRAFT as DRAWN_UP
from estimator.domain.contract.states import FOUND, QUERIED
from estimator.domain.contract.states import ISSUED as ASKED
from estimator.domain.enquiry import UNSEEN_CLASS, estimate_class_of
from estimator.domain.fixed_words import fixed
from estimator.domain.job import Job
from estimator.domain.price_age import expired_prices
from estimator.domain.priced_job import PricedJob, PricedWork
from estimator.domain.record import (
    ACCEPTED,
    CUSTOMER_WAITS,
    DRAFT,
    ESTIMATOR_WAITS,
    EXPIRED,
    FOREMAN_WAITS,
    HANDED_OVER,
    ISSUED,
    PROPOSED,
    RELEASE_WAITS,
    STOPPED,
    UNDER_CONTRACT,
)
from estimator.domain.scope_line import PROVISIONAL
from estimator.domain.wording import joined, worded, worded_count

ENQUIRY, INSPECTION, SCOPE, PRICE = "enquiry", "inspection", "scope", "price"
EXPOSURE, PROGRAMME, QUOTE = "exposure", "programme", "quote"
TEARDOWN, VARIATIONS = "teardown", "variations"
AREAS = (ENQUIRY, INSPECTION, SCOPE, PRICE, EXPOSURE, PROGRAMME, QUOTE)
NOT_BEGUN, IN_HAND, DONE, WAITS, NEEDS_YOU = "not_begun", "in_hand", "done", "waits", "needs_you"
NOBODY = "nobody"
WEEK = 7
Reckoned = PricedJob | PricedWork | None


@dataclass(frozen=True, slots=True)
class AreaMark:
    """Where one area of a job stands. `note` is a few words, "" where there is nothing to say."""

    area: str
    mark: str  # not_begun, in_hand, done, waits, needs_you
    note: str


@dataclass(frozen=True, slots=True)
class Waiting:
    """Who has to act next, and what for."""

    on: str  # estimator, service manager, customer, nobody
    reason: str


def state_today(state: str, valid_until: date | None, today: date) -> str:
    """The state with an issued quote past its day told apart."""
    past = valid_until is not None and today > valid_until
    return EXPIRED if state == ISSUED and past else state


def who_waits(state: str, today: date, valid_until: date | None = None) -> Waiting:
    """Who is waited for: of a draft its estimator, of a proposed one a service manager, of an
    issued quote the customer until its last day, then the estimator again; of any other nobody."""
    return {
        DRAFT: Waiting(ESTIMATOR_WAITS, worded("not proposed yet")),
        PROPOSED: Waiting(RELEASE_WAITS, worded("to be released")),
        ISSUED: Waiting(CUSTOMER_WAITS, worded("to answer the quote")),
        EXPIRED: Waiting(ESTIMATOR_WAITS, worded("the quote has expired")),
        ACCEPTED: Waiting(FOREMAN_WAITS, worded("to open, to measure and to work")),
        STOPPED: Waiting(RELEASE_WAITS, worded("to send the machine back")),
        HANDED_OVER: Waiting(RELEASE_WAITS, worded("to close the account")),
    }.get(state_today(state, valid_until, today), Waiting(NOBODY, worded("nothing is left to do")))


def job_path(
    job: Job,
    cat: ClassCatalogue,
    state: str,
    reckoned: Reckoned,
    today: date,
    valid_until: date | None = None,
) -> tuple[AreaMark, ...]:
    """The seven areas of a job in their order.

    `reckoned` is the job as far as it has been worked out: whole, its priced work, or not at all.
    `valid_until` is the last day of the quote where one was issued.
    """
    now = state_today(state, valid_until, today)
    return (
        _enquiry(job, cat),
        _inspection(job, cat, reckoned),
        _scope(job, reckoned),
        _price(job, reckoned, today),
        _exposure(job, now, reckoned),
        _programme(job, reckoned),
        _quote(now),
    )


def contract_path(contract: Contract, work: PricedWork) -> tuple[AreaMark, AreaMark]:
    """The two areas that an acceptance adds: teardown and variations. `work` is the priced work of
    the revision that was accepted."""
    return _teardown(contract, work), _variations(contract)


def _teardown(contract: Contract, work: PricedWork) -> AreaMark:
    """Done once every part that was exposed is opened; a stop ends it."""
    parts = [part.part for part in work.exposed]
    opened = sum(part in contract.resolved for part in parts)
    note = worded("{opened:,} of {all:,} open", opened=opened, all=len(parts))
    if contract.stopped is not None:
        return AreaMark(TEARDOWN, DONE, worded("{note}, stopped", note=note))
    if opened == len(parts) or contract.handed_over:
        return AreaMark(TEARDOWN, DONE, note)
    if not contract.received and not opened:
        return AreaMark(TEARDOWN, NOT_BEGUN, worded("not here yet"))
    return AreaMark(TEARDOWN, IN_HAND, note)


def _variations(contract: Contract) -> AreaMark:
    """Needs you while one has no price or is not sent; waits while one is to be answered."""
    states = [case.state for case in contract.cases.values()]
    if not states:
        return AreaMark(VARIATIONS, NOT_BEGUN, worded("none"))
    told = (
        (states.count(ASKED), worded("to answer")),
        (states.count(FOUND), worded("no price")),
        (states.count(DRAWN_UP) + states.count(QUERIED), worded("to send")),
    )
    note = joined(
        worded("{number:,} {words}", number=number, words=words) for number, words in told if number
    )
    if any(number for number, _words in told[1:]):
        return AreaMark(VARIATIONS, NEEDS_YOU, note)
    if note:
        return AreaMark(VARIATIONS, WAITS, note)
    return AreaMark(VARIATIONS, DONE, worded("{count:,}, all answered", count=len(states)))


def _enquiry(job: Job, cat: ClassCatalogue) -> AreaMark:
    """In hand while nobody has looked: a range is all there is. Done with the first look."""
    reached = estimate_class_of(job, cat)
    if reached == UNSEEN_CLASS:
        return AreaMark(ENQUIRY, IN_HAND, worded("class {reached}, a range only", reached=reached))
    return AreaMark(ENQUIRY, DONE, worded("class {reached}", reached=reached))


def _inspection(job: Job, cat: ClassCatalogue, reckoned: Reckoned) -> AreaMark:
    """Done once somebody has looked at, or tried to look at, every part a look has to decide; what
    could not be seen is said, and keeps its chance."""
    if not job.findings:
        return AreaMark(INSPECTION, NOT_BEGUN, worded("no findings"))
    note = worded_count("{n:,} finding", "{n:,} findings", len(job.findings))
    if reckoned is None:
        return AreaMark(INSPECTION, IN_HAND, note)
    parts, scope = parts_to_settle(job, cat), reckoned.scope
    if unseen := sum(not scope.parts[part].settled for part in parts):
        note = worded("{note}, {unseen:,} not seen", note=note, unseen=unseen)
    if missing := len(scope.not_looked_at):
        return AreaMark(
            INSPECTION,
            IN_HAND,
            worded("{note}, {missing:,} not looked at", note=note, missing=missing),
        )
    return AreaMark(INSPECTION, DONE, note)


def _scope(job: Job, reckoned: Reckoned) -> AreaMark:
    if reckoned is None:
        return AreaMark(SCOPE, NOT_BEGUN, "")
    scope = reckoned.scope
    if scope.doubles:
        return AreaMark(
            SCOPE,
            NEEDS_YOU,
            worded_count(
                "{n:,} operation counted twice",
                "{n:,} operations counted twice",
                len(scope.doubles),
            ),
        )
    if idle := len((*scope.idle_changes, *scope.idle_typed, *scope.idle_kept)):
        return AreaMark(
            SCOPE,
            NEEDS_YOU,
            worded_count("{n:,} change without effect", "{n:,} changes without effect", idle),
        )
    note = worded_count("{n:,} line", "{n:,} lines", len(scope.lines))
    begun = bool(job.findings) and not scope.not_looked_at
    return AreaMark(SCOPE, DONE if begun else IN_HAND, note)


def _price(job: Job, reckoned: Reckoned, today: date) -> AreaMark:
    if reckoned is None:
        return AreaMark(PRICE, NOT_BEGUN, "")
    if old := len(expired_prices(reckoned.lines, today)):
        return AreaMark(
            PRICE, NEEDS_YOU, worded_count("{n:,} price expired", "{n:,} prices expired", old)
        )
    moving = sum(one.line.certainty == PROVISIONAL for one in reckoned.lines)
    note = worded("all firm")
    if moving:
        note = worded("{moving:,} provisional", moving=moving)
    begun = bool(job.findings) and not reckoned.scope.not_looked_at
    return AreaMark(PRICE, DONE if begun else IN_HAND, note)


def _share(confidence: Decimal) -> str:
    return worded("{percent:f} %", percent=(confidence * 100).normalize())


def _exposure(job: Job, state: str, reckoned: Reckoned) -> AreaMark:
    if not isinstance(reckoned, PricedJob):
        return AreaMark(EXPOSURE, IN_HAND if reckoned else NOT_BEGUN, "")
    share = _share(job.terms.confidence)
    if state == PROPOSED:
        return AreaMark(
            EXPOSURE,
            WAITS,
            worded("{share}, waits on {who}", share=share, who=fixed(RELEASE_WAITS)),
        )
    if state in (ISSUED, EXPIRED, *UNDER_CONTRACT):
        return AreaMark(EXPOSURE, DONE, worded("{share} released", share=share))
    return AreaMark(EXPOSURE, IN_HAND, worded("{share} proposed", share=share))


def _programme(job: Job, reckoned: Reckoned) -> AreaMark:
    """Needs you where the machine is wanted before the day the contingency's confidence covers."""
    if not isinstance(reckoned, PricedJob):
        return AreaMark(PROGRAMME, IN_HAND if reckoned else NOT_BEGUN, "")
    covered = reckoned.finish.days[float(job.terms.confidence)]
    note = worded(
        "{weeks} at {share}",
        weeks=_weeks(job.start, covered),
        share=_share(job.terms.confidence),
    )
    if job.wanted_by is not None and covered > job.wanted_by:
        late = _weeks(job.wanted_by + timedelta(days=1), covered)
        return AreaMark(PROGRAMME, NEEDS_YOU, worded("{note}, {late} late", note=note, late=late))
    return AreaMark(PROGRAMME, DONE, note)


def _weeks(first: date, last: date) -> str:
    """Weeks from one day to another, both counted, begun ones as whole."""
    return worded_count("{n:,} week", "{n:,} weeks", -(-((last - first).days + 1) // WEEK))


def _quote(state: str) -> AreaMark:
    return {
        PROPOSED: AreaMark(QUOTE, WAITS, worded("waits on {who}", who=fixed(RELEASE_WAITS))),
        ISSUED: AreaMark(QUOTE, WAITS, worded("waits on {who}", who=fixed(CUSTOMER_WAITS))),
        EXPIRED: AreaMark(QUOTE, NEEDS_YOU, worded("expired")),
        DRAFT: AreaMark(QUOTE, NOT_BEGUN, ""),
    }.get(state, AreaMark(QUOTE, DONE, fixed(state)))
