"""The calendar of a quote read by an independent parser (icalendar, BSD-2) against RFC 5545."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from icalendar import Calendar

from estimator.documents.files.quote_calendar import quote_calendar
from estimator.domain.milestones import MILESTONES, milestones
from tests.documents.file_sources import file_quote, golden_quote, hostile_quote


def events(data: bytes):
    calendar = Calendar.from_ical(data)
    assert not calendar.errors
    assert calendar["METHOD"] == "PUBLISH"
    assert calendar["VERSION"] == "2.0"
    found = calendar.walk("VEVENT")
    assert not [one.errors for one in found if one.errors]
    return found


def with_revision(revision: str):
    quote = golden_quote()
    job = replace(quote.priced.job, revision=revision)
    return file_quote(replace(quote, priced=replace(quote.priced, job=job)))


def test_each_milestone_is_a_whole_day():
    found = events(quote_calendar(file_quote()))
    wanted = milestones(golden_quote())
    assert [one.key for one in wanted] == list(MILESTONES)
    assert len(found) == len(wanted)
    for event, one in zip(found, wanted, strict=True):
        assert event.decoded("DTSTART") == one.day
        assert event.decoded("DTEND") == one.day + timedelta(days=1)  # the end is not in it
        assert event["DTSTART"].params["VALUE"] == "DATE"
        assert event.decoded("DTSTAMP") == datetime(2026, 11, 25, 12, 30, tzinfo=UTC)
        assert str(event["SUMMARY"]).endswith("Q-2041 rev A")
        assert "serial WL28-00417" in str(event["DESCRIPTION"])
    assert {str(one["STATUS"]) for one in found[:-1]} == {"TENTATIVE"}
    assert found[-1]["STATUS"] == "CONFIRMED"
    assert len({str(one["UID"]) for one in found}) == len(found)


def test_a_revision_moves_the_same_events():
    first, second = (events(quote_calendar(with_revision(one))) for one in ("A", "C"))
    assert [one["UID"] for one in first] == [one["UID"] for one in second]
    assert {one["SEQUENCE"] for one in first} == {0}
    assert {one["SEQUENCE"] for one in second} == {2}
    assert {one["SEQUENCE"] for one in events(quote_calendar(with_revision("AA")))} == {26}
    other = replace(golden_quote().priced.job, number="Q-2042")
    quote = replace(golden_quote(), priced=replace(golden_quote().priced, job=other))
    assert not {one["UID"] for one in events(quote_calendar(file_quote(quote)))} & {
        one["UID"] for one in first
    }


def test_lines_are_folded_at_75_octets_and_no_character_is_cut():
    for quote in (golden_quote(), hostile_quote()):
        data = quote_calendar(file_quote(quote))
        assert data.endswith(b"\r\n")
        assert data.count(b"\n") == data.count(b"\r") == data.count(b"\r\n")
        for line in data.split(b"\r\n"):
            assert len(line) <= 75
            line.decode()


def test_text_comes_back_as_it_was():
    quote = golden_quote()
    name = 'Grube; "Süd", \\Nord\\n \u91cd\u673a' + "\u0416" * 90
    job = replace(quote.priced.job, workshop=replace(quote.priced.job.workshop, name=name))
    changed = replace(quote, priced=replace(quote.priced, job=job))
    for event in events(quote_calendar(file_quote(changed))):
        assert str(event["DESCRIPTION"]).endswith(f"From {name}.")


def test_hostile_text_adds_no_event():
    data = quote_calendar(file_quote(hostile_quote()))
    assert len(events(data)) == len(MILESTONES)
    assert data.count(b"BEGIN:VEVENT\r\n") == len(MILESTONES)


def test_same_quote_same_bytes_in_any_zone():
    data = quote_calendar(file_quote())
    assert data == quote_calendar(file_quote())
    draft = events(quote_calendar(file_quote(issued=False)))
    assert {str(one["STATUS"]) for one in draft} == {"TENTATIVE"}
    with pytest.raises(ValueError, match="stamped in a zone"):
        quote_calendar(file_quote(at=datetime(2026, 11, 25)))
