"""A quote as one plain table (RFC 4180): the amounts of all its rows (line, discount, charge,
contingency, tax) add up to the price with tax. Numbers have a decimal point, days are ISO 8601.

Heads and codes are English whatever the language, since programs read them; names are not.
"""

from __future__ import annotations

import csv
from io import StringIO

from estimator.documents.files import file_labels as labels
from estimator.documents.files.file_text import cell_text, number_text
from estimator.documents.files.quote_rows import (
    HELD,
    NOTHING_APART,
    FileLine,
    FileQuote,
    beside,
    contingency_name,
    file_lines,
    tax_name,
)
from estimator.documents.grammar.spoken import speaking
from estimator.domain.milestones import milestones
from estimator.domain.money import Money
from estimator.domain.scope import FIRM

COLUMNS = (
    "quote", "revision", "row", "reference", "group", "group_name", "description", "kind",
    "certainty", "quantity", "quantity_low", "quantity_high", "unit", "amount", "amount_low",
    "amount_high", "currency", "day",
)  # fmt: skip
_BOM = "\N{ZERO WIDTH NO-BREAK SPACE}"


def quote_csv(source: FileQuote, *, bom: bool = False) -> bytes:
    """The table as UTF-8, with a byte order mark where some spreadsheets want one. The same quote
    gives the same bytes."""
    with speaking(source.quote.language):
        rows = _rows(source)
    text = StringIO(newline="")
    table = csv.DictWriter(text, COLUMNS, restval="", lineterminator="\r\n")
    table.writeheader()
    for row in rows:
        head = {"quote": source.job.number, "revision": source.job.revision}
        table.writerow({name: _cell(name, value) for name, value in (head | row).items()})
    return ((_BOM if bom else "") + text.getvalue()).encode("utf-8")


def _cell(name: str, value: str) -> str:
    """Numbers and days are made here and stay; all else may come from anywhere."""
    made = name.startswith(("amount", "quantity")) or name == "day"
    return value if made else cell_text(value)


def _rows(source: FileQuote) -> list[dict[str, str]]:
    apart = NOTHING_APART if source.fixed else FIRM
    rows = [_line(one) for one in file_lines(source)]
    for one in beside(source):
        kind = "discount" if one.amount.minor < 0 else "charge"
        rows.append(_sum(kind, one.name, one.amount) | {"certainty": apart})
    if source.price.contingency:
        certainty = NOTHING_APART if source.fixed else HELD
        held = _sum("contingency", contingency_name(source), source.price.contingency)
        rows.append(held | {"certainty": certainty})
    rows += [_sum("tax", tax_name(source, one), one.tax) for one in source.price.totals.taxes]
    rows += [
        {"row": "milestone", "reference": one.key, "description": labels.DATES[one.key],
         "day": one.day.isoformat()}
        for one in milestones(source.quote)
    ]  # fmt: skip
    return rows


def _sum(kind: str, name: str, amount: Money) -> dict[str, str]:
    return {"row": kind, "description": name, **_money("amount", amount)}


def _line(one: FileLine) -> dict[str, str]:
    row = _sum("line", one.name, one.amount) | {
        "reference": one.reference, "group": one.group, "group_name": one.group_name,
        "kind": one.kind, "certainty": one.certainty,
    }  # fmt: skip
    if one.unit:
        row |= {"quantity": number_text(one.quantity), "unit": one.unit}
    if one.amount_low is not None and one.amount_high is not None:
        row |= {"quantity_low": number_text(one.low), "quantity_high": number_text(one.high),
                **_money("amount_low", one.amount_low),
                **_money("amount_high", one.amount_high)}  # fmt: skip
    return row


def _money(name: str, amount: Money) -> dict[str, str]:
    return {name: f"{amount.amount:f}", "currency": amount.currency}
