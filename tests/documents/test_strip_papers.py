"""The strip report and the stop after teardown, read back."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.documents.contract.declined_list import declined_pdf
from estimator.documents.contract.ledger_statement import ledger_pdf
from estimator.documents.contract.stop_paper import stop_pdf
from estimator.documents.contract.strip_report import strip_pdf
from estimator.domain.contract.events import BOXED_RETURN, StopDecided
from estimator.domain.contract.strip_papers import ReadingRow
from estimator.domain.money import Money
from estimator.services.errors import Conflict
from estimator.services.ledger_paper import ledger_statement
from estimator.services.paper_parts import Sources
from estimator.services.strip_paper import stop_paper, strip_report
from estimator.services.variation_paper import declined_list
from tests.documents.contract_sources import (
    FIGURE,
    events_until,
    expected,
    figure,
    golden_work,
    picture,
    sources_at,
    sources_of,
    sums_after,
)
from tests.documents.read_back import boxes, inside_and_apart, read_back


@pytest.mark.parametrize("line", ["E04", "E15", "E30"])
def test_the_strip_report_counts_what_is_still_closed(line):
    report = strip_report(sources_at(line))
    lines = read_back(strip_pdf(report)).lines
    closed = int(expected(line)["exposed_parts_closed_not_yet_opened"])
    assert lines[lines.index("Parts still closed") + 1] == str(closed)
    assert len(report.unmeasured) == int(expected(line)["provisional_lines_not_yet_measured"])


def test_the_strip_reports_sums_are_its_variations():
    report = strip_report(sources_at("E30"))
    lines = read_back(strip_pdf(report)).lines
    rows = lines[lines.index("What it comes to") : lines.index("Variations with a price")]
    shown = [figure(one) for one in rows if FIGURE.fullmatch(one)]
    assert len(shown) == 18
    (total,) = sums_after(lines, "What it comes to", "Variations with a price")
    assert sum(shown) == total
    assert len(report.components) == len({one.name for one in report.components})


def test_readings_stand_against_their_limits():
    report = strip_report(sources_at("E05"))
    row = ReadingRow("Bore, rear", Decimal("90.42"), "mm", Decimal(90), Decimal("90.2"),
                     Decimal("90.4"), "oval", "replace")  # fmt: skip
    unread = replace(row, measured=None, words="not seen", verdict="open")
    first = strip_report(sources_at("E15")).components[0]
    report = replace(report, components=(
        replace(first, readings=(row, unread), ticked=("Hot work",), pictures=(picture(),)),
    ))  # fmt: skip
    data = strip_pdf(report)
    inside_and_apart(boxes(data))
    text = read_back(data).text
    assert "Bore, rear: oval 90.42 mm new 90, rebuild 90.2, service 90.4 replace" in text
    assert "not seen new 90, rebuild 90.2, service 90.4 not settled" in text
    assert "Cautions ticked before opening: Hot work." in text


def test_stopping_costs_what_the_quote_said():
    priced, _ = golden_work()
    lines = read_back(stop_pdf(stop_paper(sources_at("E15")))).lines
    shown = [figure(one) for one in lines if FIGURE.fullmatch(one)]
    boxed, boxed_tax, _, back, back_tax, _ = shown[:6]
    assert (boxed, back) == (2823, 17935)
    assert (boxed_tax, back_tax) == (boxed * Decimal("1.2"), back * Decimal("1.2"))
    text = " ".join(lines)
    for words in ("It may not be possible to restore the machine", "Free for 14 days",
                  "7 January 2027", "We stop here", "Not to be used.", "V04 rev 1"):  # fmt: skip
        assert words in text
    assert priced.job.terms.storage_free_days == 14


def stopped_at(line: str, way: str = BOXED_RETURN) -> Sources:
    """The contract stopped right after a line of its events."""
    events = events_until(line)
    stop = StopDecided(
        at=events[-1].at, who="R. Ostrey", capacity="fleet manager", side="customer",
        words="Stop here.", way=way, amount=Money(282300, "GBP"), strip=Money(1395000, "GBP"),
    )  # fmt: skip
    return sources_of([*events, stop], date(2027, 1, 6))


def test_the_whole_job_by_each_way_adds_up_and_is_what_a_stop_makes_it():
    lines = read_back(stop_pdf(stop_paper(sources_at("E15")))).lines
    start = lines.index("What the whole job comes to then")
    shown = [figure(one) for one in lines[start:] if FIGURE.fullmatch(one.replace("£", ""))]
    strip, back, whole, gross = shown[:4]
    assert strip + back == whole
    assert gross == whole * Decimal("1.2")
    other = shown[4:8]
    assert other[0] + other[1] == other[2]
    assert whole == stopped_at("E15").here.contract.current_sum.amount - 13950 + strip


def test_after_a_stop_the_papers_tell_it():
    sources = stopped_at("E15")
    text = read_back(stop_pdf(stop_paper(sources))).text
    assert "The job was stopped here" in text
    assert "\u201cStop here.\u201d" in text
    assert "Signature" not in text
    paper = ledger_statement(sources)
    lines = read_back(ledger_pdf(paper)).lines
    rows = lines[lines.index("How the sum comes about") : lines.index("The contingency")]
    *parts, total = [figure(one) for one in rows if FIGURE.fullmatch(one.replace("£", ""))]
    assert sum(parts) == total == sources.here.contract.current_sum.amount
    end = lines.index("Left", lines.index("The contingency"))
    rows = lines[lines.index("The contingency") : end + 2]
    *parts, left = [figure(one) for one in rows if FIGURE.fullmatch(one.replace("£", ""))]
    assert sum(parts) == left == 0
    listed = read_back(declined_pdf(declined_list(sources))).text
    assert "Answer on record: stopped by R. Ostrey, fleet manager on 5 January 2027" in listed
    assert "Nobody answered" not in listed


def test_what_is_handed_over_is_stopped_no_more():
    with pytest.raises(Conflict, match="handed over"):
        stop_paper(sources_of(events_until("E38"), date(2027, 3, 10)))
