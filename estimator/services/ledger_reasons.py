"""How the figures of the ledger were reached, for whoever asks why: both balances, what is exposed,
the finish, and each row."""

from __future__ import annotations

from collections.abc import Iterable

from estimator.domain.contract.variation import VariationLine
from estimator.domain.fixed_words import fixed
from estimator.domain.money import Money
from estimator.domain.reasons import Figure, Reasons
from estimator.domain.wording import joined, worded
from estimator.services.show_variations import ACCEPTANCE, CASE, LedgerLine, VariationsView
from estimator.services.work_out_contract import ContractNow

SUM, LEFT, EXPOSED, FINISH, FORECAST = (
    "ledger/sum", "ledger/left", "ledger/exposed", "ledger/finish", "ledger/forecast",
)  # fmt: skip
SOURCE = worded("contract's events, in their order")


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
            SUM,
            worded("Current sum, before tax"),
            row.current_sum,
            "",
            worded(
                "contract sum + remeasured + authorised \u2212 contingency returned "
                "+ exchange units"
            ),
            names,
            _told(
                (worded("contract sum"), row.contract_sum),
                (worded("remeasured"), row.remeasured),
                (worded("authorised"), row.authorised),
                (worded("contingency returned"), row.returned),
                (worded("exchange units"), row.exchange),
            ),
            worded(
                "{form}; unspent {goes}",
                form=fixed(accepted.commercial_form),
                goes=fixed(accepted.unspent),
            ),
            SOURCE,
        )
    )
    reasons.note(
        Figure(
            LEFT,
            worded("Contingency left"),
            row.left,
            "",
            worded("held \u2212 drawn \u2212 given back"),
            names,
            _told(
                (worded("held"), row.held),
                (worded("drawn"), row.drawn),
                (worded("given back"), contract.totals.released),
                (worded("priced, not agreed"), row.pending_contingency),
            ),
            worded("what waits is not drawn until it is agreed to"),
            SOURCE,
        )
    )
    _note_exposed(reasons, now)
    return reasons


def _note_exposed(reasons: Reasons, now: ContractNow) -> None:
    row, terms = now.row, now.here.job.terms
    reasons.note(
        Figure(
            EXPOSED,
            worded("Still exposed"),
            row.exposed,
            "",
            worded(
                "what {share:%} of outcomes of what is closed come to, no less than the mean",
                share=terms.confidence,
            ),
            (),
            (
                (worded("parts still closed"), worded("{value}", value=row.closed_parts)),
                (worded("lines not measured yet"), worded("{value}", value=row.unmeasured_lines)),
                (worded("findings without a price"), worded("{value}", value=row.unpriced)),
                (worded("mean"), worded("{sum}", sum=row.mean)),
            ),
            worded("what was opened changes the chances of what is closed"),
            worded("the accepted quote's chances"),
        )
    )
    reasons.note(
        Figure(
            FORECAST,
            worded("Forecast, likely"),
            row.forecast_likely,
            "",
            worded("what is known or priced by now + what the rest comes to"),
            (SUM, EXPOSED),
            _told(
                (worded("low, 1 in 10"), row.forecast_low),
                (worded("high, 9 in 10"), row.forecast_high),
            ),
        )
    )
    reasons.note(
        Figure(
            FINISH,
            worded("Finish, {confidence:%}", confidence=terms.confidence),
            now.finish_covered,
            "",
            worded("share of scenarios that end by this day, with the same chances as the money"),
            (),
            ((worded("half end by"), worded("{day}", day=now.finish_half)),),
        )
    )


def _told(*pairs: tuple[str, Money]) -> tuple[tuple[str, str], ...]:
    return tuple((label, worded("{sum}", sum=amount)) for label, amount in pairs)


def _row(line: LedgerLine, now: ContractNow) -> Figure:
    case = now.here.contract.cases.get(line.number) if line.kind == CASE else None
    numbers: list[tuple[str, str]] = []
    rule, who = "", line.finder
    if case is not None:
        variation = case.variation
        numbers += list(_lines(variation.lines))
        numbers += [
            (
                worded("{row_id} measured again", row_id=one.row_id),
                worded("{before} becomes {after}", before=one.before, after=one.after),
            )
            for one in variation.remeasured
        ]
        rule = worded(
            "funded by the {end}; the quote's own rates, no discount, no carriage",
            end=fixed(variation.end),
        )
        if case.agreed_by:
            who = worded(
                "{who} on {moment:%Y-%m-%d %H:%M} UTC", who=case.agreed_by, moment=case.since
            )
    value: Money | str = line.amount if line.amount is not None else worded("no price yet")
    if line.amount is None and line.uncharged is not None:
        value = line.uncharged
    if line.low is not None and line.high is not None:
        numbers += [
            (worded("low"), worded("{sum}", sum=line.low)),
            (worded("high"), worded("{sum}", sum=line.high)),
        ]
    title = f"{line.number} {line.title}".strip() or fixed(line.kind)
    return Figure(
        row_figure(line.id),
        title,
        value,
        "",
        worded("sum of its lines") if numbers else "",
        (),
        tuple(numbers),
        rule,
        joined((SOURCE, who), "; "),
    )


def _lines(lines: Iterable[VariationLine]) -> Iterable[tuple[str, str]]:
    for line in lines:
        yield (
            worded(
                "{what}, {quantity} {unit}",
                what=line.what,
                quantity=line.quantity,
                unit=line.unit,
            ),
            worded("{sum}", sum=line.amount),
        )
