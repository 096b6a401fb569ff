"""What agreeing to a variation does to the day by which the machine is ready."""

from __future__ import annotations

from datetime import date

from estimator.services.show_case import LEAVE, ways_of
from estimator.services.try_answer import what_it_does
from estimator.services.work_out_contract import ContractNow, work_out_contract
from estimator.services.write_contract import Here


def finish_effect(
    here: Here, number: str, known: ContractNow | None = None
) -> tuple[date, date] | None:
    """(before, after) at the job's confidence, if the way that is priced is agreed to; None where
    it has no price or is answered already. Works the contract out, which takes a second or two,
    unless `known` is that already."""
    contract = here.contract
    if known is None or known.here.contract.events != contract.events:
        known = work_out_contract(here)
    rows = ways_of(contract.case(number), contract)
    key = next((row.key for row in rows if row.chosen and row.key != LEAVE), "")
    does = what_it_does(known, number, key) if key else None
    return does.finish if does is not None else None
