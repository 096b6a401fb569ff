"""The parts list: for the store with what parts cost, for the customer without."""

from __future__ import annotations

from typing import Any

from estimator.documents.grammar.columns import Rule
from estimator.documents.grammar.look import WIDTH
from estimator.documents.grammar.spoken import in_language_of_locale
from estimator.documents.grammar.wording import Words, unit_of
from estimator.documents.workshop import workshop_labels as labels
from estimator.documents.workshop.workshop_paper import WorkshopPaper, workshop_pdf
from estimator.domain.workshop_papers.parts_list import PartRow, PartsList, PartsSection

_CERTAIN, _QUANTITY, _LEAD, _DAY, _SUM = 58.0, 58.0, 38.0, 52.0, 56.0
_STORE = [_QUANTITY, _LEAD, _DAY, _DAY, _SUM, _SUM]
_CUSTOMER = [_CERTAIN, 74.0, _LEAD, 64.0, 64.0]


@in_language_of_locale
def parts_list_pdf(parts: PartsList, locale: str = "en_GB") -> bytes:
    """The list as PDF: the same list and locale give the same bytes. Raises ValueError for a locale
    whose formats are not known."""
    head = parts.head
    words = Words.of(locale, head.currency, head.quoting_unit)
    reference = labels.PARTS_REFERENCE.format(job=head.title, day=words.day(head.day))
    band = "" if parts.for_customer else labels.NOT_FOR_CUSTOMER

    def story(paper: WorkshopPaper) -> list[Any]:
        form = labels.PARTS_CUSTOMER if parts.for_customer else labels.PARTS_STORE
        return [
            *paper.opening(labels.PARTS_LIST, "parts", form),
            _facts(paper, parts),
            Rule(strong=True, before=3, after=2),
            *_sections(paper, parts),
            *_exchange(paper, parts),
        ]

    return workshop_pdf(head, locale, labels.PARTS_LIST, reference, story, band=band)


def _facts(paper: WorkshopPaper, parts: PartsList) -> Any:
    count = labels.PARTS_COUNT.format(count=parts.rows, provisional=parts.provisional)
    left = [(labels.JOB, parts.head.title), (labels.PARTS_LIST, count)]
    if parts.head.customer is not None:
        customer = parts.head.customer
        left.insert(0, (labels.CUSTOMER, ", ".join((customer.name, *customer.address))))
    right = [
        (labels.DATED, paper.words.day(parts.head.day)),
        (labels.ORDERED_ON, paper.words.day(parts.ordered)),
    ]
    return paper.facts(left, right)


def _sections(paper: WorkshopPaper, parts: PartsList) -> list[Any]:
    if not parts.sections:
        return [paper.text(labels.NO_PARTS, "strong", before=6)]
    found: list[Any] = []
    for number, one in enumerate(parts.sections):
        found += _section(paper, one, parts, number)
    if parts.cost is not None:
        cost = paper.exact(parts.cost)
        rows = [
            [paper.text(labels.ALL_COST, "cell total"), paper.figure(cost, "cell total", "right")]
        ]
        found.append(paper.table(rows, [WIDTH - 110, 110], head=0, total=1, before=8))
    keys = [labels.DATES_KEY, labels.NO_COST_KEY if parts.for_customer else ""]
    if any(row.late for one in parts.sections for row in one.rows):
        keys.append(labels.LATE_KEY)
    return [*found, paper.text(" ".join(filter(None, keys)), "note", before=5)]


def _section(paper: WorkshopPaper, one: PartsSection, parts: PartsList, number: int) -> list[Any]:
    name = one.name
    if not parts.for_customer:
        name = labels.SUPPLIER.format(code=one.id, name=one.name) if one.id else labels.NO_SUPPLIER
    heading = paper.section(name, f"section {number}", name="part", before=9, need=64)
    if parts.for_customer:
        return [*heading, _customer_table(paper, one)]
    return [*heading, _store_table(paper, one)]


def _store_table(paper: WorkshopPaper, one: PartsSection) -> Any:
    head = (labels.PART, labels.QUANTITY, labels.LEAD, labels.HERE, labels.NEEDED,
            labels.EACH, labels.COST.format(currency=paper.words.symbol))  # fmt: skip
    rows = [paper.cells(head, "head")]
    for row in one.rows:
        assert row.cost is not None
        assert row.cost_each is not None
        texts = (paper.words.quantity(row.lead_weeks), _here(paper, row),
                 paper.short_day(row.needed), paper.exact(row.cost_each),
                 paper.exact(row.cost))  # fmt: skip
        about = f"{row.id}  \u00b7  {paper.certainty(row.certainty)}"
        rows.append([_name(paper, row, about), _quantity(paper, row), *_right(paper, texts)])
    assert one.cost is not None
    rows.append(
        paper.cells((labels.SUPPLIER_COST, *[""] * 5, paper.exact(one.cost)), "cell strong")
    )
    table = paper.table(rows, [WIDTH - sum(_STORE), *_STORE], pad=1.4, total=1)
    table.setStyle([("SPAN", (0, -1), (4, -1))])
    return table


def _customer_table(paper: WorkshopPaper, one: PartsSection) -> Any:
    head = (labels.PART, labels.CERTAINTY, labels.QUANTITY, labels.LEAD, labels.HERE,
            labels.NEEDED)  # fmt: skip
    rows = [paper.mixed(head, (1,), "head")]
    for row in one.rows:
        texts = (paper.words.quantity(row.lead_weeks), _here(paper, row),
                 paper.short_day(row.needed))  # fmt: skip
        certain = paper.text(paper.certainty(row.certainty), "cell")
        rows.append([_name(paper, row, row.id), certain, _quantity(paper, row),
                     *_right(paper, texts)])  # fmt: skip
    return paper.table(rows, [WIDTH - sum(_CUSTOMER), *_CUSTOMER], pad=1.4)


def _right(paper: WorkshopPaper, texts: tuple[str, ...]) -> list[Any]:
    return [paper.figure(text, "cell", "right") for text in texts]


def _name(paper: WorkshopPaper, row: PartRow, about: str) -> list[Any]:
    return [paper.text(row.name, "cell"), paper.text(about, "fine")]


def _quantity(paper: WorkshopPaper, row: PartRow) -> list[Any]:
    """The likely quantity, with its range under it where it has one."""
    words = paper.words
    likely = f"{words.quantity(row.quantity)}\u00a0{unit_of(row.unit, row.quantity)}"
    found = [paper.figure(likely, "cell", "right")]
    if row.low != row.high:
        ranged = labels.QUANTITY_RANGE.format(
            low=words.quantity(row.low), high=words.quantity(row.high)
        )
        found.append(paper.figure(ranged, "fine", "right"))
    return found


def _here(paper: WorkshopPaper, row: PartRow) -> str:
    day = paper.short_day(row.here)
    return f"{labels.LATE_MARK}\u00a0{day}" if row.late else day


def _exchange(paper: WorkshopPaper, parts: PartsList) -> list[Any]:
    """Exchange units with the charge held and the day the old unit goes back."""
    rows = [row for one in parts.sections for row in one.rows if row.exchange is not None]
    if not rows:
        return []
    head = (labels.PART, labels.QUANTITY, labels.CHARGE_EACH,
            labels.CHARGE.format(currency=paper.words.symbol), labels.BACK_BY)  # fmt: skip
    cells = [paper.cells(head, "head")]
    for row in rows:
        assert row.exchange is not None
        texts = (paper.exact(row.exchange.charge_each), paper.exact(row.exchange.charge),
                 paper.short_day(row.exchange.back_by))  # fmt: skip
        cells.append([_name(paper, row, row.id), _quantity(paper, row), *_right(paper, texts)])
    total = paper.exact(parts.charges)
    cells.append(paper.cells((labels.ALL_CHARGES, "", "", total, ""), "cell strong"))
    days = str(parts.return_days)
    return [
        *paper.section(labels.EXCHANGE_UNITS, "exchange", before=12, need=100),
        paper.text(paper.clause("exchange units", days=days), "second", after=3),
        paper.table(cells, [WIDTH - 330, 66, 80, 90, 94], total=1),
    ]
