"""From the cells of a price list to items, column by column; every fault by row and column.

A row with a fault is left out and the others are read. Most columns are sound from top to bottom,
and are taken as a whole: to look at each cell of 50,000 rows would take longer than to read them.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import repeat
from operator import itemgetter

from estimator.domain.price_list import mapping as m
from estimator.domain.price_list.item import BETWEEN, Item, items_of, part_keys
from estimator.domain.price_list.mapping import Mapping
from estimator.domain.problem import Place, Problem
from estimator.domain.wording import joined, worded, worded_count
from estimator.intake.price_list_columns import Column, currencies_of, pers_of, texts_of
from estimator.intake.price_list_heads import mapping_faults
from estimator.intake.price_list_prices import prices_of
from estimator.intake.price_list_table import Cell, PriceTable
from estimator.intake.price_list_values import charges_of, days_of, leads_of, shares_of

MOST_TOLD = 500  # faults and warnings told one by one
NEEDS_PART = 2  # of so many rows at least one must be sound, else the columns are wrong


@dataclass(slots=True)
class ListRead:
    """What was read: sound items, rows left out, every fault and warning, the currencies met."""

    items: list[Item] = field(default_factory=list)
    rows: int = 0
    left_out: int = 0
    problems: list[Problem] = field(default_factory=list)
    currencies: tuple[str, ...] = ()
    supersedes: bool = False  # some name what takes their place
    faulty_keys: frozenset[str] = frozenset()  # of rows left out: they are not gone


def read_list(table: PriceTable, mapping: Mapping) -> ListRead:
    """The items of a table. Where `items` is empty, `problems` says why."""
    read = ListRead(problems=list(table.notices))
    if faults := mapping_faults(mapping, table):
        read.problems += faults
        return read
    body, first = _body(table, mapping, read)
    if not body:
        read.problems.append(Problem("empty-table", Place(table.file, mapping.head_row), worded(
            "has no rows below its heads."), worded("Choose the row of the heads.")))  # fmt: skip
        return read
    sheet = _Sheet(table, mapping, body, first)
    _read(sheet, read)
    read.problems += _shortened(sheet.problems, table.file)
    read.problems.sort(key=lambda one: one.warning)  # what was left out comes first
    return read


@dataclass(slots=True)
class _Sheet:
    """The rows below the heads, and what was found in them."""

    table: PriceTable
    mapping: Mapping
    body: Sequence[Sequence[Cell]]
    first: int  # number of the first of them, from 1
    problems: list[Problem] = field(default_factory=list)
    bad: set[int] = field(default_factory=set)
    cells: dict[int, Sequence[Cell]] = field(default_factory=dict)  # of the columns that are read

    def __post_init__(self) -> None:
        places = sorted({one.column for one in self.mapping.columns})
        if len(places) == 1:
            self.cells = {places[0]: [row[places[0]] for row in self.body]}
        elif places:
            columns = zip(*map(itemgetter(*places), self.body), strict=True)
            self.cells = dict(zip(places, columns, strict=True))

    def column(self, name: str) -> Column | None:
        """The cells of a field; None where no column holds it."""
        at = self.mapping.column(name)
        if at is None:
            return None
        return Column(
            file=self.table.file, name=self.mapping.head_of(name), first=self.first,
            cells=self.cells[at], problems=self.problems, bad=self.bad,
            empty={row - self.first + 1 for row, column in self.table.empty if column == at},
        )  # fmt: skip


def _body(
    table: PriceTable, mapping: Mapping, read: ListRead
) -> tuple[Sequence[Sequence[Cell]], int]:
    """Rows with a number or a price, from the first below the heads; lines between that have
    neither are passed over, and said where they hold anything."""
    body = table.rows[mapping.head_row :]
    number, price = mapping.column(m.NUMBER), mapping.column(m.PRICE)
    end = len(body)
    while end and _is_blank(body[end - 1], number, price, table, mapping.head_row + end - 1):
        end -= 1
    beyond = [n for n in range(end, len(body)) if any(cell != "" for cell in body[n])]
    if beyond:
        place = Place(table.file, mapping.head_row + beyond[0] + 1)
        read.problems.append(Problem("beyond", place, worded_count(
            "{n} row below the list has neither number nor price; it is passed over.",
            "{n} rows below the list have neither number nor price; they are passed over.",
            len(beyond)), "", warning=True))  # fmt: skip
    return body[:end], mapping.head_row + 1


def _is_blank(
    row: Sequence[Cell], number: int | None, price: int | None, table: PriceTable, at: int
) -> bool:
    def blank(column: int | None) -> bool:
        return column is None or (row[column] in ("", None) and (at, column) not in table.empty)

    return blank(number) and blank(price)


def _read(sheet: _Sheet, read: ListRead) -> None:
    count = len(sheet.body)
    numbers_in, prices_in = sheet.column(m.NUMBER), sheet.column(m.PRICE)
    assert numbers_in is not None and prices_in is not None
    passed = _passed_over(numbers_in, prices_in, sheet)
    numbers = texts_of(numbers_in, needed=True, passed=passed, is_number=True)
    currencies = currencies_of(sheet.column(m.CURRENCY), count, sheet.mapping.currency)
    pers = pers_of(sheet.column(m.PER), count, sheet.mapping.per)
    prices = prices_of(prices_in, currencies, pers, sheet.mapping, passed)
    keys = part_keys(numbers)
    _no_doubles(keys, numbers_in, passed)
    successors = texts_of(sheet.column(m.SUPERSEDED), is_number=True)
    read.supersedes = any(successors)
    cells = (
        numbers,
        texts_of(sheet.column(m.DESCRIPTION)) or repeat(""),
        prices.currencies,
        prices.pers,
        _units(sheet),
        _discounts(sheet, count),
        leads_of(sheet.column(m.LEAD), sheet.mapping.lead_in) or repeat(""),
        charges_of(sheet.column(m.CHARGE), prices.currencies) or repeat(""),
        successors or repeat(""),
        days_of(sheet.column(m.VALID)) or repeat(""),
    )
    said = map(BETWEEN.join, zip(*cells, strict=False))  # some go on for ever
    out = sheet.bad | passed
    rows = zip(keys, prices.minors, said, strict=False)
    if out:
        read.items = items_of(row for n, row in enumerate(rows) if n not in out)
        read.faulty_keys = frozenset(keys[n] for n in sheet.bad if keys[n])
    else:
        read.items = items_of(rows)
    read.rows, read.left_out = count - len(passed), len(sheet.bad)
    _say_currencies(sheet, prices.currencies, out, read)
    if read.rows and read.left_out * NEEDS_PART > read.rows:
        read.items = []
        sheet.problems.insert(0, Problem("mostly-faulty", Place(sheet.table.file), worded(
            "{bad} of {rows} rows cannot be read.", bad=read.left_out, rows=read.rows),
            worded("Look whether the right columns are chosen.")))  # fmt: skip


def _passed_over(numbers: Column, prices: Column, sheet: _Sheet) -> set[int]:
    """Rows with neither number nor price: heads between, blank lines, words."""
    if "" not in numbers.cells:
        return set()
    passed = {
        n
        for n, (one, two) in enumerate(zip(numbers.cells, prices.cells, strict=True))
        if one == "" and two == "" and n not in numbers.empty and n not in prices.empty
    }
    told = [n for n in passed if any(cell != "" for cell in sheet.body[n])]
    if told:
        sheet.problems.append(
            Problem(
                "passed-over",
                numbers.place(min(told)),
                worded_count(
                    "{n} row without number and price is passed over.",
                    "{n} rows without number and price are passed over.",
                    len(told),
                ),
                "",
                warning=True,
            )
        )
    return passed


def _units(sheet: _Sheet) -> Sequence[str] | repeat[str]:
    return texts_of(sheet.column(m.UNIT)) or repeat(sheet.mapping.unit)


def _discounts(sheet: _Sheet, count: int) -> Sequence[str] | repeat[str]:
    """Percent taken off, by the row's own cell, else by its discount group."""
    shares = shares_of(sheet.column(m.DISCOUNT))
    column = sheet.column(m.GROUP)
    if column is None:
        return shares or repeat("")
    known = {group: f"{percent.normalize():f}" for group, percent in sheet.mapping.discounts}
    groups = texts_of(column)
    unknown: dict[str, int] = {}
    for n, group in enumerate(groups):
        if group and group not in known and not (shares and shares[n]):
            unknown.setdefault(group, n)
    for group, n in unknown.items():
        column.warn(n, "group", worded("discount group {group} has no percentage; nothing is taken "
                                       "off.", group=group))  # fmt: skip
    own = shares or [""] * count
    return [one or known.get(group, "") for one, group in zip(own, groups, strict=True)]


def groups_in(table: PriceTable, mapping: Mapping) -> tuple[str, ...]:
    """The discount groups that rows below the heads name, in the order in which they come."""
    at = mapping.column(m.GROUP)
    body = table.rows[mapping.head_row :]
    if at is None or not body or at >= len(body[0]):
        return ()
    one = replace(mapping, columns=tuple(use for use in mapping.columns if use.field == m.GROUP))
    column = _Sheet(table, one, body, mapping.head_row + 1).column(m.GROUP)
    return tuple(dict.fromkeys(filter(None, texts_of(column))))


def _no_doubles(keys: list[str], numbers: Column, passed: set[int]) -> None:
    """A number that stands twice is left out both times: nobody can tell which price holds."""
    if len(set(keys)) == len(keys):
        return
    rows: dict[str, list[int]] = defaultdict(list)
    for n, key in enumerate(keys):
        if n not in passed and n not in numbers.bad:
            rows[key].append(n)
    for some in rows.values():
        if len(some) > 1:
            for n in some:
                other = some[1] if n == some[0] else some[0]
                numbers.fault(n, "twice", worded(
                    "{number} stands in row {row} as well.", number=str(numbers.cells[n])[:40],
                    row=str(numbers.first + other)), worded("Keep one of them."))  # fmt: skip


def _say_currencies(
    sheet: _Sheet, currencies: Sequence[str], out: set[int], read: ListRead
) -> None:
    found = Counter(currencies)
    if len(found) > 1 and out:
        found = Counter(one for n, one in enumerate(currencies) if n not in out)
    found.pop("", None)
    read.currencies = tuple(code for code, _ in found.most_common())
    if len(found) > 1:
        said = joined(f"{code}: {n:,}" for code, n in found.most_common())
        least = found.most_common()[-1][0]
        at = next(n for n, one in enumerate(currencies) if one == least and n not in out)
        sheet.problems.append(
            Problem(
                "currencies",
                Place(sheet.table.file, sheet.first + at, sheet.mapping.head_of(m.CURRENCY)),
                worded("the list is in several currencies ({said}).", said=said),
                "",
                warning=True,
            )
        )


def _shortened(problems: list[Problem], file: str) -> list[Problem]:
    """Faults first, in the order of rows; the first MOST_TOLD and how many more there are."""
    ordered = sorted(problems, key=lambda one: (one.warning, one.place.row or 0))
    if len(ordered) <= MOST_TOLD:
        return ordered
    rest = Problem("more", Place(file), worded(
        "and {n} more.", n=len(ordered) - MOST_TOLD), "", ordered[MOST_TOLD].warning)  # fmt: skip
    return [*ordered[:MOST_TOLD], rest]
