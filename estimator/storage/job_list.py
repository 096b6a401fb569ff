"""Jobs as a list shows them: columns only, no job is built."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import Session

from estimator.domain.money import Money
from estimator.domain.record import EXPIRED, ISSUED, UNDER_CONTRACT, ContractStanding, JobSummary
from estimator.storage import contract_lists
from estimator.storage.job_rows import JOBS
from estimator.storage.job_search import TEXTS, ways_to_match
from estimator.storage.raw_rows import Turning, as_stored
from estimator.storage.standing_record import NAMES, STANDING, standing_from
from estimator.storage.tables import IssuedQuoteRow

Conditions = list[sa.ColumnElement[bool]]
NEWEST, VALUE = "newest", "value"
ISSUED_QUOTES: Any = IssuedQuoteRow.__table__
_JOB_NAMES = (
    "id", "number", "revision", "state", "customer_name", "class_id", "serial", "hours",
    "version", "created_at", "changed_at", "state_since", "starts_on", "wanted_by", "valid_until",
)  # fmt: skip
_COLUMNS = [*(JOBS.c[name] for name in _JOB_NAMES), *(STANDING.c[name] for name in NAMES)]
_TURNING = Turning(_COLUMNS)
_WANTED = sa.select(*(as_stored(column) for column in _COLUMNS))
_OF_STANDING = STANDING.c.job_id == JOBS.c.id


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which jobs a list shows. Blank fields do not restrict."""

    today: datetime.date  # what is past its day is told by it
    text: str = ""
    state: str = ""
    class_id: str = ""
    order: str = NEWEST  # or VALUE: highest first, by currency
    limit: int = 200
    skip: int = 0


def summaries(session: Session, wanted: Wanted) -> list[JobSummary]:
    """The jobs wanted, in their order."""
    rows: list[Any] = []
    for conditions in _alternatives(session, wanted):
        rows = _ordered(session, wanted, conditions)
        if rows:
            break
    cells = _TURNING.values(rows)
    newest = _newest_net(session, [one[0] for one in cells])
    held = contract_lists.standings(session, [one[0] for one in cells if one[3] in UNDER_CONTRACT])
    return [_summary(one, newest.get(one[0]), held.get(one[0]), wanted.today) for one in cells]


def _ordered(session: Session, wanted: Wanted, conditions: Conditions) -> list[Any]:
    """Rows in the order wanted. By value the index on it leads, and jobs without one follow."""
    run = session.connection().execute
    lately = (JOBS.c.changed_at.desc(), JOBS.c.number)
    both = _WANTED.select_from(JOBS.outerjoin(STANDING, _OF_STANDING)).where(*conditions)
    if wanted.order != VALUE:
        return list(run(both.order_by(*lately).limit(wanted.limit).offset(wanted.skip)).all())
    valued = _WANTED.select_from(STANDING.join(JOBS, _OF_STANDING)).where(*conditions)
    highest = valued.order_by(
        STANDING.c.currency.desc(), STANDING.c.net.desc()
    )  # the index backwards
    found = list(run(highest.limit(wanted.limit).offset(wanted.skip)).all())
    if len(found) == wanted.limit:
        return found
    count = sa.select(sa.func.count()).select_from(STANDING.join(JOBS, _OF_STANDING))
    before = int(run(count.where(*conditions)).scalar_one())
    rest = both.where(STANDING.c.job_id.is_(None)).order_by(*lately)
    skip = max(wanted.skip - before, 0)
    return [*found, *run(rest.limit(wanted.limit - len(found)).offset(skip))]


def count_jobs(session: Session, wanted: Wanted) -> int:
    """How many jobs are wanted in all, whatever the limit."""
    for conditions in _alternatives(session, wanted):
        statement = sa.select(sa.func.count()).select_from(JOBS).where(*conditions)
        if count := int(session.connection().execute(statement).scalar_one()):
            return count
    return 0


def _alternatives(session: Session, wanted: Wanted) -> Iterator[Conditions]:
    """What jobs must meet; a later one is for where none meets the one before."""
    others = _conditions(wanted)
    ways = ways_to_match(session, wanted.text)
    for text in ways:
        yield [JOBS.c.id.in_(sa.select(TEXTS.c.job_id).where(text)), *others]
    if not ways:
        yield others


def _conditions(wanted: Wanted) -> Conditions:
    found: Conditions = []
    if wanted.class_id:
        found.append(JOBS.c.class_id == wanted.class_id)
    if wanted.state in (ISSUED, EXPIRED):
        past = sa.func.coalesce(JOBS.c.valid_until < wanted.today, sa.false())
        found += [JOBS.c.state == ISSUED, past if wanted.state == EXPIRED else sa.not_(past)]
    elif wanted.state:
        found.append(JOBS.c.state == wanted.state)
    return found


def _summary(
    cells: list[Any], net: Money | None, contract: ContractStanding | None, today: datetime.date
) -> JobSummary:
    (job_id, number, revision, state, customer, class_id, serial, hours, version, created_at,
     changed_at, since, starts_on, wanted_by, valid_until, *standing) = cells  # fmt: skip
    past = state == ISSUED and valid_until is not None and valid_until < today
    return JobSummary(
        id=job_id,
        number=number,
        revision=revision,
        state=EXPIRED if past else state,
        customer=customer,
        class_id=class_id,
        serial=serial,
        hours=f"{hours:f}",
        version=version,
        created_at=created_at,
        changed_at=changed_at,
        since=since,
        starts_on=starts_on,
        wanted_by=wanted_by,
        valid_until=valid_until,
        net=net,
        standing=None if standing[0] is None else standing_from(standing),
        contract=contract,
    )


def _newest_net(session: Session, ids: list[str]) -> dict[str, Money]:
    columns = (ISSUED_QUOTES.c.job_id, ISSUED_QUOTES.c.net, ISSUED_QUOTES.c.currency)
    found: dict[str, Money] = {}
    for start in range(0, len(ids), 500):  # a statement takes so many values and no more
        wanted = sa.select(*columns).where(ISSUED_QUOTES.c.job_id.in_(ids[start : start + 500]))
        rows = session.connection().execute(wanted.order_by(ISSUED_QUOTES.c.issued_at))
        found |= {job_id: Money(net, currency) for job_id, net, currency in rows}
    return found
