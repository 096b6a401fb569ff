"""The verbs that print a contract's papers, and the one that drafts an e-mail with a paper."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path
from typing import Any

from estimator.command.acting import now, record_verb
from estimator.command.answer import Options, answer

_PAPERS = (
    ("print-strip-report", "strip", "write what the strip showed, component by component"),
    ("print-declined", "declined", "write the list of work that is not done, for hand-over"),
    ("print-ledger", "ledger", "write the ledger of sum and contingency for the customer"),
    ("print-stop", "stop", "write what stopping after teardown means, to sign"),
)
_DRAFTS = ("quote", "variation", "strip", "declined", "ledger", "stop")


def add_to(verbs: Any) -> None:
    """Add the verbs to the command line."""
    one = record_verb(
        verbs, "print-variation", print_paper, "write a variation order to sign", acts=False
    )
    one.add_argument("number", metavar="JOB", help="number of the job")
    one.add_argument("variation", metavar="VARIATION", help="number of the variation, like V04")
    one.set_defaults(kind="variation")
    _where_to(one, "PDF to write")
    for name, kind, text in _PAPERS:
        one = record_verb(verbs, name, print_paper, text, acts=False)
        one.add_argument("number", metavar="JOB", help="number of the job")
        one.set_defaults(kind=kind, variation="")
        _where_to(one, "PDF to write")
    draft = record_verb(
        verbs, "draft-email", draft_email, "write an e-mail draft with a paper attached",
        acts=False,
    )  # fmt: skip
    draft.add_argument("number", metavar="JOB", help="number of the job")
    draft.add_argument("kind", metavar="KIND", choices=_DRAFTS, help=f"one of {', '.join(_DRAFTS)}")
    draft.add_argument("--variation", default="", help="number of the variation, like V04")
    _where_to(draft, "file to write, ending in .eml")


def _where_to(verb: argparse.ArgumentParser, text: str) -> None:
    verb.add_argument("to", type=Path, metavar="FILE", help=text)
    verb.add_argument("--replace", action="store_true", help="replace a file that is there")
    verb.add_argument("--locale", default="en_GB", help="how numbers and dates are written")
    verb.add_argument("--day", type=day_of, help="date of the paper (default: today)")


def day_of(text: str) -> date:
    """A day of the command line, like 2026-12-18."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is no date such as 2026-12-18") from None


def _what(options: Options) -> Any:
    from estimator.services.print_contract import Print

    day = options.day or now().date()
    return Print(kind=options.kind, day=day, variation=options.variation, locale=options.locale)


def print_paper(options: Options) -> None:
    """Write a paper of a contract."""
    from estimator.services.open_record import open_record
    from estimator.services.print_contract import print_paper as service

    with open_record(options.record, now()) as record:
        path = service(
            record, options.number, _what(options), options.to.absolute(), replace=options.replace
        )
    answer(options, {"pdf": str(path)}, f"Written: {path}")


def draft_email(options: Options) -> None:
    """Write an e-mail draft."""
    from estimator.services.draft_email import draft_email as service
    from estimator.services.open_record import open_record

    at = now()
    with open_record(options.record, at) as record:
        made = service(
            record, options.number, _what(options), options.to.absolute(), at,
            replace=options.replace,
        )  # fmt: skip
    to = f"to {made.to}" if made.to else "without an address: the customer's contact holds none"
    answer(options, {"eml": str(made.path), "to": made.to},
           f"Drafted {to}: {made.path}. Nothing was sent.")  # fmt: skip
