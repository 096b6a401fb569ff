"""The list of work that is not done, for hand-over: what follows, and who said so in what words."""

from __future__ import annotations

from typing import Any

from reportlab.platypus import CondPageBreak, KeepTogether

from estimator.documents.contract import contract_labels as labels
from estimator.documents.contract.contract_paper import ContractPaper, SafetyMark, contract_pdf
from estimator.documents.grammar.columns import Beside, Rule
from estimator.documents.grammar.look import WIDTH
from estimator.documents.grammar.spoken import in_language_of_locale
from estimator.documents.grammar.wording import apart
from estimator.domain.contract.papers import DeclinedList, DeclinedRow


@in_language_of_locale
def declined_pdf(listed: DeclinedList, locale: str = "en_GB") -> bytes:
    """The list as PDF: the same list and locale give the same bytes. Raises ValueError for a locale
    whose formats are not known."""

    def story(paper: ContractPaper) -> list[Any]:
        rows: list[Any] = [paper.text(labels.NONE_DECLINED, "strong", before=6)]
        closing: list[Any] = []
        if listed.rows:
            rows = [part for row in listed.rows for part in _row(paper, row)]
            said = paper.text(labels.RECEIVED_LIST, "strong")
            closing = [KeepTogether([paper.sign_here([said], labels.SEEN)])]
        return [
            *paper.opening(labels.DECLINED, "declined"),
            paper.facts(paper.parties(), [(labels.DATED, paper.words.day(listed.head.day))]),
            Rule(strong=True, before=3, after=3),
            *([paper.text(labels.DECLINED_WORDS, "body", after=2)] if listed.rows else []),
            *rows,
            *closing,
            *paper.cautions(listed.cautions),
        ]

    return contract_pdf(listed.head, locale, labels.DECLINED, labels.DECLINED_REFERENCE, story)


def _row(paper: ContractPaper, row: DeclinedRow) -> list[Any]:
    facts = [(labels.WHERE, row.location), (labels.STATE, labels.STATES.get(row.state, row.state))]
    if row.left_out:
        facts.append(("", labels.LEFT_OUT.format(names=apart(row.left_out))))
    if row.amount is not None:
        facts.append((labels.PRICE, labels.OFFERED.format(amount=paper.money(row.amount))))
    elif row.range is not None:
        spread = paper.spread(row.range)
        facts.append((labels.PRICE, labels.OFFERED_RANGE.format(range=spread)))
    found: list[Any] = [
        CondPageBreak(100),
        paper.part(f"{row.name} {row.title}", f"row {row.name}", before=8),
        paper.pairs(facts, 92, WIDTH),
        paper.pairs(
            [(labels.CONSEQUENCE, row.consequence or labels.UNDONE_UNKNOWN)], 92, WIDTH, "strong"
        ),
    ]
    if row.safety:
        text = labels.SAFETY_WORDS
        found.append(
            Beside(SafetyMark(), [paper.lead(f"{labels.SAFETY_MATTER}.", text, "second")], 20)
        )
    if row.answered is not None:
        return [*found, *paper.answered(row.answered)]
    by = labels.BY_DAY.format(day=paper.words.day(row.answer_by)) if row.answer_by else ""
    return [*found, paper.text(labels.NOBODY.format(by=by), "second", before=2)]
