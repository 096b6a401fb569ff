"""The final account: contract sum +/- remeasured +/- authorised - contingency returned +/-
exchange units, line by line, with tax, what was invoiced before, and the deposit that was paid.

A deposit is a payment, tax in it: it changes no sum, only what is still to pay. It lessens the
first invoice; what of it that one does not use up lessens the next, and last the balance.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.contract.contract import Contract
from estimator.domain.contract.variation import CONTINGENCY, CONTRACT_SUM
from estimator.domain.money import Money, money_half_up
from estimator.domain.tax import Taxed, document_totals
from estimator.domain.wording import worded


@dataclass(frozen=True, slots=True)
class AccountLine:
    """One line of the account. `counts` is false for what is inside the contract sum already."""

    id: str
    kind: str  # contract, remeasured, authorised, drawn, returned, stopped, exchange
    title: str
    amount: Money
    counts: bool


@dataclass(frozen=True, slots=True)
class Stage:
    """A stage payment as invoiced; `deposit` is what of the deposit it uses up."""

    name: str
    net: Money
    tax: Money
    gross: Money
    deposit: Money

    @property
    def to_pay(self) -> Money:
        """What is to be paid on this invoice."""
        return self.gross - self.deposit


@dataclass(frozen=True, slots=True)
class Account:
    """What the job comes to, and what is still to pay. `balance_*` are what the last invoice is
    made out for; `deposit` what was paid before, and `deposit_left` what of it the stages did not
    use up."""

    lines: tuple[AccountLine, ...]
    net: Money
    tax: Money
    gross: Money
    stages: tuple[Stage, ...]
    balance_net: Money
    balance_tax: Money
    balance_gross: Money
    workshop_cost: Money
    deposit: Money
    deposit_left: Money

    @property
    def to_pay(self) -> Money:
        """What is to be paid of the balance; below nought where the workshop pays back."""
        return self.balance_gross - self.deposit_left


@dataclass(frozen=True, slots=True)
class _Tax:
    """The tax category that the contract falls under."""

    code: str
    percent: Decimal
    currency: str

    def on(self, net: Money) -> Money:
        return document_totals([Taxed(net, self.code, self.percent)], [], [], self.currency).tax


def account(contract: Contract, tax_code: str, tax_percent: Decimal) -> Account:
    """The account as it stands; final once the machine is handed over.

    The balance's tax is the account's less what the stages carried, so that all invoices together
    carry the account's tax to the minor unit.
    """
    tax = _Tax(tax_code, tax_percent, contract.currency)
    net = contract.current_sum
    stages, left = _stages(_invoiced(contract), tax, contract.deposit)
    balance_net, balance_tax = net, tax.on(net)
    for stage in stages:
        balance_net, balance_tax = balance_net - stage.net, balance_tax - stage.tax
    return Account(
        _lines(contract), net, tax.on(net), net + tax.on(net), stages, balance_net, balance_tax,
        balance_net + balance_tax, contract.workshop_cost, contract.deposit, left,
    )  # fmt: skip


def _invoiced(contract: Contract) -> tuple[tuple[str, Money], ...]:
    """(name, net) of every stage invoiced, those of an earlier strip first."""
    whole = contract.acceptance.contract_sum.amount
    return contract.strip_stages + tuple(
        (name, money_half_up(whole * share, contract.currency)) for name, share in contract.stages
    )


def _stages(
    invoiced: tuple[tuple[str, Money], ...], tax: _Tax, deposit: Money
) -> tuple[tuple[Stage, ...], Money]:
    """(stages as invoiced, what of the deposit they leave)."""
    stages = []
    for name, net in invoiced:
        gross = net + tax.on(net)
        used = min(deposit, gross, key=lambda one: one.minor)
        deposit = deposit - used
        stages.append(Stage(name, net, tax.on(net), gross, used))
    return tuple(stages), deposit


def _lines(contract: Contract) -> tuple[AccountLine, ...]:
    totals, rule = contract.totals, contract.rule
    lines = [
        AccountLine(
            "BASE", "contract", worded("base: firm and provisional"), totals.base, counts=True
        ),
        AccountLine(
            "CONT", "contract", worded("contingency for parts found worn"), totals.held, True
        ),
    ]
    for row, one in contract.measured.items():
        title = worded(
            "{row} measured again: {before} becomes {after}",
            row=row,
            before=one.before,
            after=one.after,
        )
        lines.append(
            AccountLine(f"R-{row}", "remeasured", title, one.change, rule.moves_with_measure)
        )
    for number, case in contract.cases.items():
        if case.funding is None:
            continue
        variation = case.variation
        if variation.end == CONTINGENCY and case.funding.from_contingency:
            drawn = case.funding.from_contingency
            lines.append(AccountLine(f"D-{number}", "drawn", variation.title, drawn, False))
        if variation.end in (CONTRACT_SUM, CONTINGENCY) and case.funding.on_contract_sum:
            added = case.funding.on_contract_sum
            lines.append(AccountLine(number, "authorised", variation.title, added, True))
    returned = rule.returned(totals, contract.acceptance.unspent)
    lines.append(AccountLine("RET", "returned", worded("contingency returned"), -returned, True))
    lines += _stopped(contract)
    if totals.exchange:
        lines.append(
            AccountLine(
                "EXCH", "exchange", worded("exchange units not accepted"), totals.exchange, True
            )
        )
    return tuple(lines)


def _stopped(contract: Contract) -> list[AccountLine]:
    """What a stop after teardown takes off and adds: together what `Totals.stopped` is."""
    stop, totals = contract.stopped, contract.totals
    if stop is None:
        return []
    undone = worded("stopped: work not done; strip and report stay at {strip}", strip=stop.strip)
    return [
        AccountLine("UNDONE", "stopped", undone, -contract.undone(totals), counts=True),
        AccountLine(
            "UNSPENT", "stopped", worded("contingency that nothing was drawn from"),
            -totals.unspent, counts=True,
        ),
        AccountLine("BACK", "stopped", stop.way, stop.amount, counts=True),
    ]  # fmt: skip
