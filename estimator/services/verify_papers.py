"""Contract papers that are kept against their hashes and the log: none changed, added or taken
out."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from estimator.domain.issued_paper import PAPER_ISSUED, IssuedPaper
from estimator.domain.record import NO_HASH, LogEntry
from estimator.storage.paper_record import issued_papers

if TYPE_CHECKING:
    from estimator.storage.database import Session


def paper_faults(session: Session, log: list[LogEntry]) -> tuple[int, list[str]]:
    """(papers verified, what is wrong with them), over all jobs."""
    told: dict[tuple[str, int], tuple[LogEntry, dict[str, Any]]] = {}
    for entry in log:
        if entry.act == PAPER_ISSUED:
            said = json.loads(entry.after)
            told[entry.subject.removeprefix("job/"), said["place"]] = entry, said
    heads = {entry.hash: entry.number for entry in log} | {NO_HASH: 0}
    papers = issued_papers(session)
    faults: list[str] = []
    for paper in papers:
        title = f"{paper.number}, {paper.title}"
        if not paper.sound:
            faults.append(f"{title}: the PDF is not the one that went out")
        of = told.pop((paper.number, paper.place), None)
        faults += [f"{title}: {fault}" for fault in _told_faults(paper, of, heads)]
    for (number, place), (entry, _) in told.items():
        faults.append(
            f"{number}: paper {place}, which entry {entry.number} of the log tells of, is gone"
        )
    return len(papers), faults


def _told_faults(
    paper: IssuedPaper, of: tuple[LogEntry, dict[str, Any]] | None, heads: dict[str, int]
) -> Iterator[str]:
    if of is None:
        yield "the log knows of no such paper"
        return
    entry, said = of
    if said != paper.told or (entry.at, entry.who) != (paper.at, paper.by):
        yield f"it is not what entry {entry.number} of the log tells"
    elif heads.get(paper.chain_head, entry.number) >= entry.number:
        yield "the head it was printed with is none of the log before it went out"
