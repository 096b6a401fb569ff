"""Stop after teardown: the ways back with price and date, what is lost, storage, where to sign."""

from __future__ import annotations

from typing import Any

from reportlab.platypus import KeepTogether

from estimator.documents.contract import contract_labels as labels
from estimator.documents.contract.contract_paper import (
    HALF,
    ContractPaper,
    SafetyMark,
    Ticked,
    contract_pdf,
)
from estimator.documents.grammar.certainty_bar import TickBox
from estimator.documents.grammar.columns import Beside, Columns, Rule
from estimator.documents.grammar.look import WIDTH
from estimator.documents.grammar.spoken import in_language_of_locale
from estimator.documents.grammar.wording import apart, within
from estimator.domain.contract.strip_papers import StopPaper


@in_language_of_locale
def stop_pdf(stop: StopPaper, locale: str = "en_GB") -> bytes:
    """The paper as PDF: the same paper and locale give the same bytes. Raises ValueError for a
    locale whose formats are not known."""

    def story(paper: ContractPaper) -> list[Any]:
        said = labels.STOP_WORDS if stop.decided is None else labels.STOP_DONE
        return [
            *paper.opening(labels.STOP, "stop"),
            paper.facts(paper.parties(), [(labels.DATED, paper.words.day(stop.head.day))]),
            Rule(strong=True, before=3, after=3),
            paper.text(said, "body", after=4),
            *_ways(paper, stop),
            *_lost(paper, stop),
            *_not_for_use(paper, stop),
            *_storage(paper, stop),
            *_answer(paper, stop),
            *paper.cautions(stop.cautions),
        ]

    return contract_pdf(stop.head, locale, labels.STOP, labels.STOP_REFERENCE, story)


def _ways(paper: ContractPaper, stop: StopPaper) -> list[Any]:
    words = paper.words
    tax = labels.AMOUNT_WITH_TAX.format(currency=words.symbol, tax=paper.tax())
    net = labels.AMOUNT.format(currency=words.symbol)
    head = ("", labels.WAY_BACK, net, tax, labels.DAYS, labels.READY_ON)
    rows = [paper.mixed(head, (1,), "head")]
    for way in stop.ways:
        texts = ("", words.sum(way.price.net), words.sum(way.price.gross, exact=True),
                 str(way.working_days), words.day(way.ready))  # fmt: skip
        cells = paper.mixed(("", *texts), (1,), "cell")
        cells[0] = Ticked() if way.chosen else TickBox()
        cells[1] = [paper.text(labels.BACK.get(way.way, way.way), "cell strong"),
                    paper.text(labels.BACK_WORDS.get(way.way, ""), "note")]  # fmt: skip
        rows.append(cells)
    widths = [16.0, WIDTH - 306, 62.0, 76.0, 56.0, 96.0]
    longest = labels.LONGEST.format(days=stop.longest_days)
    return [
        paper.table(rows, widths, pad=2),
        paper.text(longest, "second", before=3),
        *_whole(paper, stop),
    ]


def _whole(paper: ContractPaper, stop: StopPaper) -> list[Any]:
    """What the whole job comes to by each way, part by part."""
    columns = []
    for way in stop.ways:
        parts = [(labels.STRIP_PRICE, stop.strip.net), (labels.DONE_BESIDES, stop.done.net),
                 (labels.BACK.get(way.way, way.way), way.price.net)]  # fmt: skip
        rows = [(name, paper.money(amount), False) for name, amount in parts if amount]
        rows.append((labels.JOB_SUM, paper.money(way.job.net), True))
        with_tax = labels.TOTAL_WITH_TAX.format(tax=paper.tax())
        rows.append((with_tax, paper.gross(way.job.gross), False))
        columns.append([paper.sums(rows, HALF)])
    return [
        paper.part(labels.JOB_TITLE, "job", before=9),
        Columns(columns),
        paper.text(labels.JOB_WORDS, "note", before=2),
    ]


def _lost(paper: ContractPaper, stop: StopPaper) -> list[Any]:
    found: list[Any] = [paper.part(labels.LOST_TITLE, "lost", before=9),
                        paper.text(labels.LOST_WORDS, "strong")]  # fmt: skip
    if stop.lost:
        names = apart(map(within, stop.lost))
        found.append(paper.text(labels.LOST.format(names=names), "body"))
    if stop.opened:
        names = apart(map(within, stop.opened))
        found.append(paper.text(labels.OPENED_NAMES.format(names=names), "second", before=2))
    return found


def _not_for_use(paper: ContractPaper, stop: StopPaper) -> list[Any]:
    if not stop.open_safety:
        return []
    text = labels.NOT_FOR_USE_WORDS.format(names=apart(stop.open_safety))
    mark = Beside(SafetyMark(), [paper.lead(f"{labels.NOT_FOR_USE}.", text)], 20)
    mark.spaceBefore = 7
    return [mark]


def _storage(paper: ContractPaper, stop: StopPaper) -> list[Any]:
    price = stop.storage_per_day
    text = labels.STORAGE_WORDS.format(
        days=stop.storage_free_days, net=paper.money(price.net), gross=paper.gross(price.gross),
        tax=paper.tax(),
    )  # fmt: skip
    return [paper.part(labels.STORAGE_TITLE, "storage", before=9), paper.text(text, "body")]


def _answer(paper: ContractPaper, stop: StopPaper) -> list[Any]:
    if stop.decided is not None:
        return paper.answered(stop.decided)
    no_answer = paper.text(labels.NO_ANSWER, "strong", before=2)
    return [KeepTogether([paper.sign_here([no_answer], labels.STOP_SIGN)])]
