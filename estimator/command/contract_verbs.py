"""The verbs of a contract: accept a quote, open components, raise variations, answer them, and have
the work done. One verb is one act: all of it is recorded, or nothing."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from estimator.command.answer import Options
from estimator.command.contract_acts import act, contract_verb, currency_of, money_of, number
from estimator.domain.contract import states

if TYPE_CHECKING:
    from estimator.services.answer_variation import Answer
    from estimator.services.write_contract import Here

ANSWERS = {
    "approve": states.APPROVE,
    "approve-in-part": states.PART_APPROVE,
    "decline": states.DECLINE,
    "defer": states.DEFER,
    "agree": states.AGREE,
    "call-off": states.CALL_OFF,
}
MOVES = {
    "issue-variation": (states.ISSUE, "issue a variation: ask whoever may answer it", "is issued"),
    "query-variation": (states.QUERY, "record a question that came back", "is queried"),
    "withdraw-variation": (states.WITHDRAW, "withdraw a variation", "is withdrawn"),
    "close-variation": (states.CLOSE, "close a variation nobody is charged for", "is closed"),
    "lapse": (states.LAPSE, "let a variation lapse whose answer never came", "has lapsed"),
    "release": (states.RELEASE, "release the work of a variation", "is released"),
    "finish": (states.FINISH, "record that the work of a variation is done", "is done"),
}
REASON_HELP = (
    "why it is declined, deferred, called off or agreed in part; or why findings on one component "
    "are separate ones"
)
OPENINGS_HELP = (
    "openings.csv (or .json): one row a part (component, part, state: worn, sound or as priced, "
    "location, reading, consequence ...) or a line of the quote measured again (component, line, "
    "quantity or factor)"
)


def add_to(verbs: Any) -> None:
    """Add the verbs to the command line."""
    accepting = contract_verb(verbs, "accept", accept, "record the acceptance of an issued quote")
    accepting.add_argument("--file", type=Path, required=True, help="acceptance.toml (or .json)")
    accepting.add_argument("--held", action="store_true",
                           help="hold the price past its last day (service manager)")  # fmt: skip
    receiving = contract_verb(verbs, "receive", receive, "record that the machine came in")
    receiving.add_argument("--condition", required=True,
                           help="condition, fluids, keys, loose items")  # fmt: skip
    opening = contract_verb(verbs, "open", open_components, "record what opening components showed")
    opening.add_argument("--file", type=Path, required=True, help=OPENINGS_HELP)
    raising = contract_verb(verbs, "raise", raise_variations, "raise variations from a file")
    raising.add_argument("--file", type=Path, required=True,
                         help="variations.toml ([[variation]]), .json or .csv")  # fmt: skip
    pricing = contract_verb(verbs, "price-variation", price, "price a variation, or write it anew")
    pricing.add_argument("variation", help="variation, like V04")
    pricing.add_argument("--file", type=Path, required=True,
                         help="as for raise; what it does not give stays")  # fmt: skip
    _revision(pricing)
    for name, (_, text, _) in MOVES.items():
        moving = contract_verb(verbs, name, move, text)
        moving.add_argument("variation", help="variation, like V04")
        moving.add_argument("--reason", default="", help="reason, kept on record")
        _revision(moving)
        _waits(moving)
        moving.set_defaults(verb=name)
    safe = contract_verb(verbs, "make-safe", make_safe,
                         "record that work which makes the machine safe went ahead")  # fmt: skip
    safe.add_argument("variation", help="variation, like V04")
    safe.add_argument("--cost", type=number, required=True,
                      help="what it cost the workshop, before tax; 0 where nothing")  # fmt: skip
    _add_answer(verbs)


def _add_answer(verbs: Any) -> None:
    one = contract_verb(verbs, "answer", answer_variations, "record an answer to variations")
    one.description = (
        "Record an answer: your own as the one who may draw on the contingency (your passphrase is "
        "asked for), or with --by, --channel and --words the customer's, exactly as it was given. "
        "Several variations, or a file of answers, are answered all together or not at all."
    )
    one.add_argument("answer", nargs="?", choices=tuple(ANSWERS), help="the answer")
    one.add_argument("variations", nargs="*", help="variations, like V04 V05")
    one.add_argument("--file", type=Path, help="answers.csv (or .json) instead: variation, act, "
                     "by, channel, words, reason ...")  # fmt: skip
    one.add_argument("--by", default="", help="who of the customer answered")
    one.add_argument("--channel", default="", help="how the answer came: e-mail, signed paper ...")
    one.add_argument("--words", default="", help="what was said, exactly")
    one.add_argument("--reason", default="", help=REASON_HELP)
    one.add_argument("--lines", type=_lines, default=(), help="lines agreed to, like 1,3")
    _revision(one)
    _waits(one)
    one.set_defaults(parser=one)


def _revision(one: argparse.ArgumentParser) -> None:
    one.add_argument("--revision", type=int, help="revision that was looked at (default: newest)")


def _waits(one: argparse.ArgumentParser) -> None:
    one.add_argument("--waited-on", dest="activity", default="",
                     help="activity that stood still meanwhile, like A10")  # fmt: skip
    one.add_argument("--waited-days", dest="days", type=number, default=Decimal(0),
                     help="working days it stood still")  # fmt: skip


def _lines(text: str) -> tuple[int, ...]:
    try:
        lines = tuple(int(one) - 1 for one in text.split(","))
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} are no numbers of lines, like 1,3") from None
    if min(lines) < 0:
        raise argparse.ArgumentTypeError("lines count from 1")
    return lines


def accept(options: Options) -> None:
    """Record an acceptance."""
    from estimator.services.contract_from_files import accept_from_file

    def told(here: Here) -> str:
        accepted = here.contract.acceptance
        return f"{here.job.number} rev {accepted.revision} is accepted, {accepted.extent}."

    act(
        options,
        lambda record, who, at: accept_from_file(
            record, options.number, options.file, who, at, held=options.held
        ),
        told,
    )


def receive(options: Options) -> None:
    """Record the receipt."""
    from estimator.services.record_teardown import receive_machine

    act(
        options,
        lambda record, who, at: receive_machine(
            record, options.number, options.condition, who, at
        ),
        lambda here: f"The machine of {here.job.number} is here.",
    )  # fmt: skip


def open_components(options: Options) -> None:
    """Record openings."""
    from estimator.services.contract_from_files import open_from_file

    def told(here: Here) -> str:
        case = here.contract.cases
        waiting = [name for name, one in case.items() if one.state == states.FOUND]
        said = (
            f"Without a price: {', '.join(waiting)}." if waiting else "Nothing waits for a price."
        )
        return f"{len(here.contract.components)} components of {here.job.number} are open. {said}"

    act(
        options,
        lambda record, who, at: open_from_file(record, options.number, options.file, who, at),
        told,
    )


def raise_variations(options: Options) -> None:
    """Raise variations."""
    from estimator.services.contract_from_files import raise_from_file

    act(
        options,
        lambda record, who, at: raise_from_file(record, options.number, options.file, who, at),
        lambda here: (
            f"{here.job.number} has {len(here.contract.cases)} variations now, the newest "
            f"{list(here.contract.cases)[-1]}."
        ),
    )


def price(options: Options) -> None:
    """Price a variation."""
    from estimator.services.contract_from_files import price_from_file

    def told(here: Here) -> str:
        variation = here.contract.case(options.variation).variation
        sum_ = variation.amount(here.contract.currency)
        return f"{variation.name} is priced at {sum_ + _again(here, options.variation)}."

    act(
        options,
        lambda record, who, at: price_from_file(
            record, options.number, options.variation, options.file, who, at,
            revision=options.revision,
        ),
        told,
    )  # fmt: skip


def _again(here: Here, variation: str) -> Any:
    return here.contract.case(variation).variation.remeasured_by(here.contract.currency)


def move(options: Options) -> None:
    """Move a variation on; whoever takes a safety matter back has given their passphrase."""
    from estimator.services.vary_contract import Move, move_variation, take_back_safety
    from estimator.services.work_out_contract import read_contract

    wanted, _, said = MOVES[options.verb]

    def do(record: Any, who: Any, at: Any) -> Here:
        if wanted == states.WITHDRAW:
            case = read_contract(record, options.number).contract.cases.get(options.variation)
            if case is not None and case.variation.safety:
                return take_back_safety(record, options.number, step, who, at)
        return move_variation(record, options.number, step, who, at)

    step = Move(
        variation=options.variation, act=wanted, revision=options.revision, reason=options.reason,
        waits_activity=options.activity, waits_days=options.days,
    )  # fmt: skip
    act(
        options,
        do,
        lambda here: f"{here.contract.case(options.variation).variation.name} {said}.",
    )


def make_safe(options: Options) -> None:
    """Record work that makes safe."""
    from estimator.services.vary_contract import make_safe as service

    act(
        options,
        lambda record, who, at: service(
            record, options.number, options.variation,
            money_of(options.cost, currency_of(record, options.number)), who, at,
        ),
        lambda here: f"{options.variation} of {here.job.number}: made safe before an answer.",
    )  # fmt: skip


def answer_variations(options: Options) -> None:
    """Record answers."""
    from estimator.services.answer_variation import answer_as_manager, record_customers_answers
    from estimator.services.contract_from_files import answer_from_file
    from estimator.services.work_out_contract import read_contract

    if bool(options.file) == bool(options.answer and options.variations):
        options.parser.error("say which answer to which variations, or a --file of answers")

    def do(record: Any, who: Any, at: Any) -> Here:
        if options.file:
            return answer_from_file(record, options.number, options.file, who, at)
        answers = _answers(options, read_contract(record, options.number))
        if not options.by:
            return answer_as_manager(record, options.number, answers, who, at)
        pairs = [(one, options.by) for one in answers]
        return record_customers_answers(record, options.number, pairs, who, at)

    act(options, do, lambda here: _answered(here, options.variations))


def _answers(options: Options, here: Here) -> list[Answer]:
    from estimator.services.answer_variation import Answer
    from estimator.services.contract_from_files import newest_revision

    return [
        Answer(
            variation=name,
            revision=newest_revision(here, name) if options.revision is None else options.revision,
            act=ANSWERS[options.answer],
            channel=options.channel,
            words=options.words,
            reason=options.reason,
            lines=options.lines,
            # Work stands still once, however many answers it waited for.
            waits_activity=options.activity if at == 0 else "",
            waits_days=options.days if at == 0 else Decimal(0),
        )
        for at, name in enumerate(options.variations)
    ]


def _answered(here: Here, names: Sequence[str]) -> str:
    cases = here.contract.cases
    told = [f"{name} is {cases[name].state}" for name in names or cases]
    return f"{', '.join(told)}."
