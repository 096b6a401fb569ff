"""The ledger as data and as text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from estimator.command.columns import table
from estimator.command.contract_acts import sum_text
from estimator.command.text_output import amount, percent
from estimator.domain.contract.changes import variation_of
from estimator.domain.contract.ledger import SHORT, LedgerRow
from estimator.domain.contract.states import ISSUED
from estimator.domain.money import Money

if TYPE_CHECKING:
    from estimator.services.read_ledger import LedgerRead
    from estimator.services.show_drawn_down import GroupTable

FORM = 1
SUMS = (
    "contract_sum", "remeasured", "authorised", "exchange", "returned", "stopped", "current_sum",
    "pending_contract_sum", "pending_contingency", "held", "drawn", "left", "exposed", "mean",
    "short_by", "forecast_low", "forecast_likely", "forecast_high", "workshop_cost",
)  # fmt: skip


def ledger_data(found: LedgerRead) -> dict[str, object]:
    """Every row, group and figure of the ledger; sums as text before tax, in `currency`."""
    now = found.now
    contract = now.here.contract
    return {
        "form": FORM,
        "number": now.here.job.number,
        "revision": contract.acceptance.revision,
        "commercial_form": contract.acceptance.commercial_form,
        "unspent": contract.rule.whose_unspent(contract.acceptance.unspent),
        "state": now.here.state,
        "currency": contract.currency,
        "confidence": f"{now.here.job.terms.confidence}",
        "rows": [_row_data(row) for row in found.rows],
        "groups": _groups_data(found.groups),
        "forecast": {
            "low": sum_text(now.row.forecast_low),
            "likely": sum_text(now.row.forecast_likely),
            "high": sum_text(now.row.forecast_high),
            "finish_half": now.finish_half.isoformat(),
            "finish_covered": now.finish_covered.isoformat(),
        },
    }


def _row_data(row: LedgerRow) -> dict[str, object]:
    return {
        "at": row.at.isoformat(),
        "event": type(row.event).__name__,
        "variation": variation_of(row.event),
        "who": row.event.who,
        "capacity": row.event.capacity,
        "channel": row.event.channel,
        "words": row.event.words,
        **{name: sum_text(getattr(row, name)) for name in SUMS},
        "unpriced": row.unpriced,
        "closed_parts": row.closed_parts,
        "unmeasured_lines": row.unmeasured_lines,
        "mark": row.mark,
    }


def _groups_data(groups: GroupTable) -> list[dict[str, object]]:
    return [
        {
            "group": one.id,
            "name": one.name,
            "held": sum_text(one.held),
            "drawn": sum_text(one.drawn),
            "pending": sum_text(one.pending),
            "expected": sum_text(one.expected),
            "causes": list(one.causes),
        }
        for one in groups.lines
    ]


def ledger_text(found: LedgerRead) -> str:
    """The same as tables: events, groups, what it comes to."""
    return "\n\n".join((_events_text(found), _groups_text(found.groups), _now_text(found)))


def _events_text(found: LedgerRead) -> str:
    rows = [
        (
            f"{row.at:%Y-%m-%d %H:%M}",
            _called(row),
            row.event.who,
            amount(row.current_sum),
            amount(row.drawn),
            amount(row.left),
            amount(row.pending_contingency + row.pending_contract_sum),
            str(row.unpriced or ""),
            amount(row.exposed),
            f"{row.mark} {amount(row.short_by)}" if row.mark == SHORT else row.mark,
            amount(row.forecast_likely),
        )
        for row in found.rows
    ]
    head = ("When, UTC", "What", "Who", "Sum", "Drawn", "Left", "Pending", "No price", "Exposed",
            "Mark", "Forecast")  # fmt: skip
    return table(head, rows, right=(3, 4, 5, 6, 7, 8, 10))


WORDS = {
    "Accepted": "accepted", "AuthorityGiven": "authority given", "Received": "received",
    "Opened": "opened", "Raised": "raised", "Revised": "priced", "Waited": "work stood still",
    "MadeSafe": "made safe", "ContingencyReturned": "contingency returned", "StagePaid": "stage",
    "ExchangeSettled": "exchange units", "StopDecided": "stopped", "Tested": "tested",
    "OrderChanged": "order changed", "HandedOver": "handed over", "AccountClosed": "account closed",
}  # fmt: skip


def _called(row: LedgerRow) -> str:
    event = row.event
    what = getattr(event, "act", "") or WORDS.get(type(event).__name__, type(event).__name__)
    about = variation_of(event) or getattr(event, "component", "") or getattr(event, "name", "")
    return f"{about} {what}".strip()


def _groups_text(groups: GroupTable) -> str:
    rows = [
        (one.name, *map(amount, (one.held, one.drawn, one.pending, one.expected)),
         ", ".join(one.causes))
        for one in groups.lines
    ]  # fmt: skip
    total: tuple[Money, ...] = (groups.held, groups.drawn, groups.pending, groups.expected)
    rows.append(("all", *map(amount, total), ""))
    head = ("Group", "Held", "Drawn", "Pending", "Still expected", "Causes")
    return table(head, rows, right=(1, 2, 3, 4), whole=(5,))


def _now_text(found: LedgerRead) -> str:
    now, row = found.now, found.now.row
    confidence = percent(now.here.job.terms.confidence, 0)
    lines = [
        f"Held {amount(row.held)} - drawn {amount(row.drawn)} - given back "
        f"{amount(row.held - row.drawn - row.left)} = left {amount(row.left)} "
        f"{row.left.currency}.",
        f"Still exposed at {confidence}: {amount(row.exposed)}, over {row.closed_parts} closed "
        f"parts and {row.unmeasured_lines} lines to be measured.",
        f"Forecast {amount(row.forecast_low)} / {amount(row.forecast_likely)} / "
        f"{amount(row.forecast_high)} {row.left.currency}: reached in 1, 5, 9 of 10 outcomes.",
        f"Ready {now.finish_half.isoformat()} (5 in 10), {now.finish_covered.isoformat()} "
        f"({confidence}).",
    ]
    asked = [
        case.variation.name for case in now.here.contract.cases.values() if case.state == ISSUED
    ]
    if asked:
        lines.append(f"Waits for an answer: {', '.join(asked)}. No answer is never approval.")
    return "\n".join(lines)
