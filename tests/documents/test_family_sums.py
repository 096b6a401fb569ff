"""Printed sums of the papers beside the quote, added up again from the paper alone: nothing here
knows what was priced."""

from __future__ import annotations

import re
from decimal import Decimal
from io import BytesIO

import pytest
from pypdf import PdfReader

from tests.documents.family_sources import printed_as

NUMBER = re.compile(r"^[+\u2212]?\d[\d,.]*$|^\u2013$")
RUNNING = ("Page ", "Seite ")


def rows_of(data: bytes) -> list[list[str]]:
    """Runs of text of every printed row from left to right, page by page: what stands on one
    baseline."""
    found = []
    for page in PdfReader(BytesIO(data)).pages:
        lines: dict[int, list[tuple[float, str]]] = {}

        def take(words, to_page, at, _font, _size, lines=lines):
            if words.strip():
                x = at[4] * to_page[0] + at[5] * to_page[2] + to_page[4]
                y = at[4] * to_page[1] + at[5] * to_page[3] + to_page[5]
                near = next((one for one in lines if abs(one - y) < 2), round(y))
                lines.setdefault(near, []).append((x, words.strip()))

        page.extract_text(visitor_text=take)
        for height in sorted(lines, reverse=True):
            found.append([words for _, words in sorted(lines[height])])
    return found


def value(text: str, mark: str = ",") -> Decimal:
    """A printed sum; a dash is nothing."""
    if text == "\u2013":
        return Decimal(0)
    plain = text.replace(mark, "").replace("\u2212", "-").replace("+", "")
    return Decimal(plain.replace("\u00a3", ""))


def sums_in(row: list[str]) -> list[Decimal]:
    """Sums at the end of a row."""
    kept = []
    for cell in reversed([part for one in row for part in one.split()]):
        if not NUMBER.match(cell):
            break
        kept.append(value(cell))
    return kept[::-1]


@pytest.fixture(scope="module")
def full() -> list[list[str]]:
    rows = rows_of(printed_as("quote-full"))
    start = next(at for at, row in enumerate(rows) if row[0] == "Every line of this price")
    return [row for row in rows[start + 1 :] if not row[-1].startswith(RUNNING)]


def test_every_line_adds_up_to_its_group_and_all_groups_to_the_work(full) -> None:
    lines, groups, whole = Decimal(0), list[Decimal](), None
    hours, group_hours = Decimal(0), list[Decimal]()
    count = 0
    for row in full:
        joined = " ".join(row)
        amount = re.search(r"Amount ([\d,]+)$", joined)
        sure = row[-1] in ("firm", "provisional")
        if amount and row[0].startswith("Priced work"):
            whole = value(amount[1])
            assert value(row[1].split()[0]) == sum(group_hours)
            kinds = [value(one) for cell in row[2:-1] for one in cell.split()]
            assert sum(kinds) == whole
        elif amount:
            assert lines == value(amount[1]), joined
            shown = [value(one) for cell in row[1:-1] for one in cell.split()]
            assert shown[0] == hours, joined
            assert sum(shown[1:]) == lines, joined
            groups.append(lines)
            group_hours.append(hours)
            lines = hours = Decimal(0)
        elif sure:
            numbers = [one for cell in row[1:-1] for one in cell.split() if NUMBER.match(one)]
            lines += value(numbers[-1])
            labour = not re.search(r"[A-Za-z\u00b2]", " ".join(row[1:-1]))
            hours += value(numbers[0]) if labour else 0
            count += 1
    assert len(groups) == 18
    assert count > 190
    assert sum(groups) == whole


def test_the_breakdown_comes_to_the_priced_work_of_the_price_table(full) -> None:
    text = rows_of(printed_as("quote-full"))
    tables = [row for row in text if row[0] == "Priced work"]
    in_price = sums_in(tables[0])
    in_breakdown = [one for one in tables[1:] if "Amount" in one[-1]][0]
    assert in_price[-1] == value(in_breakdown[-1].split()[-1])


def test_a_revision_adds_up_before_now_and_changed() -> None:
    rows = rows_of(printed_as("revision"))
    start = next(at for at, row in enumerate(rows) if row[0] == "By component group, and why")
    counted, lines = [], []
    for row in rows[start + 2 :]:
        found = sums_in(row)
        if row[0] == "Price before tax":
            net = found
            break
        if len(found) == 3:
            counted.append((row[0], found))
    own = {"Recore radiator", "Exhaust manifold section"}
    lines = [one for name, one in counted if name in own]
    totals = [one for name, one in counted if name not in own]
    assert len(lines) == 2
    for column in range(3):
        assert sum(one[column] for one in totals) == net[column]
    for before, now, change in (*totals, *lines, net):
        assert now - before == change
    changed = [one for one in totals if one[2] in {line[2] for line in lines}]
    assert len(changed) == 2


def test_a_revision_in_short_adds_up_too() -> None:
    rows = rows_of(printed_as("revision"))
    short = {row[0]: sums_in(row) for row in rows[:20] if len(sums_in(row)) == 3}
    for column in range(3):
        parts = sum(short[one][column] for one in
                    ("Firm", "Provisional", "Contingency for parts found worn"))  # fmt: skip
        assert parts == short["Price before tax"][column]
        assert (
            short["Price before tax"][column] + short["Tax"][column]
            == (short["Price with tax"][column])
        )


def test_each_option_adds_up_from_its_groups_to_its_price() -> None:
    rows = rows_of(printed_as("options"))
    start = next(at for at, row in enumerate(rows) if row[0].startswith("Component group,"))
    columns = [Decimal(0)] * 3
    for row in rows[start + 1 :]:
        cells = [part for one in row[1:] for part in one.replace("not in", "\u2013").split()]
        found = [value(one) for one in cells]
        assert len(found) == 3, row
        if row[0] == "Price before tax":
            assert found == columns
            break
        columns = [one + two for one, two in zip(columns, found, strict=True)]
    first = next(row for row in rows if row[0] == "Price before tax")
    assert [value(one) for one in " ".join(first[1:]).split()] == columns


def test_the_short_quote_adds_up_to_its_price_and_its_stages() -> None:
    rows = rows_of(printed_as("quote-short"))
    text = " ".join(" ".join(row) for row in rows)
    parts = [value(re.search(rf"{name} \u00a3([\d,]+)", text)[1])
             for name in ("Firm", "Provisional", "Contingency")]  # fmt: skip
    assert sum(parts) == value(re.search(r"Full rebuild: \u00a3([\d,]+)", text)[1])
    start = next(at for at, row in enumerate(rows) if row[0] == "Stage")
    stages = []
    for row in rows[start + 1 :]:
        found = sums_in([part for part in row if "%" not in part])
        if row[0].startswith("Whole price"):
            assert [sum(one[column] for one in stages) for column in range(3)] == found[-3:]
            break
        stages.append(found[-3:])
    assert len(stages) == 4
