"""The ledger statement: the sum and the contingency, what moved them, and what is left."""

from __future__ import annotations

from typing import Any

from reportlab.platypus import CondPageBreak

from estimator.documents.contract import contract_labels as labels
from estimator.documents.contract.contract_paper import HALF, ContractPaper, contract_pdf
from estimator.documents.grammar.certainty_bar import (
    CONTINGENCY_PART,
    FIRM_PART,
    PROVISIONAL_PART,
    CertaintyBar,
)
from estimator.documents.grammar.columns import Columns, Rule
from estimator.documents.grammar.look import WIDTH
from estimator.documents.grammar.spoken import in_language_of_locale
from estimator.documents.grammar.wording import NOTHING, listed
from estimator.domain.contract.ledger import NO_MARK
from estimator.domain.contract.papers import LedgerEntry, LedgerStatement, Waiting
from estimator.domain.contract.variation import CHARGED_TO_NOBODY


@in_language_of_locale
def ledger_pdf(ledger: LedgerStatement, locale: str = "en_GB") -> bytes:
    """The statement as PDF: the same statement and locale give the same bytes. Raises ValueError
    for a locale whose formats are not known."""

    def story(paper: ContractPaper) -> list[Any]:
        title = labels.LEDGER.format(job=ledger.head.title)
        held = ledger.head.held
        return [
            *paper.opening(title, "ledger"),
            paper.facts(paper.parties(), [(labels.DATED, paper.words.day(ledger.head.day))]),
            Rule(strong=True, before=3, after=3),
            _three_figures(paper, ledger),
            *(_bar(paper, ledger) if held else ()),
            Columns([_sum(paper, ledger), _contingency(paper, ledger) if held else []], before=8),
            *(_groups(paper, ledger) if held else ()),
            *_events(paper, ledger),
            *_waiting(paper, ledger),
        ]

    title = labels.LEDGER.format(job=ledger.head.title)
    return contract_pdf(ledger.head, locale, title, labels.LEDGER_REFERENCE, story)


def _three_figures(paper: ContractPaper, ledger: LedgerStatement) -> Columns:
    words = paper.words
    gross = labels.CURRENT_WORDS.format(gross=paper.gross(ledger.current.gross), tax=paper.tax())
    figures = [(labels.CURRENT, words.money(ledger.current.net), gross)]
    if ledger.head.held:
        of = labels.LEFT_WORDS.format(held=words.money(ledger.held))
        figures.append((labels.LEFT, words.money(ledger.left), of))
    ready, likely = NOTHING, labels.READY_DONE
    if ledger.ready is not None:
        ready = words.day(ledger.ready.planned)
        likely = labels.READY_WORDS.format(likely=words.day(ledger.ready.likely))
    figures.append((labels.READY, ready, likely))
    columns: list[list[Any]] = [
        [paper.text(title, "head"), paper.figure(figure), paper.text(said, "second")]
        for title, figure, said in figures
    ]
    return Columns(columns)


def _bar(paper: ContractPaper, ledger: LedgerStatement) -> list[Any]:
    """What was held: drawn, waiting and left to one scale."""
    if not ledger.drawn and not ledger.left:
        return []
    waiting = min(ledger.waiting_contingency, ledger.left, key=lambda one: one.minor)
    bar = CertaintyBar(
        [
            (FIRM_PART, ledger.drawn.minor),
            (PROVISIONAL_PART, waiting.minor),
            (CONTINGENCY_PART, ledger.left.minor - max(waiting.minor, 0)),
        ],
        whole=ledger.held.minor, height=11,
    )  # fmt: skip
    bar.spaceBefore, bar.spaceAfter = 6, 2
    return [bar, paper.text(labels.BAR_KEY, "note")]


def _sum(paper: ContractPaper, ledger: LedgerStatement) -> list[Any]:
    rows = [(labels.ORIGINAL, paper.money(ledger.contract_sum), False)]
    rows += [
        (name, paper.signed(amount), False)
        for name, amount in (
            (labels.MEASURED_AGAIN, ledger.remeasured), (labels.ADDED, ledger.authorised),
            (labels.RETURNED, -ledger.returned), (labels.EXCHANGE, ledger.exchange),
            (labels.STOP_UNDONE, ledger.undone), (labels.STOP_BACK, ledger.way_back),
        )
        if amount
    ]  # fmt: skip
    rows.append((labels.CURRENT, paper.money(ledger.current.net), True))
    found: list[Any] = [paper.part(labels.SUM_TITLE, "sum"), paper.sums(rows, HALF)]
    if ledger.deposit is not None:
        said = labels.DEPOSIT.format(amount=paper.gross(ledger.deposit))
        found.append(paper.text(said, "second", before=3))
    return found


def _contingency(paper: ContractPaper, ledger: LedgerStatement) -> list[Any]:
    rows = [(labels.HELD, paper.money(ledger.held), False)]
    rows += [
        (name, paper.signed(-amount), False)
        for name, amount in (
            (labels.DRAWN_SO_FAR, ledger.drawn), (labels.GIVEN_BACK, ledger.given_back),
            (labels.TO_US, ledger.to_workshop), (labels.TAKEN_OFF, ledger.taken_off),
        )
        if amount
    ]  # fmt: skip
    rows.append((labels.LEFT_NOW, paper.money(ledger.left), True))
    found: list[Any] = [paper.part(labels.CONTINGENCY_TITLE, "contingency"), paper.sums(rows, HALF)]
    if ledger.waiting_contingency or ledger.closed:
        closed = labels.CLOSED_UNPRICED if ledger.mark == NO_MARK else labels.CLOSED_HELD
        needed = paper.sums(
            [(labels.WAITS, paper.money(ledger.waiting_contingency), False),
             (closed, paper.money(ledger.closed), False)], HALF,
        )  # fmt: skip
        needed.spaceBefore = 4
        found.append(needed)
    said = labels.MARKS[ledger.mark].format(short=paper.money(ledger.short_by))
    if ledger.mark != "closed":
        said = f"{said} {labels.UNSPENT.get(ledger.unspent, '')}".strip()
    return [*found, paper.text(said, "second", before=3)]


def _groups(paper: ContractPaper, ledger: LedgerStatement) -> list[Any]:
    words = paper.words
    head = (labels.GROUP, labels.HELD, labels.DRAWN_SO_FAR, labels.CLOSED_HELD, labels.CAUSES_HEAD)
    rows = [paper.mixed(head, (4,), "head")]
    for one in ledger.groups:
        texts = (one.name or labels.OTHER_GROUP, words.sum(one.held), words.sum(one.drawn),
                 words.sum(one.closed), listed(one.causes))  # fmt: skip
        rows.append(paper.mixed(texts, (4,), "cell"))
    totals = map(words.sum, (ledger.held, ledger.drawn, ledger.closed))
    rows.append(paper.mixed((labels.GROUP_TOTAL, *totals, ""), (4,), "cell strong"))
    widths = [WIDTH * share for share in (0.28, 0.12, 0.12, 0.17, 0.31)]
    table = paper.table(rows, widths, total=1, pad=1)
    table.setStyle([("LEFTPADDING", (4, 0), (4, -1), 14)])
    return [
        *paper.section(labels.GROUPS, "groups", before=10, need=110),
        table,
        paper.text(labels.GROUPS_NOTE, "note", before=2),
    ]


def _events(paper: ContractPaper, ledger: LedgerStatement) -> list[Any]:
    """Every event that moved a sum: each row's sum is the one above and what it moves."""
    held = ledger.head.held
    head = [labels.WHEN, labels.WHAT, labels.MOVES_SUM, labels.SUM_AFTER]
    if held:
        head += [labels.MOVES_LEFT, labels.LEFT_AFTER_EVENT]
    rows = [paper.mixed(head, (1,), "head")]
    for one in ledger.entries:
        name, *sums = _entry(paper, one)
        cells = paper.mixed([paper.words.day(one.at.date()), "", *sums[: 4 if held else 2]], (1,),
                            "fine")  # fmt: skip
        cells[1] = [paper.text(name, "fine strong"), *_said(paper, one)]
        rows.append(cells)
    sums_wide = [46.0, 54.0, 54.0, 46.0][: 4 if held else 2]
    widths = [78.0, WIDTH - 78 - sum(sums_wide), *sums_wide]
    return [
        *paper.section(labels.EVENTS, "events", before=10, need=120),
        paper.table(rows, widths, pad=1.2),
    ]


def _entry(paper: ContractPaper, one: LedgerEntry) -> tuple[str, str, str, str, str]:
    words = paper.words
    subject = labels.ACCEPTED_OF.get(one.subject, one.subject)
    name = labels.KINDS.get(one.kind, one.kind).format(subject=subject)
    return (name, paper.signed(one.moves_sum), words.sum(one.sum), paper.signed(one.moves_left),
            words.sum(one.left))  # fmt: skip


def _said(paper: ContractPaper, one: LedgerEntry) -> list[Any]:
    """Who, and in which words."""
    words = labels.IN_WORDS.format(words=one.words) if one.words else ""
    said = ": ".join(filter(None, (one.by, words)))
    return [paper.text(said, "fine")] if said else []


def _waiting(paper: ContractPaper, ledger: LedgerStatement) -> list[Any]:
    found: list[Any] = [CondPageBreak(70), paper.part(labels.WAITING_TITLE, "waiting", before=9)]
    if not ledger.waiting:
        return [*found, paper.text(labels.NOTHING_WAITS, "second")]
    rows = [paper.mixed((labels.STRIP_VARIATION, labels.ANSWER_BY, labels.FUNDED_BY,
                         labels.STRIP_AMOUNT.format(currency=paper.words.symbol)), (1, 2),
                        "head")]  # fmt: skip
    rows += [_waits(paper, one) for one in ledger.waiting]
    return [*found, paper.table(rows, [WIDTH - 330, 80, 130, 120], pad=1),
            paper.text(labels.NO_ANSWER, "strong", before=3)]  # fmt: skip


def _waits(paper: ContractPaper, one: Waiting) -> list[Any]:
    by = paper.words.day(one.answer_by) if one.answer_by else NOTHING
    shown = NOTHING
    if one.amount is not None:
        shown = paper.words.sum(one.amount)
    elif one.range is not None:
        shown = labels.UNPRICED_LINE.format(range=paper.spread(one.range))
    end = labels.FUNDED.get(one.end, one.end)
    if not one.charged and one.end not in CHARGED_TO_NOBODY:
        end = labels.AT_OUR_RISK
    texts = (f"{one.name} {one.title}", by, end, shown)
    return paper.mixed(texts, (1, 2), "cell")
