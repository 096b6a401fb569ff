"""The final account: contract sum +/- remeasured +/- authorised - contingency returned +/-
exchange units, line by line, with tax and what was invoiced before."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.contract.contract import Contract
from estimator.domain.contract.variation import CONTINGENCY, CONTRACT_SUM
from estimator.domain.money import Money, money_half_up
from estimator.domain.tax import Taxed, document_totals


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
    """A stage payment as invoiced."""

    name: str
    net: Money
    tax: Money
    gross: Money


@dataclass(frozen=True, slots=True)
class Account:
    """What the job comes to, and what is still to pay."""

    lines: tuple[AccountLine, ...]
    net: Money
    tax: Money
    gross: Money
    stages: tuple[Stage, ...]
    balance_net: Money
    balance_tax: Money
    balance_gross: Money
    workshop_cost: Money


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
    stages = tuple(_stage(name, share, contract, tax) for name, share in contract.stages)
    balance_net, balance_tax = net, tax.on(net)
    for stage in stages:
        balance_net, balance_tax = balance_net - stage.net, balance_tax - stage.tax
    return Account(
        _lines(contract), net, tax.on(net), net + tax.on(net), stages, balance_net, balance_tax,
        balance_net + balance_tax, contract.workshop_cost,
    )  # fmt: skip


def _stage(name: str, share: Decimal, contract: Contract, tax: _Tax) -> Stage:
    net = money_half_up(contract.acceptance.contract_sum.amount * share, contract.currency)
    return Stage(name, net, tax.on(net), net + tax.on(net))


def _lines(contract: Contract) -> tuple[AccountLine, ...]:
    totals, rule = contract.totals, contract.rule
    lines = [
        AccountLine("BASE", "contract", "base: firm and provisional", totals.base, counts=True),
        AccountLine("CONT", "contract", "contingency for parts found worn", totals.held, True),
    ]
    for row, one in contract.measured.items():
        title = f"{row} measured again: {one.before} becomes {one.after}"
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
    lines.append(AccountLine("RET", "returned", "contingency returned", -returned, True))
    lines += _stopped(contract)
    if totals.exchange:
        lines.append(
            AccountLine("EXCH", "exchange", "exchange units not accepted", totals.exchange, True)
        )
    return tuple(lines)


def _stopped(contract: Contract) -> list[AccountLine]:
    """What a stop after teardown takes off and adds: together what `Totals.stopped` is."""
    stop, totals = contract.stopped, contract.totals
    if stop is None:
        return []
    undone = f"stopped: work not done; strip and report stay at {stop.strip}"
    return [
        AccountLine("UNDONE", "stopped", undone, -contract.undone(totals), counts=True),
        AccountLine(
            "UNSPENT", "stopped", "contingency that nothing was drawn from", -totals.unspent,
            counts=True,
        ),
        AccountLine("BACK", "stopped", stop.way, stop.amount, counts=True),
    ]  # fmt: skip
