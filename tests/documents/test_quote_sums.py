"""The printed sums, added up again by someone who has only the paper."""

from __future__ import annotations

import re
from decimal import ROUND_HALF_UP, Decimal

FIGURE = re.compile(r"^[−]?[\d,]+(\.\d+)?$|^–$")


def figure(text: str) -> Decimal:
    """A printed figure; a dash is nothing."""
    plain = text.replace("£", "").replace(",", "").replace("−", "-")
    return Decimal(0) if plain == "–" else Decimal(plain)


def figures(lines: list[str], end: str, count: int) -> dict[str, list[Decimal]]:
    """Rows of `count` figures after their label, up to the row labelled `end`, included."""
    rows: dict[str, list[Decimal]] = {}
    label: list[str] = []
    found: list[Decimal] = []
    for line in lines:
        if not FIGURE.match(line.replace("£", "")):
            label.append(line)
            continue
        found.append(figure(line))
        if len(found) == count:
            rows[" | ".join(label)] = found
            if " | ".join(label) == end:
                return rows
            label, found = [], []
    raise AssertionError(f"no row {end!r}")


def test_group_table_adds_up_in_every_column(paper):
    rows = figures(paper.after("How sure"), "Priced work", 5)
    total = rows.pop("Priced work")
    assert len(rows) == 18
    for column in range(5):
        assert sum(row[column] for row in rows.values()) == total[column]
    for hours, labour, parts, outwork, amount in rows.values():
        assert labour + parts + outwork == amount
        assert hours > 0


def test_from_priced_work_to_the_price_with_tax(paper):
    lines = paper.after("How sure")
    rest = lines[lines.index("Priced work") + 6 :]
    one = figures(rest, "Price with tax", 1)
    work = figure(lines[lines.index("Priced work") + 5])
    base = one.pop("Firm and provisional together")[0]
    held = one.pop("Contingency for parts found worn")[0]
    net, tax = one.pop("Price before tax")[0], one.pop("VAT 20 %")[0]
    gross = one.pop("Price with tax")[0]
    assert len(one) == 6  # discount, carriage, four levies
    assert work + sum(row[0] for row in one.values()) == base
    assert base + held == net
    assert (net * 20 / 100).quantize(Decimal("0.01"), ROUND_HALF_UP) == tax
    assert net + tax == gross


def test_three_certainties_add_up_to_the_price(paper):
    page = " ".join(paper.pages[0].split())
    parts = [figure(re.search(rf"{name} £([\d,]+)", page)[1])
             for name in ("Firm", "Provisional", "Contingency")]  # fmt: skip
    assert sum(parts) == figure(re.search(r"Price £([\d,]+)", page)[1])


def test_contingency_by_group_adds_up(paper):
    rows = figures(paper.after("Where the contingency may go"), "Contingency", 1)
    held = rows.pop("Contingency")[0]
    assert len(rows) > 10
    assert sum(row[0] for row in rows.values()) == held


def test_stages_add_up(paper):
    lines = [line for line in paper.after("To pay, £") if not re.fullmatch(r"\d+ %", line)]
    rows = figures(lines, "Whole price", 3)
    whole = rows.pop("Whole price")
    assert list(rows)[-1] == "Balance, before release"
    for column in range(3):
        assert sum(row[column] for row in rows.values()) == whole[column]
    for net, tax, to_pay in rows.values():
        assert net + tax == to_pay
        assert abs(net * 20 / 100 - tax) <= Decimal("0.01")


def test_provisional_lines_add_up_and_lie_in_their_range(paper):
    lines = paper.after("High")
    end = lines.index("Provisional")
    found = [figure(line) for line in lines[:end] if FIGURE.match(line)]
    rows = [found[start : start + 3] for start in range(0, len(found), 3)]
    total = figure(lines[end + 1])
    assert len(rows) == 15
    assert all(low <= likely <= high for low, likely, high in rows)
    assert sum(likely for _, likely, _ in rows) == total


def test_hours_by_trade_are_the_hours_of_the_table(paper):
    lines = paper.after("£/h")
    found = [figure(line) for line in lines[: lines.index("Hours in this price")]
             if FIGURE.match(line)]  # fmt: skip
    total = figure(lines[lines.index("Hours in this price") + 1])
    assert sum(found[::2]) == total
    assert total == figure(paper.after("Priced work")[0])


def test_exchange_charges_add_up(paper):
    lines = paper.after("Held, £")
    found = [figure(line) for line in lines[: lines.index("Charges held")] if FIGURE.match(line)]
    total = figure(lines[lines.index("Charges held") + 1])
    triples = [found[start : start + 3] for start in range(0, len(found), 3)]
    assert len(triples) == 4
    assert all(number * each == held for number, each, held in triples)
    assert sum(held for _, _, held in triples) == total


def test_options_add_up(paper):
    lines = paper.after("Driveline only")
    columns = {}
    for name in ("Firm", "Provisional", "Contingency for parts found worn", "Price before tax"):
        at = lines.index(name)
        columns[name] = [figure(lines[at + 1]), figure(lines[at + 2])]
    for option in (0, 1):
        *parts, net = (columns[name][option] for name in columns)
        assert sum(parts) == net
