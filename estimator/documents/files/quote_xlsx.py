"""A quote as a workbook whose sums are live: change nothing and every total is the one quoted."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from estimator.documents.files import file_labels as labels
from estimator.documents.files.line_sheets import GroupSheet, write_groups, write_lines
from estimator.documents.files.quote_rows import (
    SHORT,
    FileQuote,
    beside,
    contingency_name,
    kind_name,
    provisional_lines,
    tax_name,
)
from estimator.documents.files.terms_sheets import write_dates, write_provisional, write_stages
from estimator.documents.files.workbook import (
    A4,
    FIRST_ROW,
    MONEY,
    TEXT,
    Book,
    Cell,
    Column,
    Live,
    Sheet,
    at,
)
from estimator.documents.grammar.spoken import speaking
from estimator.domain.money import Money, minor_digits


def quote_xlsx(source: FileQuote, *, paper: str = A4) -> bytes:
    """The workbook as a file: summary, component groups, lines (full alone), provisional lines,
    stage payments and dates. `paper` is one of `workbook.PAPERS`. The same quote gives the same
    bytes."""
    with speaking(source.quote.language):
        title = labels.TITLE.format(title=source.job.title)
        book = Book(title, source.job.workshop.name, source.currency, source.at, paper)
        summary = book.sheet(labels.SUMMARY)
        made = None
        if source.detail != SHORT:
            made = write_groups(book.sheet(labels.GROUPS), source, _reference(source))
            if made.lines_name:
                write_lines(book.sheet(labels.LINES), source, _reference(source))
        _write_summary(summary, source, made)
        if provisional_lines(source):
            write_provisional(book.sheet(labels.PROVISIONAL_SHEET), source, _reference(source))
        write_stages(book.sheet(labels.STAGES), source, _reference(source))
        write_dates(book.sheet(labels.MILESTONES), source, _reference(source))
        return book.data()


def _reference(source: FileQuote) -> str:
    state = labels.ISSUED if source.issued else labels.DRAFT
    parts = (labels.TITLE.format(title=source.job.title), source.job.date.isoformat(),
             source.job.customer.name, state)  # fmt: skip
    return " \u00b7 ".join(parts)


@dataclass
class _Writer:
    """The summary as it is filled, row by row."""

    sheet: Sheet
    columns: list[Column]
    next: int = FIRST_ROW

    def put(self, name: str, value: Cell, note: str = "", *, strong: bool = False) -> int:
        """One row; gives the row it stands in."""
        self.sheet.row(self.next, (name, value, note or None), self.columns, strong=strong)
        self.next += 1
        return self.next - 1

    def sum_of(self, first: int, last: int) -> str:
        """The formula that adds up rows of the amounts."""
        return f"SUM({at(1, first)}:{at(1, last)})"


def _write_summary(sheet: Sheet, source: FileQuote, made: GroupSheet | None) -> None:
    amount = labels.AMOUNT.format(currency=source.currency)
    columns = [Column(labels.ITEM, TEXT, 52), Column(amount, MONEY, 20),
               Column(labels.HOW_SURE if not source.fixed else "", TEXT, 16)]  # fmt: skip
    sheet.begin(labels.SHEET_HEADINGS["summary"], _reference(source), columns, labels.PAGE)
    writer = _Writer(sheet, columns)
    price, digits = source.price, minor_digits(source.currency)
    firm = "" if source.fixed else labels.FIRM
    first = writer.next
    provisional = _work(writer, source, made)
    for one in beside(source):
        writer.put(one.name, one.amount, firm)
    name = labels.BASE_FIXED if source.fixed else labels.BASE
    base = writer.put(name, Live(writer.sum_of(first, writer.next - 1), price.base), strong=True)
    held = writer.put(contingency_name(source), _held(source, made),
                      "" if source.fixed else labels.CONTINGENCY)  # fmt: skip
    net = writer.put(labels.NET_PRICE, Live(f"{at(1, base)}+{at(1, held)}", price.net),
                     strong=True)  # fmt: skip
    for tax in price.totals.taxes:
        taxed = at(1, net) if len(price.totals.taxes) == 1 else f"{tax.base.amount:f}"
        formula = f"ROUND({taxed}*{tax.rate:f}/100,{digits})"
        writer.put(tax_name(source, tax), Live(formula, tax.tax))
    writer.put(labels.GROSS_PRICE, Live(writer.sum_of(net, writer.next - 1), price.totals.gross),
               strong=True)  # fmt: skip
    if not source.fixed:
        _write_how_sure(writer, source, base, provisional, held)
    _write_about(writer, source)


def _work(writer: _Writer, source: FileQuote, made: GroupSheet | None) -> int:
    """The priced work, live from the sheet of groups where there is one. Gives the row of what is
    provisional (of the last row where nothing is told apart)."""
    price = source.price
    sums: list[tuple[str, str, Money, str]]
    if source.fixed:
        sums = [(kind, kind_name(kind), amount, "") for kind, amount in price.by_kind.items()]
    else:
        sums = [("firm", labels.FIRM_LINES, price.firm_lines, labels.FIRM),
                ("provisional", labels.PROVISIONAL_LINES, price.provisional_lines,
                 labels.PROVISIONAL)]  # fmt: skip
    row = writer.next
    for key, name, amount, sure in sums:
        value: Cell = amount if made is None else Live(made.total(key), amount)
        row = writer.put(name, value, sure)
    return row


def _held(source: FileQuote, made: GroupSheet | None) -> Cell:
    held = source.price.contingency
    return held if made is None or source.fixed else Live(made.total("contingency"), held)


def _write_how_sure(
    writer: _Writer, source: FileQuote, base: int, provisional: int, held: int
) -> None:
    """The price once more, by how sure it is."""
    price = source.price
    writer.next += 1
    writer.put(labels.HOW_SURE, None, strong=True)
    first = writer.put(labels.FIRM, Live(f"{at(1, base)}-{at(1, provisional)}", price.firm))
    writer.put(labels.PROVISIONAL, Live(at(1, provisional), price.provisional))
    last = writer.put(labels.CONTINGENCY, Live(at(1, held), price.contingency))
    writer.put(labels.NET_PRICE, Live(writer.sum_of(first, last), price.net), strong=True)


def _write_about(writer: _Writer, source: FileQuote) -> None:
    """Whose machine, who stands for it, and how to find it in the record."""
    job, quote = source.job, source.quote
    writer.next += 1
    told: list[tuple[str, str | Decimal]] = [
        (labels.TO, ", ".join((job.customer.name, *job.customer.address))),
        (labels.FROM, ", ".join((job.workshop.name, *job.workshop.address))),
        (labels.MACHINE, quote.priced.cat.machine_class.type),
        (labels.SERIAL, job.machine.serial),
        (labels.METER, job.machine.hours),
        (labels.WRITTEN, job.estimator),
        (labels.RELEASED, job.releaser),
        (labels.STANDS_UNTIL, quote.valid_until.isoformat()),
        (labels.RECORD, quote.record if source.issued else ""),
        (labels.RECORD_CHAIN, source.chain_head),
    ]
    for name, value in told:
        if value:
            writer.sheet.put(writer.next, 0, name, TEXT)
            writer.sheet.put(writer.next, 1, value if isinstance(value, str) else f"{value:f}",
                             TEXT)  # fmt: skip
            writer.next += 1
