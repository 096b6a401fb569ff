"""What a contract takes in from files: every fault by file, row and column; nothing half-taken."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.domain.contract.variation import Range
from estimator.domain.money import Money
from estimator.intake.contract_files import read_acceptance, read_answers, read_openings
from estimator.intake.variation_files import read_variations

LOADER = Path(__file__).parent.parent.parent / "sample_db" / "workshop" / "loader"
ACCEPTANCE = """
revision = "A"
by = "R. Ostrey"
capacity = "fleet manager"
channel = "signed paper"
words = "Accepted."
on = 2026-11-30
unspent = "to the customer"
order_limit = 290000.50
[[approver]]
name = "R. Ostrey"
capacity = "fleet manager"
limit_each = 5000
[[drawing]]
name = "J. Tarn"
capacity = "service manager"
limit_each = 2500
limit_total = 15000
"""
VARIATION = """
[[variation]]
title = "Tank floor corroded"
location = "rear frame"
cause = "outside scope"
end = "contract sum"
days = 2
activity = "A10"
answer_by = 2026-12-01
waiting_per_day = 380
[variation.range]
low = 100
likely = 200
high = 400
"""


def places(problems) -> list[tuple[int | None, str]]:
    return [(one.place.row, one.place.column) for one in problems]


def written(tmp_path: Path, name: str, text: str) -> Path:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


# Acceptance


def test_an_acceptance(tmp_path: Path) -> None:
    found, problems = read_acceptance(written(tmp_path, "a.toml", ACCEPTANCE), "GBP")
    assert problems == []
    assert found is not None
    assert found.on == datetime(2026, 11, 30, 23, 59, tzinfo=UTC)  # a day counts to its end
    assert found.order_limit == Money(29_000_050, "GBP")
    (approver,), (drawing,) = found.approvers, found.drawing
    assert (approver.limit_each, approver.limit_total) == (Money(500_000, "GBP"), None)
    assert (approver.side, drawing.side) == ("customer", "workshop")
    assert (approver.blanket, drawing.blanket) == (False, True)


def test_an_acceptance_may_tell_the_minute(tmp_path: Path) -> None:
    text = ACCEPTANCE.replace("on = 2026-11-30", "on = 2026-11-30T15:20:00+01:00")
    found, _ = read_acceptance(written(tmp_path, "a.toml", text), "GBP")
    assert found is not None
    assert found.on == datetime(2026, 11, 30, 14, 20, tzinfo=UTC)


@pytest.mark.parametrize(
    ("old", "new", "column"),
    [
        ('by = "R. Ostrey"\n', "", "by"),
        ('unspent = "to the customer"', 'unspent = "ours"', "unspent"),
        ("on = 2026-11-30", 'on = "soon"', "on"),
        ("limit_each = 5000", "limit_each = 50.005", "[approver 1] limit_each"),
        ("limit_total = 15000", "limit_total = -1", "[drawing 1] limit_total"),
        ("[[approver]]", "[[aprover]]", "approver"),
        ('channel = "signed paper"', 'chanel = "signed paper"', "chanel"),
    ],
)
def test_faults_of_an_acceptance(tmp_path: Path, old: str, new: str, column: str) -> None:
    path = written(tmp_path, "a.toml", ACCEPTANCE.replace(old, new))
    found, problems = read_acceptance(path, "GBP")
    assert found is None
    assert column in [one.place.column for one in problems]
    assert {one.place.file for one in problems} == {"a.toml"}


# Openings


def test_openings(tmp_path: Path) -> None:
    path = written(
        tmp_path, "o.csv",
        "component,part,state,reading,photographs,safety,line,quantity,factor,cautions\n"
        "C05B,P-PLR,worn,54.90 of 54.92,a.jpg;b.jpg,yes,,,,K03;K04\n"
        "C05B,,,,,,P-HOS,51,,\n"
        "C06A,,,,,,,,,\n",
    )  # fmt: skip
    rows, problems = read_openings(path)
    assert problems == []
    assert (rows[0].photographs, rows[0].cautions, rows[0].safety) == (
        ("a.jpg", "b.jpg"), ("K03", "K04"), True,
    )  # fmt: skip
    assert (rows[1].line, rows[1].quantity) == ("P-HOS", Decimal(51))
    assert (rows[2].component, rows[2].place.row) == ("C06A", 4)


@pytest.mark.parametrize(
    ("row", "place"),
    [
        ("C05B,P-PLR,,,,", (2, "state")),
        ("C05B,,worn,,,", (2, "part")),
        ("C05B,P-PLR,rotten,,,", (2, "state")),
        ("C05B,P-PLR,worn,P-HOS,51,", (2, "line")),
        ("C05B,,,P-HOS,,", (2, "quantity")),
        ("C05B,,,P-HOS,51,1.1", (2, "quantity")),
        ("C05B,,,,51,", (2, "line")),
        ("C05B,,,P-HOS,-1,", (2, "quantity")),
        (",P-PLR,worn,,,", (2, "component")),
        ("C05B,P-PLR,worn", (2, "")),
    ],
)
def test_faults_of_openings(tmp_path: Path, row: str, place: tuple[int, str]) -> None:
    head = "component,part,state,line,quantity,factor\n"
    _, problems = read_openings(written(tmp_path, "o.csv", f"{head}{row}\n"))
    assert place in places(problems)


def test_a_part_stands_once(tmp_path: Path) -> None:
    text = "component,part,state\nC05B,P-PLR,worn\nC05D,P-PLR,sound\n"
    _, problems = read_openings(written(tmp_path, "o.csv", text))
    assert places(problems) == [(3, "part")]
    assert "row 2 already" in problems[0].message


def test_an_empty_table_is_a_fault(tmp_path: Path) -> None:
    _, problems = read_openings(written(tmp_path, "o.csv", "component,part,state\n"))
    assert [one.code for one in problems] == ["empty-table"]


def test_openings_as_json(tmp_path: Path) -> None:
    data = [{"component": "C05B", "part": "P-PLR", "state": "worn", "photographs": ["a.jpg"]}]
    rows, problems = read_openings(written(tmp_path, "o.json", json.dumps(data)))
    assert (problems, rows[0].photographs) == ([], ("a.jpg",))
    _, problems = read_openings(written(tmp_path, "o.json", json.dumps([{"part": 3}])))
    assert (1, "part") in places(problems)


# Variations


def test_a_variation_with_a_range(tmp_path: Path) -> None:
    (one,), problems = read_variations(written(tmp_path, "v.toml", VARIATION), "GBP")
    assert problems == []
    sums = [Money(100 * amount, "GBP") for amount in (100, 200, 400)]
    assert one.cells["range"] == Range(*sums)
    assert one.cells["answer_by"] == date(2026, 12, 1)
    assert one.cells["waiting_per_day"] == Money(38_000, "GBP")
    assert "safety" not in one.cells  # what is not given stays as it is


def test_lines_ways_and_lines_measured_again() -> None:
    (priced,), problems = read_variations(LOADER / "gears_price.toml", "GBP", pricing=True)
    assert problems == []
    assert [one.wanted.kind for one in priced.lines] == ["parts", "labour", "outwork"]
    assert (priced.lines[0].wanted.currency, priced.lines[0].wanted.markup) == ("EUR", "B")
    assert [way.way for way in priced.cells["ways"]] == ["replace", "defer"]
    (again,), _ = read_variations(LOADER / "hoses.toml", "GBP")
    assert [(one.row_id, one.value) for one in again.measured] == [("P-HOS", 51), ("O0807", 51)]


def test_rows_of_one_ref_are_one_variation() -> None:
    (one,), problems = read_variations(LOADER / "tank.csv", "GBP")
    assert problems == []
    assert [line.wanted.kind for line in one.lines] == ["labour", "parts", "outwork"]
    assert [line.place.row for line in one.lines] == [2, 3, 4]


@pytest.mark.parametrize("name", sorted(path.name for path in LOADER.glob("*price*")))
def test_every_price_of_the_sample_reads(name: str) -> None:
    found, problems = read_variations(LOADER / name, "GBP", pricing=True)
    assert (len(found), problems) == (1, [])


@pytest.mark.parametrize(
    ("old", "new", "column"),
    [
        ('title = "Tank floor corroded"\n', "", "[variation 1] title"),
        ('end = "contract sum"', 'end = "somebody"', "[variation 1] end"),
        ("likely = 200\n", "", "[variation 1.range] likely"),
        ("low = 100", "low = 300", "[variation 1.range] likely"),
        ("days = 2", "days = -2", "[variation 1] days"),
        ("days = 2", "dayz = 2", "[variation 1] dayz"),
        ("answer_by = 2026-12-01", 'answer_by = "then"', "[variation 1] answer_by"),
    ],
)
def test_faults_of_a_variation(tmp_path: Path, old: str, new: str, column: str) -> None:
    path = written(tmp_path, "v.toml", VARIATION.replace(old, new))
    _, problems = read_variations(path, "GBP")
    assert [one.place.column for one in problems] == [column]


@pytest.mark.parametrize(
    ("rows", "place"),
    [
        ("a,,rear frame,outside scope,contract sum,,,,,", (2, "title")),
        ("a,T,here,outside scope,contract sum,labour,Weld,,BW,", (2, "quantity")),
        ("a,T,here,outside scope,contract sum,parts,Plate,1,,", (2, "markup")),
        ("a,T,here,outside scope,contract sum,,Weld,1,,", (2, "kind")),
        (
            "a,T,here,outside scope,contract sum,labour,Weld,1,BW,\na,T,,,,labour,Weld,1,BW,",
            (3, "title"),
        ),
    ],
)
def test_faults_of_a_table(tmp_path: Path, rows: str, place: tuple[int, str]) -> None:
    head = "ref,title,location,cause,end,kind,what,quantity,trade,markup\n"
    _, problems = read_variations(written(tmp_path, "v.csv", f"{head}{rows}\n"), "GBP")
    assert place in places(problems)


def test_a_price_is_of_one_variation(tmp_path: Path) -> None:
    _, problems = read_variations(
        written(tmp_path, "v.toml", VARIATION + VARIATION), "GBP", pricing=True
    )
    assert [one.code for one in problems] == ["several"]
    _, problems = read_variations(written(tmp_path, "v.toml", ""), "GBP")
    assert [one.code for one in problems] == ["empty-file"]


# Answers


def test_answers(tmp_path: Path) -> None:
    path = written(
        tmp_path, "a.csv",
        "variation,act,by,channel,words,lines\n"
        "V01,approve,R. Ostrey,e-mail,Go on.,\n"
        'V02,approve in part,R. Ostrey,e-mail,"The first, please.",1;3\n',
    )  # fmt: skip
    rows, problems = read_answers(path)
    assert problems == []
    assert (rows[1].act, rows[1].lines, rows[1].revision) == ("approve in part", ("1", "3"), None)


@pytest.mark.parametrize(
    ("row", "place"),
    [
        ("V01,perhaps,,,,", (2, "act")),
        (",approve,,,,", (2, "variation")),
        ("V01,approve,R. Ostrey,,Yes.,", (2, "channel")),
        ("V01,approve,R. Ostrey,e-mail,,", (2, "words")),
        ("V01,approve in part,,,,first", (2, "lines")),
        ("V01,approve in part,,,,0", (2, "lines")),
        ("V01,approve,,,,\nV01,decline,,,,", (3, "variation")),
    ],
)
def test_faults_of_answers(tmp_path: Path, row: str, place: tuple[int, str]) -> None:
    head = "variation,act,by,channel,words,lines\n"
    _, problems = read_answers(written(tmp_path, "a.csv", f"{head}{row}\n"))
    assert place in places(problems)
