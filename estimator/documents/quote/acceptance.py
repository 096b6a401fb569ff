"""The page to sign: what is ordered, what may go ahead unasked, who may approve, signatures."""

from __future__ import annotations

from typing import Any

from reportlab.platypus import Table, TableStyle

from estimator.documents.grammar import labels
from estimator.documents.grammar.certainty_bar import TickBox
from estimator.documents.grammar.closing import signature_over, signed_as
from estimator.documents.grammar.columns import Beside, Columns
from estimator.documents.grammar.fonts import REGULAR, width
from estimator.documents.grammar.look import INK, INK3, WIDTH
from estimator.documents.grammar.text import Grid
from estimator.documents.grammar.wording import apart
from estimator.documents.quote.sheet import Sheet
from estimator.domain.options import LevelOption
from estimator.domain.quote_length import SHORT
from estimator.domain.teardown import with_tax

_PAD = 10.0
_INNER = WIDTH - 2 * _PAD
_APPROVER_LINES = 2
_SIGN_AT = 194.0  # left of the line for the signature
_SHORTEST = 40.0  # a line that a sum can be written on


def acceptance(sheet: Sheet, chain_head: str = "") -> list[Any]:
    """The acceptance box, and the record it stands on: `chain_head` of the log where there is."""
    title = labels.ACCEPTANCE.format(title=sheet.priced.job.title)
    inside = [
        sheet.heading(title, "acceptance"),
        *_choices(sheet),
        *_exchange_charges(sheet),
        *([] if sheet.fixed else [_ahead(sheet)]),
        _approvers(sheet),
        _order(sheet),
        *_signatures(sheet, issued=bool(chain_head)),
    ]
    box = Columns([inside], border=INK, pad=_PAD, before=9)
    return [box, sheet.text(record_said(sheet, chain_head), "note", before=3)]


def record_said(sheet: Sheet, chain_head: str) -> str:
    """The record that the paper stands on, and where it is to be sent back to."""
    closing = [labels.RECORD.format(record=_in_fours(sheet.quote.record[:12]))]
    if chain_head:
        closing.append(labels.RECORD_CHAIN.format(head=_in_fours(chain_head[:24])))
    closing.append(sheet.clause("acceptance: return"))
    if contact := sheet.priced.job.workshop.contact:
        closing.append(labels.RETURN_TO.format(contact=contact))
    return " ".join(closing)


def _in_fours(text: str) -> str:
    return " ".join(text[start : start + 4] for start in range(0, len(text), 4))


def _exchange_charges(sheet: Sheet) -> list[Any]:
    text = sheet.clause("acceptance: exchange units")
    return [sheet.text(text, "second", before=4)] if text else []


def _choice(strong: Any, *others: Any) -> Beside:
    found = Beside(TickBox(), [strong, *others], 15)
    found.spaceBefore = 3
    return found


def _choices(sheet: Sheet) -> list[Any]:
    """The whole rebuild, another level where one is offered, and the teardown alone; in the short
    form the first alone."""
    job = sheet.priced.job
    level = labels.LEVELS.get(job.level, job.level)
    whole = labels.ACCEPT_LEVEL.format(level=level, sums=sheet.sum_line(sheet.price.totals))
    text = f"{sheet.clause(f'{sheet.form}: accepted')} {sheet.clause('acceptance: scope')}"
    found = [_choice(sheet.text(whole, "strong"), sheet.text(text, "second"))]
    if sheet.quote.length == SHORT:  # other choices stand in the standard form
        return found
    for option in sheet.quote.options:
        if option.level != job.level:
            said = what_it_means(sheet, option)
            found.append(_choice(sheet.text(other_level(sheet, option), "strong"),
                                 *([sheet.text(said, "second")] if said else [])))  # fmt: skip
    offer = sheet.quote.teardown
    if offer.net:
        line = labels.ACCEPT_TEARDOWN.format(sums=sheet.sum_line(offer.totals))
        found.append(_choice(
            sheet.text(line, "strong"),
            sheet.text(f"{sheet.clause('acceptance: teardown')} {sheet.clause('acceptance: stop')}",
                       "second"),
        ))  # fmt: skip
    return found


def other_level(sheet: Sheet, option: LevelOption) -> str:
    """Another level with its sums and its day."""
    totals = with_tax(option.net, sheet.priced.job, sheet.priced.cat)
    return labels.ACCEPT_OTHER.format(
        level=labels.LEVELS.get(option.level, option.level),
        sums=sheet.sum_line(totals), day=sheet.words.day(option.ready_covered),
    )  # fmt: skip


def what_it_means(sheet: Sheet, option: LevelOption) -> str:
    """What another level leaves out, and the contingency inside its price; "" for neither."""
    said = []
    if option.leaves_out:
        said.append(labels.ACCEPT_LEAVES_OUT.format(names=apart(option.leaves_out)))
    if option.contingency and not sheet.fixed:
        held = sheet.words.money(option.contingency)
        said.append(labels.ACCEPT_CONTINGENCY.format(amount=held))
    return " ".join(said)


def _blank_row(cells: list[Any], widths: list[float], blanks: list[int], before: float) -> Grid:
    """A row of words and lines to write on."""
    look = [
        ("FONTNAME", (0, 0), (-1, -1), REGULAR),
        ("LEFTPADDING", (0, 0), (-1, -1), 0), ("RIGHTPADDING", (0, 0), (-1, -1), 3),
        ("TOPPADDING", (0, 0), (-1, -1), 0), ("BOTTOMPADDING", (0, 0), (-1, -1), 1),
        ("VALIGN", (0, 0), (-1, -1), "BOTTOM"),
        *(("LINEBELOW", (at, 0), (at, 0), 0.5, INK3) for at in blanks),
    ]  # fmt: skip
    table = Grid([cells], widths, style=TableStyle(look))
    table.hAlign = "LEFT"
    table.spaceBefore = before
    return table


def _ahead(sheet: Sheet) -> Grid:
    symbol = sheet.words.symbol
    ahead = labels.LEAD.format(title=sheet.clause("acceptance: ahead"))
    up_to = f"{ahead} {labels.UP_TO.format(currency=symbol)}"
    for_one = labels.FOR_ONE.format(currency=symbol)
    words = [sheet.text(up_to), sheet.text(for_one, indent=5),
             sheet.text(labels.IN_TOTAL, indent=5)]  # fmt: skip
    first, second = (width(text, REGULAR, words[0].style.fontSize) + 4 for text in (up_to, for_one))
    second += 5
    blank = min((_INNER - 15 - first - second - 45) / 2, 62)
    if blank < _SHORTEST:
        widths = [15, _INNER * 0.5, _INNER * 0.3, _INNER * 0.2 - 15]
        return _blank_row([TickBox(), *words], widths, [1, 2], 9)
    cells = [TickBox(), words[0], "", words[1], "", words[2]]
    rest = _INNER - 15 - first - second - 2 * blank
    return _blank_row(cells, [15, first, blank, second, blank, rest], [2, 4], 7)


def _approvers(sheet: Sheet) -> Table:
    symbol = sheet.words.symbol
    who, one = ((labels.ORDERER, labels.ONE_REQUEST) if sheet.fixed
                else (labels.APPROVER, labels.ONE_FINDING))  # fmt: skip
    head = (who, labels.POSITION, one.format(currency=symbol),
            labels.ALL_FINDINGS.format(currency=symbol))  # fmt: skip
    rows: list[list[Any]] = [[sheet.text(text, "head") for text in head]]
    rows += [["", "", "", ""] for _ in range(_APPROVER_LINES)]
    look = [
        ("FONTNAME", (0, 0), (-1, -1), REGULAR),
        ("LEFTPADDING", (0, 0), (-1, -1), 0), ("RIGHTPADDING", (0, 0), (-1, -1), 4),
        ("TOPPADDING", (0, 0), (-1, 0), 0), ("BOTTOMPADDING", (0, 0), (-1, 0), 2),
        ("LINEBELOW", (0, 0), (-1, 0), 0.8, INK),
        ("LINEBELOW", (0, 1), (-1, -1), 0.5, INK3),
        ("INNERGRID", (0, 1), (-1, -1), 0.5, INK3),
    ]  # fmt: skip
    table = Table(rows, [158, 112, 98, _INNER - 368], [None] + [17] * _APPROVER_LINES,
                  style=TableStyle(look))  # fmt: skip
    table.hAlign = "LEFT"
    table.spaceBefore = 8
    return table


def _order(sheet: Sheet) -> Grid:
    limit = labels.ORDER_LIMIT.format(currency=sheet.words.symbol)
    cells = [sheet.text(labels.ORDER_NUMBER, "strong"), "", "", sheet.text(limit, "strong"), ""]
    return _blank_row(cells, [68, 110, 14, 150, _INNER - 342], [1, 4], 11)


def _signatures(sheet: Sheet, *, issued: bool) -> list[Any]:
    """A line to sign for each side, with what belongs on it below; what is issued bears the
    releaser's signature where the house style has it."""
    job = sheet.priced.job
    drawn = signature_over(job.releaser) if issued else None
    releaser = job.releaser if drawn is None else signed_as(job.releaser)
    names = (labels.SIGN_CUSTOMER.format(name=job.customer.name),
             labels.SIGN_RELEASED.format(name=releaser))  # fmt: skip
    found: list[Any] = []
    for name in names:
        cells = [sheet.text(name, "note"), "", sheet.text(labels.SIGNATURE, "note"), "",
                 sheet.text(labels.DATE, "note")]  # fmt: skip
        table = Grid([cells], [180, 14, 150, 14, _INNER - 358], style=TableStyle([
            ("FONTNAME", (0, 0), (-1, -1), REGULAR),
        ("LEFTPADDING", (0, 0), (-1, -1), 0), ("RIGHTPADDING", (0, 0), (-1, -1), 0),
            ("TOPPADDING", (0, 0), (-1, -1), 1.5), ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            *(("LINEABOVE", (at, 0), (at, 0), 0.6, INK3) for at in (0, 2, 4)),
        ]))  # fmt: skip
        table.hAlign = "LEFT"
        table.spaceBefore = 18
        found.append(table)
    if drawn is not None:
        drawn.indent, drawn.spaceBefore = _SIGN_AT, 4
        found[-1].spaceBefore = 1
        found.insert(-1, drawn)
    return found
