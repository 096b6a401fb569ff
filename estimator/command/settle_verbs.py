"""The verbs of money and the end of a contract: stage payments, exchange units, contingency given
back, stop, tests, hand-over, the account."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from estimator.command.acting import now, who_acts
from estimator.command.answer import Options, answer
from estimator.command.columns import table
from estimator.command.contract_acts import (
    act,
    contract_verb,
    currency_of,
    money_of,
    number,
    share,
    sum_text,
)
from estimator.command.text_output import amount
from estimator.domain.contract.events import BOXED_RETURN, REASSEMBLY

if TYPE_CHECKING:
    from estimator.domain.contract.account import Account
    from estimator.domain.money import Money
    from estimator.services.write_contract import Here


def add_to(verbs: Any) -> None:
    """Add the verbs to the command line."""
    staging = contract_verb(verbs, "stage", stage, "invoice a stage payment")
    staging.add_argument("name", help="name of the stage, like S1")
    staging.add_argument("share", type=share, help="share of the contract sum: 0.25, or 25%%")
    exchanging = contract_verb(verbs, "exchange", exchange, "settle exchange units sent back")
    exchanging.add_argument("parts", nargs="+", help="parts, like P-INJ")
    exchanging.add_argument("--sent", type=number, required=True, help="how many went back")
    exchanging.add_argument("--accepted", type=number, required=True, help="how many were accepted")
    exchanging.add_argument("--charge", type=number, default=0, help="charged for the rest")
    exchanging.add_argument("--reason", default="", help="why the rest was not accepted")
    giving = contract_verb(verbs, "return-contingency", return_contingency,
                           "give part of the contingency back before the end")  # fmt: skip
    giving.add_argument("amount", type=number, help="sum before tax")
    ordering = contract_verb(verbs, "order", order,
                             "record another purchase order, or another limit of it")  # fmt: skip
    ordering.add_argument("purchase_order", metavar="ORDER", help="number of the order")
    limit = ordering.add_mutually_exclusive_group(required=True)
    limit.add_argument("--limit", type=number, help="its limit, before tax")
    limit.add_argument("--no-limit", action="store_true", help="the order has no limit")
    ordering.add_argument("--by", required=True, help="who of the customer gave it")
    ordering.add_argument("--capacity", required=True, help="in which capacity: buyer ...")
    ordering.add_argument("--channel", required=True, help="how it came: e-mail, signed paper ...")
    ordering.add_argument("--words", required=True, help="what was said, exactly")
    stopping = contract_verb(verbs, "stop", stop, "record that the customer stops after teardown")
    stopping.add_argument("way", choices=("boxed-return", "reassembly"))
    stopping.add_argument("--by", required=True, help="who of the customer decided it")
    stopping.add_argument("--words", required=True, help="what was said, exactly")
    testing = contract_verb(verbs, "tests", tests, "record the tests before hand-over")
    testing.add_argument("--result", required=True, help="what they showed")
    handing = contract_verb(
        verbs, "hand-over", hand_over, "record that the machine was handed over"
    )
    handing.add_argument("--by", required=True, help="who of the customer took it")
    handing.add_argument("--words", default="", help="what was said, exactly")
    handing.add_argument("--note", default="", help="open snags, papers handed over")
    said = handing.add_mutually_exclusive_group()
    said.add_argument("--done", nargs="+", default=(), metavar="VARIATION",
                      help="variations whose work you say is done by now")  # fmt: skip
    said.add_argument("--all-done", action="store_true",
                      help="say so of everything that was agreed to")  # fmt: skip
    contract_verb(verbs, "close-account", close_account,
                  "draw up the final account; the job goes into past work")  # fmt: skip
    contract_verb(verbs, "account", account, "show the account as it stands", acts=False)


def stage(options: Options) -> None:
    """Invoice a stage."""
    from estimator.services.settle_contract import invoice_stage

    act(
        options,
        lambda record, who, at: invoice_stage(
            record, options.number, options.name, options.share, who, at
        ),
        lambda here: f"Stage {options.name} of {here.job.number} is invoiced.",
    )


def exchange(options: Options) -> None:
    """Settle exchange units."""
    from estimator.services.settle_contract import settle_exchange

    act(
        options,
        lambda record, who, at: settle_exchange(
            record, options.number, tuple(options.parts), (options.sent, options.accepted),
            money_of(options.charge, currency_of(record, options.number)), who, at, options.reason,
        ),
        lambda _here: f"{', '.join(options.parts)}: {options.accepted} of {options.sent} accepted.",
    )  # fmt: skip


def return_contingency(options: Options) -> None:
    """Give contingency back."""
    from estimator.services.settle_contract import return_contingency as service

    act(
        options,
        lambda record, who, at: service(
            record, options.number, money_of(options.amount, currency_of(record, options.number)),
            who, at,
        ),
        lambda here: f"{options.amount} {here.contract.currency} goes back to the customer.",
    )  # fmt: skip


def order(options: Options) -> None:
    """Record another order."""
    from estimator.services.settle_contract import Order, change_order

    def do(record: Any, who: Any, at: Any) -> Here:
        limit = None
        if options.limit is not None:
            limit = money_of(options.limit, currency_of(record, options.number))
        given = Order(
            purchase_order=options.purchase_order, limit=limit, by=options.by,
            capacity=options.capacity, channel=options.channel, words=options.words,
        )  # fmt: skip
        return change_order(record, options.number, given, who, at)

    def told(here: Here) -> str:
        limit = here.contract.order_limit
        to = "without limit" if limit is None else f"to {amount(limit)} {here.contract.currency}"
        return f"{here.job.number} is under order {here.contract.purchase_order}, {to}."

    act(options, do, told)


def stop(options: Options) -> None:
    """Stop after teardown."""
    from estimator.services.settle_contract import stop_job

    way = {"boxed-return": BOXED_RETURN, "reassembly": REASSEMBLY}[options.way]

    def told(here: Here) -> str:
        stopped = here.contract.stopped
        sum_ = "" if stopped is None else f", {amount(stopped.amount)} {here.contract.currency}"
        return f"{here.job.number} is stopped: {way}{sum_}."

    act(
        options,
        lambda record, who, at: stop_job(
            record, options.number, way, options.words, options.by, who, at
        ),
        told,
    )


def tests(options: Options) -> None:
    """Record the tests."""
    from estimator.services.settle_contract import record_tests

    act(
        options,
        lambda record, who, at: record_tests(record, options.number, options.result, who, at),
        lambda here: f"The tests of {here.job.number} are recorded.",
    )


def hand_over(options: Options) -> None:
    """Hand over."""
    from estimator.services.settle_contract import ALL
    from estimator.services.settle_contract import hand_over as service

    done = ALL if options.all_done else tuple(options.done)

    act(
        options,
        lambda record, who, at: service(
            record, options.number, options.by, options.words, who, at, options.note, done
        ),
        lambda here: f"{here.job.number} is handed over.",
    )


def close_account(options: Options) -> None:
    """Close the account."""
    from estimator.services.open_record import open_record
    from estimator.services.settle_contract import close_account as service

    with open_record(options.record, now()) as record:
        final = service(record, options.number, who_acts(record, options), now())
    answer(options, account_data(final), f"{options.number} is closed.\n\n{account_text(final)}")


def account(options: Options) -> None:
    """Show the account."""
    from estimator.services.open_record import open_record
    from estimator.services.settle_contract import read_account

    with open_record(options.record, now()) as record:
        found = read_account(record, options.number)
    answer(options, account_data(found), account_text(found))


def account_data(found: Account) -> dict[str, object]:
    """An account with every line, sums as text before tax unless they say otherwise."""
    return {
        "currency": found.net.currency,
        "lines": [
            {
                "id": one.id,
                "kind": one.kind,
                "title": one.title,
                "amount": sum_text(one.amount),
                "counts": one.counts,
            }
            for one in found.lines
        ],
        "net": sum_text(found.net),
        "tax": sum_text(found.tax),
        "gross": sum_text(found.gross),
        "stages": [
            {
                "name": one.name,
                "net": sum_text(one.net),
                "tax": sum_text(one.tax),
                "gross": sum_text(one.gross),
                "deposit": sum_text(one.deposit),
                "to_pay": sum_text(one.to_pay),
            }
            for one in found.stages
        ],
        "balance": {
            "net": sum_text(found.balance_net),
            "tax": sum_text(found.balance_tax),
            "gross": sum_text(found.balance_gross),
        },
        "deposit": sum_text(found.deposit),
        "to_pay": sum_text(found.to_pay),
        "workshop_cost": sum_text(found.workshop_cost),
    }


def _deposit(found: Account) -> tuple[tuple[str, Money], ...]:
    """What was paid as a deposit, on which invoices it counts, and what is to pay after it."""
    if not found.deposit:
        return ()
    stages = tuple((f"deposit on stage {one.name}", -one.deposit)
                   for one in found.stages if one.deposit)  # fmt: skip
    left = (("deposit on the balance", -found.deposit_left),) if found.deposit_left else ()
    return (*stages, *left, ("to pay of the balance", found.to_pay))


def account_text(found: Account) -> str:
    """The same as a table. Draws on the contingency stand in brackets: they are inside its sum."""
    rows = [
        (one.id, one.title, amount(one.amount) if one.counts else f"({amount(one.amount)})")
        for one in found.lines
    ]
    sums = (
        ("net", found.net), ("tax", found.tax), ("gross", found.gross),
        *((f"stage {one.name}, gross", -one.gross) for one in found.stages),
        ("balance, gross", found.balance_gross),
        *_deposit(found),
    )  # fmt: skip
    rows += [("", name, amount(sum_)) for name, sum_ in sums]
    return table(("", f"Account, {found.net.currency}", "Sum"), rows, right=(2,))
