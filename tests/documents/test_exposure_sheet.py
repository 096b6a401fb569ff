"""The internal sheet, read back: marked on every page, sums add up, vectors, nothing clipped."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.documents.internal.exposure_sheet import exposure_pdf
from estimator.domain.commercial_forms import commercial_forms
from estimator.domain.exposure_sheet import (
    FOUND,
    LINE,
    OPEN_PART,
    SheetLook,
    build_exposure_sheet,
)
from estimator.domain.job import Party
from estimator.domain.money import Money
from tests.documents.read_back import boxes, fonts, inside_and_apart, printed, read_back
from tests.documents.test_quote_sums import FIGURE, figure
from tests.resolved import only_open

INTERNAL = "Internal - not for the customer"
LONG = "Schwermaschineninstandsetzungsgesellschaft Nord-Ost mit sehr langem Namen "
HEADINGS = ("Final cost to the customer", "Held at each confidence",
            "What rests on starting values", "What makes up the contingency",
            "What is not seen, by group and part", "Open first",
            "Commercial forms side by side")  # fmt: skip


def look(number, name="Bore camera, liner seats", **changes):
    usual = SheetLook(
        id=f"T{number:02}", kind="test", name=name, on=("Crankshaft",), cost=Money(39000, "GBP"),
        hours=Decimal("2.5"), days=Decimal("0.5"), detects=Decimal("0.55"),
        fall=Money(90000 - 3000 * number, "GBP"), changes_disposition=0.32,
        changes_decision=0.02, cautions=("Stored energy",), added=False,
    )  # fmt: skip
    return replace(usual, **changes)


LOOKS = [look(at) for at in range(8)] + [
    look(8, "Converter", kind="open", cost=None, hours=None, days=None, detects=None),
    look(9, added=True, on=("Crankshaft", "Camshaft", "Timing gears")),
    *(look(at) for at in range(10, 22)),
]


@pytest.fixture(scope="module")
def sheet(quote):
    return build_exposure_sheet(quote.priced, LOOKS, commercial_forms(quote.priced))


@pytest.fixture(scope="module")
def paper(sheet):
    return read_back(exposure_pdf(sheet))


def test_every_page_says_that_it_is_internal(paper):
    assert 2 <= len(paper.pages) <= 3
    for number, page in enumerate(paper.pages, 1):
        assert page.count(INTERNAL) == 2  # head and foot
        assert f"Page {number} of {len(paper.pages)}" in page
    assert INTERNAL in paper.reader.metadata.title


@pytest.mark.parametrize(
    "words",
    [
        "Exposure of Q-2041 rev A", "Wheel loader, 28 t class, serial WL28-00417, 14,860 hours",
        "duty 1.15", "Customer: Ostrey Aggregates", "Dated: 20 November 2026",
        "£275,946", "£31,317 above firm and provisional £244,629, at 8 in 10.",
        "The percentile rules.",
        "Finish, 8 in 10 12 March 2027", "5 in 10: 9 March 2027",
        "base £244,629", "mean £267,364", "8 in 10: £275,946", "9 in 10", "19 in 20",
        "50 % 22,735 267,364 mean", "80 % 31,317 275,946 percentile",
        "37 of 45 chances and counts", "rear crown wheel and pinion, converter",
        "own cases (14) rear axle oil", "with its 80 % interval",
        "Open: Converter", "Bore camera, liner seats (in the inspection)",
        "Crankshaft, Camshaft; 1 more", "7 further looks are expected to tell less.",
        "moving money from exposed to firm is no saving",
        "Base and named contingency (this quote)", "275,946 (cap) Customer to the cap",
        "catalogue 2026-11 golden, edition 35821a7593b5",
    ],
)  # fmt: skip
def test_says(paper, words):
    assert words in paper.text


def test_same_sheet_same_bytes(sheet, paper):
    assert exposure_pdf(sheet) == paper.data
    assert exposure_pdf(replace(sheet, looks=())) != paper.data


def last_figures(lines):
    """Rows of a table read back cell by cell: the label lines, then the row's last figure."""
    found, label = [], []
    for line in lines:
        if FIGURE.match(line):
            found.append((tuple(label), figure(line)))
            label = []
        else:
            label.append(line)
    return found


def test_groups_add_up_to_the_contingency(paper):
    lines = paper.after("What makes up the contingency")
    rows = last_figures(lines[lines.index("£") + 1 : lines.index("Contingency") + 2])
    (_, total), members = rows[-1], rows[:-1]
    assert total == 31317
    assert len(members) == 13
    assert sum(amount for _, amount in members) == total


def test_rows_add_up_to_their_group_and_groups_to_the_contingency(sheet, paper):
    """By the paper alone: names come from the sheet, every figure from the page."""
    text = paper.text[paper.text.index("What is not seen, by group and part") :]
    at, whole = 0, Decimal(0)
    for group in sheet.groups:
        at = text.index(f" {group.name} ", at) + len(group.name) + 1
        total = figure(text[at:].split()[0])
        rows = Decimal(0)
        for row in group.rows:
            at = text.index(f" {row.name} ", at) + len(row.name) + 1
            amount = f"{row.amount.amount:,.0f}".replace("-", "\u2212")
            cells = re.match(rf"[^A-Z]*? {re.escape(amount)} (?=[A-Z]|Internal)", text[at:])
            assert cells, (row.name, text[at : at + 120])
            rows += figure(amount)
            at += cells.end() - 1
        assert rows == total, group.name
        whole += total
    assert whole == 31317
    assert "Contingency 31,317" in text[at:]


def test_held_sums_are_base_and_what_is_held(paper):
    lines = paper.after("Held at each confidence")
    found = re.findall(r"(\d+) % ([\d,]+) ([\d,]+) (mean|percentile)", " ".join(lines[:60]))
    assert [share for share, *_ in found] == ["50", "70", "80", "90", "95"]
    for _, amount, total, _ in found:
        assert figure(total) - figure(amount) == 244629


def test_fonts_are_embedded_and_charts_are_no_pictures(paper):
    for name, descriptor in fonts(paper.reader).items():
        assert name[7:8] != "" and "+" in name, name
        assert "/FontFile2" in descriptor.get_object()
    for page in paper.reader.pages:
        assert "/XObject" not in page["/Resources"]


def test_patterns_keep_the_bars_apart_in_grey(paper):
    """What is held is dotted (round caps) within a dashed frame, whatever the colours become."""
    drawing = paper.reader.pages[0].get_contents().get_data()
    assert drawing.count(b"[.01 3.2] 0 d") > 10
    assert drawing.count(b"[1.6 1.4] 0 d") > 10


def test_headings_stay_with_what_follows(paper):
    for page in paper.pages:
        lines = [line.strip() for line in page.splitlines() if line.strip()]
        body = [one for one in lines if INTERNAL not in one and not one.startswith("Page ")]
        assert body[-1] not in HEADINGS
    names = [mark.title for mark in paper.reader.outline]
    assert names == ["Exposure of Q-2041 rev A", *HEADINGS]


def crowded(sheet):
    """Everything long at once, and hostile."""
    hostile = f"<b>&amp;</font> {LONG * 2}" + "W" * 120 + " 重机维修有限公司"
    groups = tuple(
        replace(
            group,
            name=f"{group.name} {LONG}",
            rows=tuple(replace(row, name=hostile, rests_on=LONG, circuit=LONG)
                       for row in group.rows),
        )
        for group in sheet.groups
    )  # fmt: skip
    looks = tuple(replace(one, name=hostile, on=(LONG, LONG, LONG), cautions=(LONG, "X" * 90))
                  for one in sheet.looks)  # fmt: skip
    job = replace(sheet.priced.job, number="Q-" + "9" * 80, estimator="W" * 200,
                  customer=Party(LONG * 3), workshop=Party(LONG * 3))  # fmt: skip
    return replace(sheet, priced=replace(sheet.priced, job=job), groups=groups, looks=looks)


@pytest.fixture(scope="module")
def crammed(sheet):
    return read_back(exposure_pdf(crowded(sheet)))


def test_nothing_leaves_the_page_or_covers_other_text(paper, crammed):
    for one in (paper, crammed):
        found = boxes(one.data)
        assert len(found) > 400
        inside_and_apart(found)


def test_other_locales_keep_inside_too(sheet):
    data = exposure_pdf(sheet, "fr_FR")
    inside_and_apart(boxes(data))
    assert "275\u00a0946" in " ".join(read_back(data).pages).replace("\u202f", "\u00a0")


def test_long_names_wrap_whole(sheet, crammed):
    rows = len(sheet.rows) + 15  # the looks that are shown
    assert crammed.text.count("重机维修有限公司") == rows
    assert crammed.text.count("<b>&amp;</font>") == rows


@pytest.fixture(scope="module")
def one_left(quote):
    """A single unlikely part: four in five outcomes cost nothing, so the mean rules."""
    return build_exposure_sheet(only_open(quote.priced, "P-HED"))


def test_where_the_mean_rules_it_is_said(one_left):
    text = read_back(exposure_pdf(one_left)).text
    assert "The mean rules: the percentile lies below it." in text
    assert re.search(r"80 % [\d,]+ [\d,]+ mean", text)


def test_nothing_open_draws_no_curve(quote):
    sheet = build_exposure_sheet(only_open(quote.priced))
    paper = read_back(exposure_pdf(sheet))
    assert "there is no spread to draw" in paper.text
    assert "What is not seen" not in paper.text
    assert "No chance behind the contingency is a starting value." in paper.text
    inside_and_apart(boxes(paper.data))


def test_rows_are_of_the_kinds_that_there_are(sheet):
    kinds = {row.kind for row in sheet.rows}
    assert {OPEN_PART, LINE} <= kinds <= {OPEN_PART, LINE, FOUND}
    for row in sheet.rows:
        assert (row.chance is None) == (row.kind != OPEN_PART)
        if row.chance is not None:
            assert 0 <= row.chance_low <= row.chance_high <= 1
            assert row.workshop_cost < row.likely


def test_other_ways_stand_beside_the_usual_one(sheet):
    group = sheet.groups[0]
    ways = (("recondition", 0.7), ("exchange", 0.2), ("replace", 0.1))
    row = replace(group.rows[0], ways=ways)
    several = replace(sheet, groups=(replace(group, rows=(row,)), *sheet.groups[1:]))
    text = read_back(exposure_pdf(several)).text
    assert f"{row.name} recondition, exchange 20 %, replace 10 % 36 %" in text


def test_found_work_is_shown_by_its_count(sheet):
    group = sheet.groups[0]
    row = replace(group.rows[0], kind=FOUND, name="Broken studs", chance=None, chance_low=None,
                  chance_high=None, expected_count=2.44)  # fmt: skip
    found = replace(sheet, groups=(replace(group, rows=(row,)), *sheet.groups[1:]))
    assert "Broken studs, each; 2.4 expected" in read_back(exposure_pdf(found)).text


def test_a_doubted_meter_is_said(sheet):
    machine = replace(sheet.priced.job.machine, meter="replaced", hours_doubt=Decimal("0.10"))
    job = replace(sheet.priced.job, machine=machine)
    doubted = replace(sheet, priced=replace(sheet.priced, job=job))
    text = read_back(exposure_pdf(doubted)).text
    assert "hour meter replaced, hours good to 10 %" in text


def test_the_customers_quote_has_none_of_it(quote, sheet):
    text = printed(quote).text
    assert INTERNAL not in text
    for row in sheet.rows:
        if row.workshop_cost is not None:
            assert f" {row.workshop_cost.amount:,.0f} {row.days:f} " not in text


def test_unknown_locale_is_refused(sheet):
    with pytest.raises(ValueError, match="no number and date formats"):
        exposure_pdf(sheet, "xx_QQ")
