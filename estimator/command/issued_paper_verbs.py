"""The verbs of contract papers that are kept as they went out: keep, list, hand out again."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from estimator.command.acting import now, record_verb, who_acts
from estimator.command.answer import Options, answer
from estimator.command.paper_verbs import day_of

if TYPE_CHECKING:
    from estimator.domain.issued_paper import IssuedPaper

_KINDS = ("variation", "strip", "ledger", "declined", "stop")


def add_to(verbs: Any) -> None:
    """Add the verbs to the command line."""
    text = "keep a contract's paper as it goes out: its bytes, their hash in the log"
    keep = record_verb(verbs, "issue-paper", issue_paper, text)
    _which(keep)
    keep.add_argument("--locale", default="", help="language, numbers and dates (default: those "
                      "of the quote)")  # fmt: skip
    keep.add_argument("--to", type=Path, metavar="FILE", help="write the PDF here too")
    again = record_verb(
        verbs, "reissue-paper", reissue_paper, "write a contract's paper again, as it went out",
        acts=False,
    )  # fmt: skip
    _which(again)
    again.add_argument("to", type=Path, metavar="FILE", help="PDF to write")
    again.add_argument("--revision", type=int, help="of the variation (default: the last issued)")
    again.add_argument("--replace", action="store_true", help="replace a file that is there")
    listing = record_verb(
        verbs, "issued-papers", list_papers, "list a contract's papers that are kept", acts=False
    )
    listing.add_argument("number", metavar="JOB", help="number of the job")


def _which(one: argparse.ArgumentParser) -> None:
    one.add_argument("number", metavar="JOB", help="number of the job")
    one.add_argument("kind", metavar="KIND", choices=_KINDS, help=f"one of {', '.join(_KINDS)}")
    one.add_argument("--variation", default="", help="number of the variation, like V04")
    one.add_argument("--day", type=day_of, help="date of the paper")


def issue_paper(options: Options) -> None:
    """Keep a paper."""
    from estimator.services.issued_papers import issue_paper as service
    from estimator.services.open_record import open_record
    from estimator.services.write_file import write_whole

    with open_record(options.record, now()) as record:
        paper = service(
            record, options.number, options.kind, who_acts(record, options), now(),
            variation=options.variation, day=options.day, locale=options.locale,
        )  # fmt: skip
        if options.to:
            write_whole(options.to.absolute(), paper.pdf)
    answer(options, _data(paper), f"Kept: {paper.title}, hash {paper.pdf_sha256[:12]}.")


def reissue_paper(options: Options) -> None:
    """Write a paper again."""
    from estimator.services.issued_papers import reissue_paper as service
    from estimator.services.open_record import open_record

    to = options.to.absolute()
    with open_record(options.record, now()) as record:
        paper = service(
            record, options.number, options.kind, to, variation=options.variation,
            revision=options.revision, day=options.day, replace=options.replace,
        )  # fmt: skip
    answer(options, {"pdf": str(to)} | _data(paper), f"As issued, {paper.title}: {to}")


def list_papers(options: Options) -> None:
    """List papers."""
    from estimator.command.columns import table
    from estimator.services.issued_papers import papers_issued
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        found = papers_issued(record, options.number)
    rows = [[one.title, one.by, one.locale, one.pdf_sha256[:12]] for one in found]
    heads = ("Paper", "By", "Locale", "Hash")
    answer(options, [_data(one) for one in found],
           table(heads, rows) if rows else "No paper is kept yet.")  # fmt: skip


def _data(paper: IssuedPaper) -> dict[str, object]:
    return {"number": paper.number, "by": paper.by, **paper.told}
