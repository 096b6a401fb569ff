"""The list of jobs as data and as text."""

from __future__ import annotations

from collections.abc import Sequence

from estimator.command.columns import table
from estimator.command.text_output import amount
from estimator.domain.record import ContractStanding, JobSummary

SUMS = ("contract_sum", "current_sum", "held", "left", "exposed", "forecast_low",
        "forecast_likely", "forecast_high")  # fmt: skip


def jobs_data(found: Sequence[JobSummary]) -> list[dict[str, object]]:
    """Every job with what the list shows; sums as text before tax, in `currency`."""
    return [
        {
            "number": one.number,
            "revision": one.revision,
            "state": one.state,
            "customer": one.customer,
            "class": one.class_id,
            "serial": one.serial,
            "hours": one.hours,
            "changed_at": one.changed_at.isoformat(),
            "net": None if one.net is None else str(one.net.amount),
            "value": None if one.value is None else str(one.value.amount),
            "currency": None if one.value is None else one.value.currency,
            "contract": None if one.contract is None else _contract_data(one.contract),
            "waits_for": one.waits_for,
            "since": one.waits_since.isoformat(),
            "next": one.next_date[0],
            "next_on": one.next_date[1].isoformat(),
        }
        for one in found
    ]


def _contract_data(one: ContractStanding) -> dict[str, object]:
    amounts = {name: getattr(one, name) for name in SUMS}
    return {
        "revision": one.revision,
        "accepted_at": one.accepted_at.isoformat(),
        **{name: None if sum_ is None else str(sum_.amount) for name, sum_ in amounts.items()},
        "mark": one.mark,
        "forecast_behind": one.behind,
        "finish_half": one.finish_half.isoformat() if one.finish_half else None,
        "finish_covered": one.finish_covered.isoformat() if one.finish_covered else None,
        "awaited": one.awaited,
        "awaited_for": one.awaited_for,
    }


def jobs_text(found: Sequence[JobSummary]) -> str:
    """The same as a table: the sum is the contract's by now, else the one issued."""
    if not found:
        return "No job is found."
    rows = []
    for one in found:
        sum_ = one.value if one.contract is not None else one.net
        awaited = "" if one.contract is None else one.contract.awaited_for
        rows.append(
            (
                f"{one.number} {one.revision}",
                one.state,
                one.customer,
                f"{one.class_id} {one.serial}",
                one.hours,
                amount(sum_) if sum_ else "",
                " ".join(filter(None, (one.waits_for, awaited))),
                f"{one.next_date[0]} {one.next_date[1].isoformat()}",
                f"{one.changed_at:%Y-%m-%d %H:%M}",
            )
        )
    head = ("Job", "State", "Customer", "Machine", "Hours", "Sum", "Waits for", "Next",
            "Changed, UTC")  # fmt: skip
    return table(head, rows, right=(4, 5))
