"""The letter with a revised quote: what changed, old and new side by side, group by group, and
why. Columns add up to the price of either revision."""

from __future__ import annotations

from functools import partial
from typing import Any

from estimator.documents.grammar import labels as shared
from estimator.documents.grammar.columns import Rule
from estimator.documents.grammar.look import INK, WIDTH
from estimator.documents.grammar.spoken import in_language_of_locale
from estimator.documents.grammar.wording import MINUS, NOTHING, Words, apart
from estimator.documents.quote import revision_letter_labels as labels
from estimator.documents.quote.revision_letter_words import (
    finding_said,
    terms_said,
    why,
)
from estimator.documents.quote.side_paper import SidePaper, side_pdf
from estimator.domain.money import Money
from estimator.domain.revision_letter import (
    GroupMoved,
    Moved,
    MovedDay,
    RevisionLetter,
    together,
)

_SUM = 78.0  # width of a column of sums
_LINES = (8, 4, 2, 0)  # lines shown of a group, the tighter the fewer
_APART = ("firm", "provisional", "contingency")  # parts that one fixed price does not show
_STRONG = ("net", "covered")


@in_language_of_locale
def revision_letter_pdf(letter: RevisionLetter, locale: str = "en_GB", paper: str = "") -> bytes:
    """The letter as PDF, on one page where it can be: the same letter and locale give the same
    bytes. Raises ValueError for a locale whose formats are not known."""
    job = letter.head.job

    def named(words: Words) -> tuple[str, str]:
        reference = labels.REFERENCE.format(title=job.title, day=words.day(job.date))
        return reference, labels.TITLE.format(title=job.title)

    def values(_: Words) -> dict[str, str]:
        return {"title": job.title, "before": letter.before}

    story = partial(_story, letter)
    return side_pdf(letter.head, locale, named, story, tightest=len(_LINES) - 1, paper=paper,
                    values=values)  # fmt: skip


def _story(letter: RevisionLetter, paper: SidePaper) -> list[Any]:
    job, words = letter.head.job, paper.words
    against = labels.AGAINST.format(before=letter.before, day=words.day(letter.before_day))
    return [
        *paper.section(labels.TITLE.format(title=job.title), "revision", name="title"),
        paper.text(f"{against}. {paper.machine_line()}", "second", after=3),
        paper.facts(paper.parties(), 44),
        Rule(strong=True),
        *([paper.text(labels.NOTHING_MOVED, "strong")] if letter.nothing_moved else []),
        *_in_short(letter, paper),
        *_by_group(letter, paper),
        *_said(paper, labels.FINDINGS, "findings",
               [finding_said(one) for one in letter.findings]),
        *_said(paper, labels.TERMS, "terms", terms_said(letter, words)),
        paper.text(paper.clause("explains"), "second", before=8),
    ]  # fmt: skip


def _in_short(letter: RevisionLetter, paper: SidePaper) -> list[Any]:
    rows = [_head(paper, "")]
    for part in letter.parts:
        if not (letter.fixed and part.name in _APART):
            exact = part.name in ("tax", "gross")
            look = "cell strong" if part.name in _STRONG else "cell"
            rows.append(_row(paper, labels.PARTS[part.name], part, look, exact=exact))
    for day in letter.days:
        look = "cell strong" if day.name in _STRONG else "cell"
        rows.append(paper.cells((labels.PARTS[day.name], paper.words.day(day.before),
                                 paper.words.day(day.after), _later(day)), look))  # fmt: skip
    return [paper.part(labels.IN_SHORT, "in short", 4), _table(paper, rows, 1.4)]


def _head(paper: SidePaper, first: str) -> list[Any]:
    symbol = paper.words.symbol
    heads = (f"{one}, {symbol}" for one in (labels.BEFORE, labels.AFTER, labels.CHANGE))
    return paper.cells((first, *heads), "head")


def _table(paper: SidePaper, rows: list[list[Any]], pad: float, total: int = 0) -> Any:
    return paper.table(rows, [WIDTH - 3 * _SUM, _SUM, _SUM, _SUM], pad=pad, total=total)


def _row(
    paper: SidePaper, name: str, moved: Moved, look: str = "cell", *, exact: bool = False
) -> list[Any]:
    words = paper.words
    sums = (words.sum(moved.before, exact=exact), words.sum(moved.after, exact=exact),
            _signed(words, moved.change, exact))  # fmt: skip
    return paper.cells((name, *sums), look)


def _signed(words: Words, amount: Money, exact: bool = False) -> str:
    if not amount:
        return NOTHING
    sign = MINUS if amount.minor < 0 else "+"
    return f"{sign}{words.sum(amount if amount.minor > 0 else -amount, exact=exact)}"


def _later(day: MovedDay) -> str:
    if not day.change:
        return NOTHING
    label = labels.DAYS_LATER if day.change > 0 else labels.DAYS_EARLIER
    return str(label.format(count=abs(day.change)))


def _by_group(letter: RevisionLetter, paper: SidePaper) -> list[Any]:
    rows, lines = [_head(paper, labels.GROUP)], list[int]()
    for group in letter.groups:
        lines.append(len(rows))
        rows += _group(group, paper)
    if letter.same_count:
        lines.append(len(rows))
        name = labels.SAME.format(count=letter.same_count)
        rows.append(_row(paper, name, letter.same))
    for one in letter.rest:
        if one.before or one.after:
            lines.append(len(rows))
            name = labels.REST[one.name]
            if letter.fixed and one.name == "contingency":
                name = labels.AT_OUR_RISK
            rows.append(_row(paper, name, one))
    rows.append(_row(paper, labels.NET, letter.net, "cell total"))
    table = _table(paper, rows, 0.6 if paper.tight else 1, total=1)
    table.setStyle([("LINEBELOW", (0, 0), (-1, 0), 0.8, INK)])
    for at in range(1, len(rows) - 1):
        if at not in lines:
            table.setStyle([("LEFTPADDING", (0, at), (0, at), 10)])
    return [*paper.section(labels.BY_GROUP, "groups", name="part", before=8), table]


def _group(group: GroupMoved, paper: SidePaper) -> list[list[Any]]:
    """The group, its lines that changed, and why."""
    most = _LINES[paper.tight]
    rows = [_row(paper, group.total.name, group.total, "cell strong")]
    if not group.findings:
        rows[0][0] = paper.lead(shared.LEAD.format(title=group.total.name), why(group), "cell")
    shown, rest = group.lines[:most], group.lines[most:]
    if len(rest) == 1 and most:
        shown, rest = group.lines, ()
    rows += [_row(paper, one.name, one, "note") for one in shown]
    if rest and most:
        others = together("", rest, group.total.before.currency)
        rows.append(_row(paper, labels.MORE_LINES.format(count=len(rest)), others, "note"))
    if group.findings:
        said = labels.WHY.format(reasons=why(group))
        rows.append([paper.text(said, "note"), "", "", ""])
    return rows


def _said(paper: SidePaper, title: str, key: str, texts: list[str]) -> list[Any]:
    if not texts:
        return []
    return [paper.part(title, key), paper.text(f"{apart(texts)}.", "list")]
