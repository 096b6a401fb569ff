"""Tables of the internal sheet: what is not seen, what to open first, the commercial forms."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from estimator.documents.grammar import labels
from estimator.documents.grammar.columns import together
from estimator.documents.grammar.look import WIDTH
from estimator.documents.grammar.paper import InternalPaper
from estimator.documents.grammar.wording import NOTHING
from estimator.domain.commercial_forms import FormRow
from estimator.domain.exposure.exposed_parts import INTERVAL
from estimator.domain.exposure.looks import OPEN
from estimator.domain.exposure_sheet import FOUND, LINE, SheetGroup, SheetLook, SheetRow
from estimator.domain.money import Money, money_half_up, money_sum, round_half_up

_PART_WIDTHS = [0.0, 51.0, 23.0, 36.0, 49.0, 54.0, 29.0, 29.0, 30.0, 30.0, 20.0, 31.0]
_LOOK_WIDTHS = [0.0, 64.0, 32.0, 26.0, 22.0, 30.0, 34.0, 34.0, 36.0, 88.0]
_PART_WIDTHS[0], _LOOK_WIDTHS[0] = WIDTH - sum(_PART_WIDTHS), WIDTH - sum(_LOOK_WIDTHS)
_TEXT_COLUMNS = (1, 4, 5)  # of the parts' table: set to the left
_LOOK_TEXTS = (1, 9)
_LOOKS, _FEW = 15, 2  # looks shown; parts or cautions of one that are named
_FORM_WIDTHS = [0.0, 42.0, 42.0, 54.0, 62.0, 46.0, 44.0, 42.0, 36.0]
_FORM_WIDTHS[0] = WIDTH - sum(_FORM_WIDTHS)
_FORM_TEXTS = (4, 5)


def not_seen(paper: InternalPaper) -> list[Any]:
    """Every open part, provisional line and kind of found work under its group; the last column
    adds up to the contingency."""
    words, sheet = paper.words, paper.sheet
    if not sheet.groups:
        return []
    head = (labels.PART_OR_LINE, labels.WAY, labels.WORN, labels.INTERVAL, labels.RESTS_ON,
            labels.CIRCUIT, labels.LOW, labels.LIKELY, labels.HIGH, labels.OWN_COST, labels.DAYS,
            labels.SHARE_SUM.format(currency=words.symbol))  # fmt: skip
    rows, look = [paper.mixed(head, _TEXT_COLUMNS, "fine head")], []
    for group in sheet.groups:
        at = len(rows)
        # Not from the first column on: of ranges that overlap there the engine keeps the last only,
        # and the table's own holds its total to the row above.
        look += [("SPAN", (0, at), (-2, at)), ("NOSPLIT", (1, at), (-1, at + 1))]
        rows.append(_group_row(paper, group))
        rows += [_part_row(paper, row) for row in group.rows]
    total = money_sum((group.amount for group in sheet.groups), sheet.mean_total.currency)
    last = [labels.CONTINGENCY, *[""] * (len(head) - 2), words.sum(total)]
    rows.append(paper.cells(last, "fine strong"))
    table = paper.table(rows, _PART_WIDTHS, total=1, pad=0.8)
    table.setStyle([("LEFTPADDING", (1, 0), (-1, -1), 4), *look])
    return [
        *paper.section(labels.NOT_SEEN, "not seen", before=12, need=120),
        paper.text(labels.NOT_SEEN_WORDS.format(interval=_share(paper, INTERVAL)), "note", after=2),
        table,
    ]


def _group_row(paper: InternalPaper, group: SheetGroup) -> list[Any]:
    name, amount = paper.cells((group.name, paper.words.sum(group.amount)), "fine strong")
    return [name, *[""] * (len(_PART_WIDTHS) - 2), amount]


def _part_row(paper: InternalPaper, row: SheetRow) -> list[Any]:
    words = paper.words
    name, rests = row.name, row.rests_on
    if row.kind == LINE:
        rests = labels.TO_BE_MEASURED
    if row.kind == FOUND and row.expected_count is not None:
        count = words.quantity(round_half_up(Decimal(repr(row.expected_count)), Decimal("0.1")))
        name = labels.EXPECTED_EACH.format(name=name, count=count)
    interval = ""
    if row.chance_low is not None and row.chance_high is not None:
        interval = f"{_plain(paper, row.chance_low)}\u2013{_share(paper, row.chance_high)}"
    texts = (
        name, _ways(paper, row), "" if row.chance is None else _share(paper, row.chance), interval,
        rests, row.circuit, words.sum(row.low), words.sum(row.likely), words.sum(row.high),
        _sum(paper, row.workshop_cost), words.quantity(row.days) if row.days else "",
        words.sum(row.amount),
    )  # fmt: skip
    return paper.mixed(texts, _TEXT_COLUMNS, "fine")


def _ways(paper: InternalPaper, row: SheetRow) -> str:
    """The usual way, then the others with their chances."""
    usual = [way for way, _ in row.ways[:1]]
    others = [f"{way} {_share(paper, share)}" for way, share in row.ways[1:]]
    return ", ".join([*usual, *others])


def _sum(paper: InternalPaper, amount: Money | None) -> str:
    return "" if amount is None else paper.words.sum(amount)


def _share(paper: InternalPaper, chance: float) -> str:
    return paper.words.share(Decimal(repr(chance)))


def _plain(paper: InternalPaper, chance: float) -> str:
    return paper.words.number(Decimal(repr(chance)) * 100, 0)


def open_first(paper: InternalPaper) -> list[Any]:
    """Looks and tests still possible, the first of them as they come: the largest fall first."""
    currency, looks = paper.words.symbol, paper.sheet.looks
    if not looks:
        return []
    heads = (labels.LOOK, labels.LOOK_ON, labels.COST, labels.HOURS, labels.DAYS, labels.DETECTS,
             labels.FALL, labels.CHANGES_PART, labels.CHANGES_DECISION,
             labels.TAKE_CARE)  # fmt: skip
    rows = [paper.mixed([one.format(currency=currency) for one in heads], _LOOK_TEXTS, "fine head")]
    rows += [_look_row(paper, one) for one in looks[:_LOOKS]]
    table = paper.table(rows, _LOOK_WIDTHS, pad=0.8)
    table.setStyle([("LEFTPADDING", (1, 0), (-1, -1), 4)])
    rest = len(looks) - _LOOKS
    after = [paper.text(labels.LOOKS_LEFT.format(count=rest), "note", before=2)] if rest > 0 else []
    return [
        *paper.section(labels.OPEN_FIRST, "open first", before=12, need=120),
        paper.text(labels.OPEN_FIRST_WORDS, "note", after=2),
        table,
        *after,
    ]


def _look_row(paper: InternalPaper, one: SheetLook) -> list[Any]:
    words = paper.words
    name = labels.OPEN_PART.format(name=one.name) if one.kind == OPEN else one.name
    texts = (
        labels.ADDED_LOOK.format(name=name) if one.added else name,
        "" if one.kind == OPEN else _few(one.on), _sum(paper, one.cost),
        *("" if number is None else words.quantity(number) for number in (one.hours, one.days)),
        NOTHING if one.detects is None else words.share(one.detects),
        words.sum(_whole(paper, one.fall)), _share(paper, one.changes_disposition),
        _share(paper, one.changes_decision), _few(one.cautions),
    )  # fmt: skip
    return paper.mixed(texts, _LOOK_TEXTS, "fine")


def _few(names: tuple[str, ...]) -> str:
    shown = ", ".join(names[:_FEW])
    rest = len(names) - _FEW
    return labels.AND_MORE.format(names=shown, count=rest) if rest > 0 else shown


def forms(paper: InternalPaper) -> list[Any]:
    """The commercial forms beside each other, in the order they come."""
    words, rows = paper.words, paper.sheet.forms
    if not rows:
        return []
    symbol = words.symbol
    heads = (labels.FORM, labels.FORM_QUOTED, labels.FORM_PAYS, labels.FORM_WORST,
             labels.FORM_BEARS, labels.FORM_KEEPS, labels.FORM_WORKSHOP, labels.FORM_MARGIN,
             labels.FORM_PASSED)  # fmt: skip
    head = [one.format(currency=symbol) for one in heads]
    cells = [paper.mixed(head, _FORM_TEXTS, "fine head")]
    cells += [_form_row(paper, one) for one in rows]
    table = paper.table(cells, _FORM_WIDTHS, pad=0.8)
    table.setStyle([("LEFTPADDING", (1, 0), (-1, -1), 4)])
    return together([
        *paper.section(labels.FORMS, "forms", before=12, need=120),
        paper.text(labels.FORMS_WORDS, "note", after=2),
        table,
    ])  # fmt: skip


def _form_row(paper: InternalPaper, one: FormRow) -> list[Any]:
    words = paper.words
    name = _capital(one.form)
    texts = (
        labels.THIS_FORM.format(name=name) if one.chosen else name, words.sum(one.quoted),
        words.sum(_whole(paper, one.pays)),
        (labels.CAPPED if one.capped else labels.NOT_CAPPED).format(
            sum=words.sum(_whole(paper, one.worst))),
        _capital(one.bears), _capital(one.keeps), words.sum(_whole(paper, one.workshop)),
        words.sum(_whole(paper, one.margin)), _share(paper, one.passed),
    )  # fmt: skip
    return paper.mixed(texts, _FORM_TEXTS, "fine strong" if one.chosen else "fine")


def _whole(paper: InternalPaper, amount: Money) -> Money:
    """An expected sum in the quoting unit: nobody reads pennies into an expectation."""
    return money_half_up(amount.amount, amount.currency, paper.job.terms.quoting_unit)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
