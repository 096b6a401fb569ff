"""What a contract comes to now: its ledger, what is still open, the forecast and the dates."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from estimator.domain.contract.contract import CannotFollow
from estimator.domain.contract.dates import Plan, finish_now, plan_of
from estimator.domain.contract.events import Event
from estimator.domain.contract.following import follow
from estimator.domain.contract.ledger import LedgerRow, ledger_row
from estimator.domain.contract.remaining import Remaining, remaining
from estimator.domain.priced_job import PricedJob, reckon_on
from estimator.domain.priced_work import PricedWork, Progress, unheard
from estimator.domain.pricing import NoRate
from estimator.domain.programme.network import NetworkCycle
from estimator.domain.programme.scenarios import Finish
from estimator.domain.programme.working_time import BeyondCalendar
from estimator.domain.wording import said_by, worded
from estimator.services.errors import Conflict, NotReckoned
from estimator.services.open_record import Record
from estimator.services.write_contract import Here, contract_here
from estimator.storage import contract_record


@dataclass(frozen=True, slots=True)
class ContractNow:
    """A contract with everything that follows from it."""

    here: Here
    rest: Remaining
    row: LedgerRow
    finish: Finish
    plan: Plan  # what the dates rest on, for the next answer

    @property
    def finish_half(self) -> date:
        """Half of the scenarios end by this day."""
        return self.finish.days[0.5]

    @property
    def finish_covered(self) -> date:
        """As many scenarios as the job's confidence end by this day."""
        return self.finish.days[float(self.here.job.terms.confidence)]


def read_contract(record: Record, number: str) -> Here:
    """A contract as it stands, without its forecast. Raises NotFound, NotReckoned."""
    with record.reading() as session:
        return contract_here(session, number)[1]


def work_out_contract(here: Here, before: ContractNow | None = None) -> ContractNow:
    """The forecast of a contract. `before`, an earlier answer for the same contract, spares what
    has not changed since."""
    if before is not None and before.here.work is not here.work:
        before = None  # of another revision
    if before is None:
        import scipy.linalg  # noqa: F401 - loaded now, not with the first finding

    rest = remaining(here.contract, here.work, before.rest if before is not None else None)
    strip_alone = here.contract.acceptance.teardown_only
    plan = before.plan if before is not None else plan_of(here.work, teardown_only=strip_alone)
    finish = finish_now(here.contract, here.work, rest, plan=plan)
    return ContractNow(here, rest, ledger_row(here.contract, rest), finish, plan)


def reckon_accepted(work: PricedWork, progress: Progress = unheard) -> PricedJob:
    """An accepted revision reckoned through, from the work it was issued on. Raises NotReckoned."""
    try:
        return reckon_on(work, progress=progress)
    except (NoRate, NetworkCycle, BeyondCalendar, ValueError) as error:
        raise NotReckoned(
            worded(
                "{title} cannot be priced: {error}.", title=work.job.title, error=said_by(error)
            ),
            worded("Check the figures it names."),
        ) from error


def keep_forecast(record: Record, now: ContractNow) -> bool:
    """Keep a forecast for the lists; False where the contract has gone on since."""
    row, contract = now.row, now.here.contract
    with record.writing() as session:
        kept, here = contract_here(session, now.here.job.number)
        if len(here.contract.events) != len(contract.events):
            return False
        values = {
            "worked_out": len(contract.events),
            "exposed": row.exposed.minor,
            "mark": row.mark,
            "forecast_low": row.forecast_low.minor,
            "forecast_likely": row.forecast_likely.minor,
            "forecast_high": row.forecast_high.minor,
            "finish_half": now.finish_half,
            "finish_covered": now.finish_covered,
        }
        contract_record.write_contract(session, kept.id, values, ())
    return True


def try_events(
    here: Here, events: Sequence[Event], before: ContractNow | None = None
) -> ContractNow:
    """What a contract would come to after events that nobody has recorded. Raises Conflict where
    one cannot follow."""
    contract = here.contract
    try:
        for event in events:
            contract = follow(contract, event)
    except CannotFollow as error:
        raise Conflict(
            worded("{name}: {said}.", name=here.job.number, said=error.message), error.remedy
        ) from error
    return work_out_contract(replace(here, contract=contract), before)
