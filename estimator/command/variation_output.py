"""Variations, what waits, and history as data and as text."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from estimator.command.columns import table
from estimator.command.contract_acts import sum_text
from estimator.command.text_output import amount
from estimator.domain.contract.contract import Case
from estimator.domain.contract.variation import Variation
from estimator.domain.money import Money

if TYPE_CHECKING:
    from estimator.services.history import HistoryEntry
    from estimator.services.show_desk import DeskView, WaitingRow
    from estimator.services.write_contract import Here

# Variations


def variations_data(here: Here, cases: Sequence[Case], at: datetime) -> dict[str, object]:
    """Variations with their lines, steps and hours in each state up to `at`."""
    return {
        "number": here.job.number,
        "currency": here.contract.currency,
        "variations": [_case_data(here, case, at) for case in cases],
    }


def _case_data(here: Here, case: Case, at: datetime) -> dict[str, object]:
    from estimator.services.write_contract import awaited

    variation, funding = case.variation, case.funding
    waits_on, ask = awaited(here.contract, case)
    return {
        **_variation_data(variation, here.contract.currency),
        "state": case.state,
        "since": case.since.isoformat(),
        "waits_on": waits_on,
        "ask": ask,
        "agreed_by": case.agreed_by,
        "agreed_lines": [one + 1 for one in case.agreed_lines],
        "made_safe": case.made_safe,
        "from_contingency": sum_text(funding.from_contingency) if funding else None,
        "on_contract_sum": sum_text(funding.on_contract_sum) if funding else None,
        "on_workshop": sum_text(funding.on_workshop) if funding else None,
        "steps": [
            {
                "state": step.state, "at": step.at.isoformat(), "who": step.who,
                "capacity": step.capacity, "channel": step.channel, "words": step.words,
                "reason": step.reason,
            }
            for step in case.steps
        ],
        "hours_in_state": {name: round(one, 3) for name, one in case.times(at).items()},
    }  # fmt: skip


def _variation_data(one: Variation, currency: str) -> dict[str, object]:
    priced = one.is_priced
    sum_ = one.amount(currency) + one.remeasured_by(currency) if priced else None
    return {
        "number": one.number,
        "revision": one.revision,
        "title": one.title,
        "component": one.component,
        "location": one.location,
        "cause": one.cause,
        "end": one.end,
        "finder": one.finder,
        "found_at": one.found_at.isoformat(),
        "measured": one.measured,
        "not_seen_before": one.not_seen_before,
        "parts": list(one.parts),
        "amount": sum_text(sum_),
        "range": None if one.range is None else {
            name: sum_text(getattr(one.range, name)) for name in ("low", "likely", "high")
        },
        "lines": [
            {
                "number": at, "kind": line.kind, "what": line.what, "part": line.part,
                "quantity": f"{line.quantity:f}", "unit": line.unit, "trade": line.trade,
                "unit_cost": f"{line.unit_cost:f}", "currency": line.currency,
                "markup": line.markup, "amount": sum_text(line.amount),
            }
            for at, line in enumerate(one.lines, start=1)
        ],
        "measured_again": [
            {
                "line": row.row_id, "before": sum_text(row.before), "after": sum_text(row.after),
                "quantity": f"{row.quantity:f}", "unit": row.unit,
            }
            for row in one.remeasured
        ],
        "ways": [
            {
                "way": way.way, "what": way.what, "amount": sum_text(way.amount),
                "days": f"{way.days:f}", "warranty": way.warranty, "note": way.note,
            }
            for way in one.ways
        ],
        "chosen": one.chosen,
        "days": f"{one.days:f}",
        "activity": one.activity,
        "consequence": one.consequence,
        "cannot_be_declined": one.cannot_be_declined,
        "safety": one.safety,
        "answer_by": None if one.answer_by is None else one.answer_by.isoformat(),
        "waiting_from": None if one.waiting_from is None else one.waiting_from.isoformat(),
        "waiting_per_day": sum_text(one.waiting_per_day),
        "workshop_cost": sum_text(one.workshop_cost),
    }  # fmt: skip


def variations_text(here: Here, cases: Sequence[Case]) -> str:
    """The same as a table."""
    from estimator.services.write_contract import awaited

    if not cases:
        return "There are no variations."
    currency = here.contract.currency
    rows = []
    for case in cases:
        variation = case.variation
        waits_on, ask = awaited(here.contract, case)
        rows.append(
            (
                variation.name, variation.title, variation.end, _price(variation, currency),
                case.state, f"{case.since:%Y-%m-%d %H:%M}", ask or waits_on,
                "yes" if variation.safety else "",
            )
        )  # fmt: skip
    head = ("No.", "What", "Funded by", f"Sum, {currency}", "State", "Since, UTC", "Waits on",
            "Safety")  # fmt: skip
    return table(head, rows, right=(3,))


def _price(one: Variation, currency: str) -> str:
    if one.is_priced:
        return amount(one.amount(currency) + one.remeasured_by(currency))
    range_ = one.range
    return "" if range_ is None else f"{amount(range_.low)} to {amount(range_.high)}?"


# What waits


def waiting_data(view: DeskView, rows: Sequence[WaitingRow]) -> dict[str, object]:
    """What waits; `per_day` and `so_far` are over all jobs, each counted once."""
    return {
        "waiting": [
            {
                "job": one.job, "customer": one.customer, "kind": one.kind, "number": one.number,
                "revision": one.revision, "title": one.title, "waits_on": one.waits_on,
                "ask": one.ask, "state": one.state, "end": one.end,
                "since": one.since.isoformat(), "working_days": one.days,
                "currency": one.cost.currency, "amount": sum_text(one.amount),
                "low": sum_text(one.low), "high": sum_text(one.high),
                "answer_by": None if one.answer_by is None else one.answer_by.isoformat(),
                "overdue": one.overdue, "cost": sum_text(one.cost),
                "per_day": sum_text(one.per_day), "stops": one.stops, "safety": one.safety,
            }
            for one in rows
        ],
        "per_day": [_money(one) for one in view.per_day],
        "so_far": [_money(one) for one in view.so_far],
    }  # fmt: skip


def _money(one: Money) -> dict[str, str]:
    return {"amount": f"{one.amount:f}", "currency": one.currency}


def waiting_text(view: DeskView, rows: Sequence[WaitingRow]) -> str:
    """The same as a table, the longest wait first."""
    if not rows:
        return "Nothing waits."
    cells = [
        (
            f"{one.job} {one.number}", one.customer, one.title or one.kind,
            one.ask or one.waits_on, one.state, str(one.days),
            amount(one.amount) if one.amount is not None else _range(one),
            one.answer_by.isoformat() if one.answer_by else "",
            amount(one.cost) if one.cost else "", "yes" if one.safety else "",
        )
        for one in rows
    ]  # fmt: skip
    head = ("Job", "Customer", "What", "Waits on", "State", "Days", "Sum", "Answer by",
            "Has cost", "Safety")  # fmt: skip
    text = table(head, cells, right=(5, 6, 8))
    if not view.per_day:
        return text
    day, far = (" + ".join(f"{amount(one)} {one.currency}" for one in sums)
                for sums in (view.per_day, view.so_far))  # fmt: skip
    return f"{text}\n\nWaiting costs {day} a day, {far} so far, each job counted once."


def _range(one: WaitingRow) -> str:
    if one.low is None or one.high is None:
        return ""
    return f"{amount(one.low)} to {amount(one.high)}?"


# History


def history_data(found: Sequence[HistoryEntry]) -> list[dict[str, object]]:
    """Entries of the log with what each changed; `before` and `after` as the log holds them."""
    return [
        {
            "number": one.entry.number,
            "at": one.at.isoformat(),
            "who": one.who,
            "capacity": one.capacity,
            "side": one.side,
            "act": one.act,
            "event": one.kind,
            "variation": one.variation,
            "channel": one.channel,
            "words": one.words,
            "reason": one.reason,
            "note": one.note,
            "changes": [
                {"what": change.what, "before": change.before, "after": change.after}
                for change in one.changes
            ],
            "before": one.entry.before,
            "after": one.entry.after,
            "hash": one.entry.hash,
        }
        for one in found
    ]


def history_text(found: Sequence[HistoryEntry]) -> str:
    """The same as a table: an act, then a row for everything it changed."""
    if not found:
        return "No entry."
    rows: list[tuple[str, str, str, str]] = []
    for one in found:
        who = f"{one.who}, {one.capacity}" if one.capacity else one.who
        said = " ".join(filter(None, (one.act, one.channel and f"({one.channel})")))
        words = f'"{one.words}"' if one.words else one.note
        rows.append((f"{one.at:%Y-%m-%d %H:%M:%S}", who, said, words))
        rows += [
            ("", "", f"  {change.what}", f"{change.before or '-'} > {change.after or '-'}")
            for change in one.changes
        ]
    return table(("When, UTC", "Who", "What", "From > to, or in words"), rows, whole=(3,))
