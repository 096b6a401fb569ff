"""What is in and what is not: lines taken out or put in by hand, and the annex of every line."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import groupby

import pytest

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.job import Party, ScopeChange
from estimator.domain.priced_job import reckon
from estimator.domain.quote import build_quote
from estimator.domain.scope import LABOUR, OUTWORK, PARTS, PROVISIONAL
from tests.documents.read_back import printed, with_job

UNITS = {"each": "off", "m2": "m²"}
MANY = {"day": "days", "week": "weeks", "job": "jobs", "set": "sets", "lot": "lots",
        "sample": "samples"}  # fmt: skip


@pytest.mark.parametrize(
    ("row", "name", "promises"),
    [
        ("O1502", "Prime frames and arms", ["Blasted, primed, top coat"]),
        ("O0604", "Bleed and test brake circuits", ["Brakes rebuilt", "accumulators; tested"]),
    ],
)
def test_a_line_taken_out_takes_its_promise_with_it(job, catalogue, paper, row, name, promises):
    change = ScopeChange(row, "customer does it himself", "P. Holt")
    priced = reckon(replace(job, removed=(change,)), for_class(catalogue, job.machine.class_id))
    text = printed(build_quote(priced, with_options=False)).text
    assert f"Taken out of this scope: {name}" in text
    for words in promises:
        assert words in paper.text
        assert words not in text
    assert "or it leaves marked not to be used" in text


def test_what_was_added_and_what_nobody_looked_at(quote, paper):
    changed = replace(quote, added=("Extract seized pin (each)",), not_looked_at=("Blade", "Hook"))
    page = " ".join(printed(changed).pages[0].split())
    assert "Added: Extract seized pin (each)" in page
    assert "Not looked at, so not priced: Blade; Hook" in page
    assert page.index("Added:") < page.index("NOT included") < page.index("Not looked at")
    for words in ("Added:", "Taken out of this scope", "Not looked at"):
        assert words not in paper.text


STUDS, PINS, PIPES = "Wheel studs broken", "Linkage pin seized", "Pipe ends corroded"


def test_found_work_for_which_nothing_is_held_is_named(quote, paper):
    text = printed(replace(quote, not_held=(STUDS, PINS))).text
    assert f"Agreed first if found, not in this price: {STUDS}; {PINS}" in text
    assert "Agreed first if found" not in paper.text


def test_much_of_it_stands_in_the_annex(quote):
    pages = printed(replace(quote, not_held=(STUDS, PINS, PIPES))).pages
    first = " ".join(pages[0].split())
    page = re.search(r"not in this price: 3 kinds of work named on page (\d)", first)
    assert page is not None
    assert f"not in this price: {STUDS}; {PINS}; {PIPES}" in " ".join(pages[-1].split())
    assert int(page[1]) <= len(pages)


def annex_text(paper):
    """The annex without the running heads and feet of its pages."""
    found = []
    for number, page in enumerate(paper.pages, 1):
        text = " ".join(page.split())
        found.append(text.split(f"Page {number} of {len(paper.pages)} ", 1)[1])
    return " ".join(found).split("all others are firm. ", 1)[1]


def shown(paper_words, line):
    number = f"{line.quantity.normalize():,f}"
    unit = UNITS.get(line.unit, line.unit)
    unit = MANY.get(line.unit, unit) if line.quantity != 1 else unit
    mark = ", provisional" if line.certainty == PROVISIONAL else ""
    return f"{paper_words(line.row.name)}, {number} {unit}{mark}"


def test_the_annex_lists_every_line_once_in_reading_order(quote, paper):
    order = {LABOUR: 0, PARTS: 1, OUTWORK: 2}
    lines = sorted(
        (one.line for one in quote.priced.lines),
        key=lambda line: (line.group, order[line.kind], line.component, line.id),
    )
    expected = []
    for group, members in groupby(lines, key=lambda line: line.group):
        expected.append(quote.priced.cat.groups[group].name)
        expected += [shown(lambda name: " ".join(name.split()), line) for line in members]
    assert len(lines) > 190
    assert annex_text(paper) == " ".join(expected)


def test_no_heading_of_the_annex_ends_a_column(quote, paper):
    names = {one.name for one in quote.priced.cat.groups.values()}
    for page in paper.pages[-2:]:
        assert page.splitlines()[-1].strip() not in names


def test_the_annex_is_about_two_pages_and_where_it_is_said_to_be(quote, paper):
    first = next(
        at
        for at, page in enumerate(paper.pages, 1)
        if "Hours are the hours priced." in " ".join(page.split())
    )
    assert len(paper.pages) - first + 1 <= 2
    assert f"on page {first}." in paper.text
    longer = replace(quote, cautions=quote.cautions * 4)
    moved = printed(longer)
    after = next(
        at
        for at, page in enumerate(moved.pages, 1)
        if "Hours are the hours priced." in " ".join(page.split())
    )
    assert after > first
    assert moved.text.count(f"on page {after}.") == 2  # the first page, and the acceptance


def test_contacts_are_printed(quote):
    text = printed(with_job(
        quote,
        customer=Party("Ostrey", ("Yard",), "+44 0000 000001, plant@example.org"),
        workshop=Party("Tarnbeck", ("Works",), "+44 0000 000002, office@example.org"),
    )).text  # fmt: skip
    assert "Ostrey, Yard, +44 0000 000001, plant@example.org" in text
    assert "Tarnbeck, Works, +44 0000 000002, office@example.org" in text
    assert "To +44 0000 000002, office@example.org." in text


def test_exchange_rates_that_no_line_uses_are_not_printed(quote):
    own = tuple(
        one for one in quote.priced.lines if getattr(one.line.row, "currency", "GBP") == "GBP"
    )
    assert len(own) < len(quote.priced.lines)
    without = replace(quote, priced=replace(quote.priced, lines=own))
    assert "Exchange rates used" not in printed(without).text
