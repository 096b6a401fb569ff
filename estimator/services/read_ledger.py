"""The whole ledger of a contract: a row after every event, what it comes to by component group, and
the forecast as it is now."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from estimator.domain.contract.contract import Contract
from estimator.domain.contract.ledger import LedgerRow, ledger
from estimator.domain.contract.remaining import Remaining, remaining
from estimator.domain.priced_work import PricedWork
from estimator.services.open_record import Record
from estimator.services.show_drawn_down import GroupTable, group_table
from estimator.services.work_out_contract import (
    ContractNow,
    keep_forecast,
    read_contract,
    work_out_contract,
)

Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class LedgerRead:
    """Rows in the order of events; the last is `now.row`."""

    rows: tuple[LedgerRow, ...]
    groups: GroupTable
    now: ContractNow


def read_ledger(
    record: Record, number: str, *, every: bool = True, progress: Progress = lambda _at, _of: None
) -> LedgerRead:
    """Work a contract's ledger out, and keep its forecast for the lists. Without `every` there is
    the newest row alone. Raises NotFound, NotReckoned; what `progress` raises passes through."""
    here = read_contract(record, number)
    events = here.contract.events
    last: list[tuple[PricedWork, Remaining]] = []

    def reckon(contract: Contract) -> Remaining:
        work = here.work_at(contract)
        if last and last[-1][0] is not work:
            last.clear()  # another revision was accepted
        rest = remaining(contract, work, last[-1][1] if last else None)
        last[:] = [(work, rest)]
        progress(len(contract.events), len(events))
        return rest

    rows = ledger(events, reckon) if every else ()
    now = work_out_contract(here)
    keep_forecast(record, now)
    return LedgerRead(rows or (now.row,), group_table(now), now)
