"""How the figures of the ledger were reached, for whoever asks why: both balances, what is exposed,
the finish, and each row."""

from __future__ import annotations

from collections.abc import Iterable

from estimator.domain.contract.variation import VariationLine
from estimator.domain.money import Money
from estimator.domain.reasons import Figure, Reasons
from estimator.services.show_variations import ACCEPTANCE, CASE, LedgerLine, VariationsView
from estimator.services.work_out_contract import ContractNow

SUM, LEFT, EXPOSED, FINISH, FORECAST = (
    "ledger/sum", "ledger/left", "ledger/exposed", "ledger/finish", "ledger/forecast",
)  # fmt: skip
SOURCE = "contract's events, in their order"


def row_figure(line_id: str) -> str:
    """Name of a row's figure."""
    return LEFT if line_id == ACCEPTANCE else f"ledger/{line_id}"


def ledger_reasons(now: ContractNow, view: VariationsView) -> Reasons:
    """Every figure of the ledger as it stands."""
    reasons = Reasons()
    rows = [line for line in view.lines if line.id != ACCEPTANCE]
    for line in rows:
        reasons.note(_row(line, now))
    names = tuple(row_figure(line.id) for line in rows)
    row, contract = now.row, now.here.contract
    accepted = contract.acceptance
    reasons.note(
        Figure(
            SUM, "Current sum, before tax", row.current_sum, "",
            "contract sum + remeasured + authorised \u2212 contingency returned + exchange units",
            names,
            _told(
                ("contract sum", row.contract_sum), ("remeasured", row.remeasured),
                ("authorised", row.authorised), ("contingency returned", row.returned),
                ("exchange units", row.exchange),
            ),
            f"{accepted.commercial_form}; unspent {accepted.unspent}", SOURCE,
        )
    )  # fmt: skip
    reasons.note(
        Figure(
            LEFT, "Contingency left", row.left, "", "held \u2212 drawn \u2212 given back", names,
            _told(
                ("held", row.held), ("drawn", row.drawn), ("given back", contract.totals.released),
                ("priced, not agreed", row.pending_contingency),
            ),
            "what waits is not drawn until it is agreed to", SOURCE,
        )
    )  # fmt: skip
    _note_exposed(reasons, now)
    return reasons


def _note_exposed(reasons: Reasons, now: ContractNow) -> None:
    row, terms = now.row, now.here.job.terms
    reasons.note(
        Figure(
            EXPOSED, "Still exposed", row.exposed, "",
            f"what {terms.confidence:%} of outcomes of what is closed come to, no less than the "
            "mean", (),
            (
                ("parts still closed", str(row.closed_parts)),
                ("lines not measured yet", str(row.unmeasured_lines)),
                ("findings without a price", str(row.unpriced)),
                ("mean", str(row.mean)),
            ),
            "what was opened changes the chances of what is closed", "the accepted quote's chances",
        )
    )  # fmt: skip
    reasons.note(
        Figure(
            FORECAST, "Forecast, likely", row.forecast_likely, "",
            "what is known or priced by now + what the rest comes to", (SUM, EXPOSED),
            _told(("low, 1 in 10", row.forecast_low), ("high, 9 in 10", row.forecast_high)),
        )
    )  # fmt: skip
    reasons.note(
        Figure(
            FINISH, f"Finish, {terms.confidence:%}", now.finish_covered, "",
            "share of scenarios that end by this day, with the same chances as the money", (),
            (("half end by", now.finish_half.isoformat()),),
        )
    )  # fmt: skip


def _told(*pairs: tuple[str, Money]) -> tuple[tuple[str, str], ...]:
    return tuple((label, str(sum_)) for label, sum_ in pairs)


def _row(line: LedgerLine, now: ContractNow) -> Figure:
    case = now.here.contract.cases.get(line.number) if line.kind == CASE else None
    numbers: list[tuple[str, str]] = []
    rule, who = "", line.finder
    if case is not None:
        variation = case.variation
        numbers += list(_lines(variation.lines))
        numbers += [
            (f"{one.row_id} measured again", f"{one.before} becomes {one.after}")
            for one in variation.remeasured
        ]
        rule = f"funded by the {variation.end}; the quote's own rates, no discount, no carriage"
        if case.agreed_by:
            who = f"{case.agreed_by} on {case.since:%Y-%m-%d %H:%M} UTC"
    value: Money | str = line.amount if line.amount is not None else "no price yet"
    if line.amount is None and line.uncharged is not None:
        value = line.uncharged
    if line.low is not None and line.high is not None:
        numbers += [("low", str(line.low)), ("high", str(line.high))]
    title = f"{line.number} {line.title}".strip() or line.kind
    return Figure(
        row_figure(line.id), title, value, "", "sum of its lines" if numbers else "", (),
        tuple(numbers), rule, f"{SOURCE}; {who}",
    )  # fmt: skip


def _lines(lines: Iterable[VariationLine]) -> Iterable[tuple[str, str]]:
    for line in lines:
        yield f"{line.what}, {line.quantity} {line.unit}", str(line.amount)
