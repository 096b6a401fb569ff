"""What every verb on a contract shares: who acts on which job, and what it came to."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from estimator.command.acting import now, record_verb, who_acts
from estimator.command.answer import Options, answer
from estimator.command.text_output import amount
from estimator.domain.money import Money
from estimator.domain.past_work import exact_money
from estimator.domain.people import Person

if TYPE_CHECKING:
    from estimator.services.open_record import Record
    from estimator.services.write_contract import Here

Act = Callable[["Record", Person, datetime], "Here"]


def contract_verb(
    verbs: Any, name: str, run: Callable[[Options], int | None], text: str, *, acts: bool = True
) -> argparse.ArgumentParser:
    """Add one verb on a job's contract."""
    one = record_verb(verbs, name, run, text, acts=acts)
    one.add_argument("number", metavar="JOB", help="number of the job")
    return one


def act(options: Options, do: Act, text: Callable[[Here], str]) -> None:
    """Do something to a contract, and tell where it stands then."""
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        here = do(record, who_acts(record, options), now())
    said, data = f"{text(here)} {standing_text(here)}", standing_data(here)
    if here.unkept:
        data["unkept"] = here.unkept
        said = f"{said} Its paper is not kept: {here.unkept} Keep it with issue-paper."
    answer(options, data, said)


def standing_data(here: Here) -> dict[str, object]:
    """Where a contract stands after an act."""
    contract = here.contract
    return {
        "number": here.job.number,
        "state": here.state,
        "events": len(contract.events),
        "currency": contract.currency,
        "current_sum": sum_text(contract.current_sum),
        "contingency_left": sum_text(contract.left),
        "variations": {
            name: {"state": case.state, "revision": case.variation.revision}
            for name, case in contract.cases.items()
        },
    }


def standing_text(here: Here) -> str:
    """The same in a sentence."""
    contract = here.contract
    return (
        f"Current sum {amount(contract.current_sum)} {contract.currency}, contingency left "
        f"{amount(contract.left)}."
    )


def sum_text(one: Money | None) -> str | None:
    """A sum as JSON has it: exact, as text."""
    return None if one is None else f"{one.amount:f}"


def number(text: str) -> Decimal:
    """A number of the command line."""
    from estimator.intake.cells import plain_number

    found = plain_number(text)
    if found is None:
        raise argparse.ArgumentTypeError(f"{text!r} is not a number")
    return found


def share(text: str) -> Decimal:
    """A share: 0.25, or 25%."""
    found = number(text.removesuffix("%").strip())
    if text.strip().endswith("%"):
        found /= 100
    if not 0 < found <= 1:
        raise argparse.ArgumentTypeError(f"{text} is no share, such as 0.25 or 25%")
    return found


def money_of(amount_: Decimal, currency: str) -> Money:
    """A sum in the contract's currency. Raises Refused where it is finer than a coin."""
    from estimator.domain.problem import Place, Problem
    from estimator.services.errors import Refused

    try:
        return exact_money(amount_, currency)
    except ValueError as error:
        fault = Problem("amount", Place(), f"{error}.", "Round it.")
        raise Refused("The sum", [fault]) from error


def currency_of(record: Record, number_: str) -> str:
    """Currency of a job's contract. Raises NotFound."""
    from estimator.services.work_out_contract import read_contract

    return read_contract(record, number_).contract.currency
