"""A price list is taken whole or not at all, moves the costs of linked parts, and is taken back."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.catalogue.changes import RowChange
from estimator.domain.catalogue.work_rows import PartsGroup
from estimator.domain.price_list.linked import PartLink
from estimator.services import keep_catalogue
from estimator.services.catalogue_editions import editions
from estimator.services.errors import Conflict, NotAllowed, NotFound, Refused
from estimator.services.keep_catalogue import keep_edition, standing
from estimator.services.link_parts import (
    find_items,
    link_part,
    part_links,
    part_row,
    unlink_part,
)
from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_record import Record, examine_record, open_record
from estimator.services.preview_price_list import ListFile, ListWish, preview_price_list
from estimator.services.price_list_effect import effect_of
from estimator.services.take_price_list import price_lists, take_price_list, undo_price_list
from estimator.services.verify_record import verify_record
from estimator.storage import price_list_record
from tests.acts.workshop import ESTIMATOR, INSPECTOR, LATER, MANAGER, NOW

ROOT = Path(__file__).parent.parent.parent
SCRIPT = Path(__file__).with_name("take_until_killed.py")
HEAD = "Part number;Description;Price;Currency;Unit;Superseded by"
TODAY = NOW.date()


def csv(*rows, head=HEAD):
    return "\n".join([head, *rows]).encode()


def row(number, price, after="", currency="GBP", unit="EA"):
    return f"{number};Part {number};{price};{currency};{unit};{after}"


FIRST = csv(row("001", "410.00"), row("002", "12.50"), row("003", "90.00"), row("004", "7.00"))


class Shop:
    """A record with its catalogue, and the few words that tests say to them."""

    def __init__(self, record: Record) -> None:
        self.record = record

    @property
    def catalogue(self) -> Catalogue:
        return standing(self.record).catalogue

    def look(self, data: bytes, name: str = "list.csv", **wish):
        return preview_price_list(
            self.record, self.catalogue, ListFile(name, data), ListWish("S1", **wish), TODAY
        )

    def take(self, data: bytes, chosen=None, who=ESTIMATOR, **wish):
        return take_price_list(self.record, self.look(data, **wish), chosen, who, NOW)

    def undo(self, number: int, who=ESTIMATOR):
        return undo_price_list(self.record, number, who, LATER)

    def link(self, code: str, key: str, quantity: int | str = 1, who=ESTIMATOR):
        row = part_row(self.catalogue, code)
        link = PartLink(code, row.needs, "S1", key, Decimal(quantity))
        return link_part(self.record, link, who, NOW)

    @property
    def items(self) -> dict[str, tuple[int, str]]:
        with self.record.reading() as session:
            found = price_list_record.items_by_key(session, "S1")
        return {key: (minor, said) for key, minor, said in found.values()}

    @property
    def minors(self) -> dict[str, int]:
        return {key: minor for key, (minor, _said) in self.items.items()}

    def cost(self, code: str) -> PartsGroup:
        return part_row(self.catalogue, code)


@pytest.fixture
def shop(record):
    return Shop(record)


@pytest.fixture(scope="module")
def supplied() -> Catalogue:
    return open_catalogue()


@pytest.fixture(autouse=True)
def read_once(monkeypatch, supplied):
    """The catalogue that comes with the program is read once."""
    monkeypatch.setattr(keep_catalogue.standing, "__defaults__", (lambda: supplied,))


@pytest.fixture
def part(supplied) -> str:
    """A parts group counted in pieces, of the supplier, that one row alone has."""
    rows = [one for one in supplied.table("parts", PartsGroup) if one.unit == "each"]
    codes = [one.id for one in rows]
    return next(one.id for one in rows if codes.count(one.id) == 1 and one.currency == "GBP")


def test_a_list_is_taken_and_undone(shop):
    taken = shop.take(FIRST).taken
    assert (taken.number, taken.counts["new"], taken.edition) == (1, 4, 0)
    assert shop.minors == {"001": 41000, "002": 1250, "003": 9000, "004": 700}
    before = shop.items
    second = csv(row("001", "422.30"), row("002", "12.88"), row("003", "92.70"), row("005", "5.00"))
    again = shop.take(second).taken
    assert {kind: n for kind, n in again.counts.items() if n} == {"changed": 3, "new": 1, "gone": 1}
    assert shop.minors == {"001": 42230, "002": 1288, "003": 9270, "005": 500}
    with pytest.raises(Conflict, match="stands on"):
        shop.undo(1)
    assert shop.undo(2).undone_by == ESTIMATOR.name
    assert shop.items == before
    with pytest.raises(Conflict, match="undone already"):
        shop.undo(2)
    shop.undo(1)
    assert shop.items == {}
    with pytest.raises(NotFound):
        shop.undo(9)
    assert [one.stands for one in price_lists(shop.record)] == [False, False]
    assert verify_record(shop.record).faults == ()


def test_what_is_left_stays_as_it_was_and_a_part_list_drops_nothing(shop):
    shop.take(FIRST)
    second = csv(row("001", "422.30"), row("002", "125.00"), row("003", "92.70"))
    found = shop.look(second, full=False)
    assert found.comparison.counts()["unit"] == 1 and found.comparison.counts()["gone"] == 0
    shop.take(second, full=False)
    assert shop.minors == {"001": 42230, "002": 1250, "003": 9270, "004": 700}
    shop.take(second, {"002"}, full=False)  # somebody says yes to it
    assert shop.minors["002"] == 12500
    with pytest.raises(Refused):
        shop.take(second, full=False)  # nothing of it is new any more


def test_a_linked_part_costs_what_its_item_costs_and_goes_back_with_the_list(shop, part):
    shop.take(FIRST)
    was = shop.cost(part)
    shop.link(part, "001")
    linked = shop.cost(part)
    assert linked.unit_cost == 410 and linked.origin == "supplier"
    assert "part 001" in linked.source and linked.price_date == TODAY
    second = csv(row("001", "422.30"), row("002", "12.88"), row("003", "92.70"), row("004", "7.21"))
    found = shop.look(second)
    effect = effect_of(found, shop.catalogue, found.comparison.usual())
    assert [one.new.minor for one in effect.costs] == [42230] and effect.total.minor == 1230
    assert effect_of(found, shop.catalogue, set()).costs == ()  # left, it moves nothing
    taken = shop.take(second)
    assert shop.cost(part).unit_cost == Decimal("422.30")
    assert editions(shop.record)[0].kind == "price list"
    assert taken.taken.edition == editions(shop.record)[0].number
    shop.undo(2)
    assert replace(shop.cost(part), place=linked.place) == linked
    assert editions(shop.record)[0].kind == "taken back"
    unlink_part(shop.record, part_links(shop.record)[0], ESTIMATOR, NOW)
    assert shop.cost(part).origin == "supplier" != was.origin
    with pytest.raises(NotFound):
        unlink_part(shop.record, PartLink(part, (), "S1", "001", Decimal(1)), ESTIMATOR, NOW)
    assert verify_record(shop.record).faults == ()


def test_an_item_that_stays_gets_the_day_of_the_newer_list(shop, part):
    shop.take(FIRST)
    shop.link(part, "001")
    later = replace(shop.look(FIRST), price_date=LATER.date().replace(year=2027))
    take_price_list(shop.record, later, None, ESTIMATOR, NOW)
    assert shop.cost(part).price_date.year == 2027 and shop.cost(part).unit_cost == 410
    shop.undo(2)
    assert shop.cost(part).price_date == TODAY


def test_a_link_goes_over_to_what_takes_the_items_place_and_back(shop, part):
    shop.take(FIRST)
    shop.link(part, "001")
    second = csv(row("001", "410.00", "001-A"), row("001-A", "400.00"), *(
        row(n, p) for n, p in (("002", "12.50"), ("003", "90.00"), ("004", "7.00"))))  # fmt: skip
    taken = shop.take(second)
    assert [(one.key, two.key) for one, two in taken.effect.moved] == [("001", "001A")]
    assert [one.key for one in part_links(shop.record)] == ["001A"]
    assert shop.cost(part).unit_cost == 400
    shop.undo(2)
    assert [one.key for one in part_links(shop.record)] == ["001"]
    assert shop.cost(part).unit_cost == 410


def test_two_who_take_a_list_of_one_supplier(shop):
    shop.take(FIRST)
    theirs = shop.look(csv(row("001", "420.00")), full=False)
    mine = shop.look(csv(row("001", "430.00")), full=False)
    take_price_list(shop.record, theirs, None, MANAGER, NOW)
    with pytest.raises(Conflict, match="meanwhile"):
        take_price_list(shop.record, mine, None, ESTIMATOR, NOW)
    assert shop.minors["001"] == 42000
    assert len(price_lists(shop.record)) == 2


def test_a_cost_changed_by_hand_since_keeps_the_list_from_being_undone(shop, part):
    shop.take(FIRST)
    shop.link(part, "001")
    shop.take(csv(row("001", "422.30")), full=False)
    now = shop.cost(part)
    change = RowChange("parts", now, replace(now, unit_cost=Decimal(500)))
    keep_edition(shop.record, [change], "agreed", MANAGER, NOW, shop.catalogue.fingerprint)
    before = shop.items
    with pytest.raises(Conflict, match="not as they were"):
        shop.undo(2)
    assert shop.items == before and shop.cost(part).unit_cost == 500


def test_who_may_not_takes_nothing(shop):
    with pytest.raises(NotAllowed):
        shop.take(FIRST, who=INSPECTOR)
    shop.take(FIRST)
    with pytest.raises(NotAllowed):
        shop.undo(1, who=INSPECTOR)
    with pytest.raises(NotAllowed):
        unlink_part(shop.record, PartLink("x", (), "S1", "001", Decimal(1)), INSPECTOR, NOW)


def test_a_list_that_cannot_be_read_and_suppliers_that_are_not_there(shop):
    found = shop.look(b"%PDF-1.4")
    with pytest.raises(Refused) as refused:
        take_price_list(shop.record, found, None, ESTIMATOR, NOW)
    assert [one.code for one in refused.value.problems] == ["picture"]
    with pytest.raises(NotFound):
        preview_price_list(
            shop.record, shop.catalogue, ListFile("a.csv", FIRST), ListWish("nobody"), TODAY
        )
    assert price_lists(shop.record) == ()


def test_an_act_that_breaks_half_way_leaves_nothing(shop, part, monkeypatch):
    shop.take(FIRST)
    shop.link(part, "001")
    before, cost, count = shop.items, shop.cost(part), len(editions(shop.record))

    def broken(*_arguments, **_named):
        raise RuntimeError("power cut")

    monkeypatch.setattr("estimator.services.take_price_list.append", broken)
    with pytest.raises(RuntimeError):
        shop.take(csv(row("001", "422.30"), row("009", "1.00")))
    assert shop.items == before and shop.cost(part) == cost
    assert len(editions(shop.record)) == count and len(price_lists(shop.record)) == 1
    assert standing(shop.record).number == count


@pytest.mark.skipif(sys.platform == "win32", reason="a kill there is another thing")
def test_a_process_killed_while_it_takes_or_undoes_leaves_all_or_nothing(tmp_path):
    path, file = tmp_path / "record.db", tmp_path / "list.csv"
    with open_record(path, NOW) as record:
        Shop(record).take(FIRST)
        before = Shop(record).minors
    rows = [row(f"N{n:05}", f"{n + 1}.00") for n in range(4000)]
    file.write_bytes(csv(*rows, row("001", "422.30")))
    draw = random.Random(7)
    for _attempt in range(2):
        with subprocess.Popen(
            [sys.executable, str(SCRIPT), str(path), str(file)],
            stdout=subprocess.PIPE, text=True, cwd=ROOT, env={"PYTHONPATH": str(ROOT)},
        ) as process:  # fmt: skip
            assert process.stdout is not None
            process.stdout.readline()
            time.sleep(draw.uniform(0, 0.3))  # anywhere in the acts that follow
            process.kill()
        with open_record(path, LATER) as record:
            shop = Shop(record)
            newest = price_lists(record)[0]
            if newest.stands:
                assert len(shop.minors) == 4001 and shop.minors["001"] == 42230
                shop.undo(newest.number)
            assert shop.minors == before
            assert examine_record(record) == () and verify_record(record).faults == ()


LIST = st.dictionaries(st.integers(0, 25), st.integers(100, 10**6), min_size=1, max_size=25)


@settings(
    deadline=None, max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.lists(LIST, min_size=2, max_size=4), st.lists(st.booleans(), min_size=4, max_size=4))
def test_undoing_list_after_list_is_to_have_taken_none(shop, lists, full):
    stood, numbers = [shop.items], []
    assert stood == [{}]  # as the lists before left it
    for prices, whole in zip(lists, full, strict=False):
        rows = [row(f"K{n}", Decimal(price) / 100) for n, price in prices.items()]
        found = shop.look(csv(*rows), full=whole)
        keys = {one.key for one in found.comparison.changes}
        if not keys:
            continue
        taken = take_price_list(shop.record, found, keys, ESTIMATOR, NOW)
        numbers.append(taken.taken.number)
        kept = {} if whole else {key: minor for key, (minor, _said) in stood[-1].items()}
        assert shop.minors == {**kept, **{f"K{n}": price for n, price in prices.items()}}
        stood.append(shop.items)
    for number in reversed(numbers):
        stood.pop()
        shop.undo(number)
        assert shop.items == stood[-1]


def test_items_are_found_by_any_words(shop):
    shop.take(csv("00-12.3;Dichtring \u00d6lwanne;5.00;GBP;EA;", "00124;Ring 100 %;6.00;GBP;EA;",
                  "9_9;x;1.00;GBP;EA;"))  # fmt: skip

    def found(text):
        return [one.item.cells.number for one in find_items(shop.record, text)]

    assert found("0012") == ["00-12.3", "00124"]
    assert found("ring \u00f6lw") == ["00-12.3"] == found("DICHT 0.0/12 3")
    assert found("100 %") == ["00124"] and found("9_") == ["9_9"]
    assert found("nothing") == [] and len(found("")) == 3
