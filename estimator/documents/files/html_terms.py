"""Terms, warranty, safety, and the acceptance to sign."""

from __future__ import annotations

from decimal import Decimal

from estimator.documents.files import html_labels as own
from estimator.documents.files.html_parts import Row, paragraph, points, table, tag
from estimator.documents.files.html_sheet import PageSheet
from estimator.documents.grammar import house_labels, labels
from estimator.documents.grammar.closing import own_paragraphs, signed_as
from estimator.documents.grammar.wording import NOTHING, apart
from estimator.documents.quote.acceptance import other_level, record_said, what_it_means
from estimator.documents.quote.terms import family_said, same_warranty
from estimator.domain.catalogue.rows import Caution
from estimator.domain.quote_length import SHORT

_APPROVER_LINES = 2
_LINE = '<span class="line"></span>'


def terms(sheet: PageSheet) -> list[str]:
    """Terms, each part under its heading, then the warranty, then the workshop's own."""
    found = [sheet.head(labels.TERMS, "terms")]
    for section, title in labels.TERM_PARTS.items():
        if texts := sheet.formed(section):
            found += [sheet.head(title, "", 3), points(sheet.all(texts))]
    found += _warranty(sheet)
    if paragraphs := own_paragraphs():
        found.append(sheet.head(house_labels.OWN_TERMS, "own-terms"))
        found += [sheet.said(one) for one in paragraphs]
    return found


def _warranty(sheet: PageSheet) -> list[str]:
    rows = []
    for (months, hours), names in same_warranty(sheet.quote.warranty):
        shown = NOTHING if hours is None else sheet.words.quantity(Decimal(hours))
        rows.append(Row(sheet.html(apart(names)), [str(months), shown]))
    caption = sheet.head(labels.WARRANTY, "", 3)
    head = sheet.all((labels.WARRANTY_GROUPS, labels.MONTHS, labels.WARRANTY_HOURS))
    shown_table = table("warranty", caption, head, rows) if rows else caption
    return [shown_table, points(sheet.all(sheet.clauses("warranty")))]


def safety(sheet: PageSheet) -> list[str]:
    """What comes first, what the customer must do, a caution for each hazard of this work."""
    found = [
        sheet.head(labels.SAFETY, "safety"),
        sheet.said(sheet.clause("safety: first"), "strong"),
        points(sheet.all(sheet.clauses("safety: points"))),
    ]
    if sheet.quote.cautions:
        found.append(sheet.said(sheet.clause("safety: scope"), "second"))
        found.append(points(_caution(sheet, one) for one in sheet.quote.cautions))
    return found


def _caution(sheet: PageSheet, row: Caution) -> str:
    text = f"<strong>{sheet.html(f'{row.hazard}.')}</strong> {sheet.html(row.caution)}."
    family = family_said(row)
    return f"{text} <em>{sheet.html(f'{family}.')}</em>" if family else text


def acceptance(sheet: PageSheet, chain_head: str) -> list[str]:
    """What is ordered, who may approve, lines to sign; and the record it stands on."""
    title = labels.ACCEPTANCE.format(title=sheet.priced.job.title)
    inside = [
        sheet.head(title, "acceptance"),
        points([*_choices(sheet), *([] if sheet.fixed else [_ahead(sheet)])], "ticks"),
        sheet.said(sheet.clause("acceptance: exchange units"), "second"),
        _approvers(sheet),
        _to_fill(sheet, (labels.ORDER_NUMBER,
                         labels.ORDER_LIMIT.format(currency=sheet.words.symbol))),
        *_signatures(sheet, issued=bool(chain_head)),
    ]  # fmt: skip
    return [
        tag("div", "".join(inside), class_="sign"),
        sheet.said(record_said(sheet, chain_head), "note"),
    ]


def _choices(sheet: PageSheet) -> list[str]:
    job = sheet.priced.job
    level = labels.LEVELS.get(job.level, job.level)
    whole = labels.ACCEPT_LEVEL.format(level=level, sums=sheet.sum_line(sheet.price.totals))
    text = f"{sheet.clause(f'{sheet.form}: accepted')} {sheet.clause('acceptance: scope')}"
    found = [_choice(sheet, whole, text)]
    if sheet.quote.length == SHORT:  # other choices stand in the standard form
        return found
    found += [
        _choice(sheet, other_level(sheet, option), what_it_means(sheet, option))
        for option in sheet.quote.options if option.level != job.level
    ]  # fmt: skip
    if sheet.quote.teardown.net:
        line = labels.ACCEPT_TEARDOWN.format(sums=sheet.sum_line(sheet.quote.teardown.totals))
        text = f"{sheet.clause('acceptance: teardown')} {sheet.clause('acceptance: stop')}"
        found.append(_choice(sheet, line, text))
    return found


def _choice(sheet: PageSheet, strong: str, text: str) -> str:
    return sheet.said(strong, "strong") + sheet.said(text, "second")


def _ahead(sheet: PageSheet) -> str:
    """Up to which sums work may go ahead unasked."""
    symbol = sheet.words.symbol
    ahead = labels.LEAD.format(title=sheet.clause("acceptance: ahead"))
    first = sheet.html(f"{ahead} {labels.UP_TO.format(currency=symbol)}")
    second = sheet.html(labels.FOR_ONE.format(currency=symbol))
    both = " ".join(tag("span", f"{one} {_LINE}", class_="fill") for one in (first, second))
    return paragraph(f"{both} {sheet.html(labels.IN_TOTAL)}")


def _approvers(sheet: PageSheet) -> str:
    symbol = sheet.words.symbol
    who, one = ((labels.ORDERER, labels.ONE_REQUEST) if sheet.fixed
                else (labels.APPROVER, labels.ONE_FINDING))  # fmt: skip
    head = (labels.POSITION, one.format(currency=symbol),
            labels.ALL_FINDINGS.format(currency=symbol))  # fmt: skip
    blank = f'<span class="aloud">{sheet.html(own.EMPTY_LINE)}</span>'
    rows = [Row(blank, [blank] * len(head), look="blank") for _ in range(_APPROVER_LINES)]
    return table("approvers", sheet.html(who), ["", *sheet.all(head)], rows, look="words")


def _to_fill(sheet: PageSheet, texts: tuple[str, ...]) -> str:
    return paragraph(
        " ".join(tag("span", f"{sheet.html(one)} {_LINE}", class_="fill") for one in texts),
        "strong",
    )


def _signatures(sheet: PageSheet, *, issued: bool) -> list[str]:
    job = sheet.priced.job
    releaser = signed_as(job.releaser) if issued else job.releaser
    names = (labels.SIGN_CUSTOMER.format(name=job.customer.name),
             labels.SIGN_RELEASED.format(name=releaser))  # fmt: skip
    return [_to_fill(sheet, (name, labels.SIGNATURE, labels.DATE)) for name in names]
