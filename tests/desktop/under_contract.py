"""The worked job under contract, in the middle of its teardown, for pages that come after an
acceptance."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from estimator.domain.contract import events as happened
from estimator.domain.contract.variation import CONTINGENCY, HIDDEN, Range, Variation
from estimator.domain.people import ESTIMATOR, SERVICE_MANAGER
from estimator.services.accept_quote import accept_quote
from estimator.services.enrol_person import enrol_person, person_named
from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_record import Record, open_record
from estimator.services.vary_contract import raise_variation
from estimator.services.work_out_contract import read_contract
from estimator.services.write_contract import act_on
from tests.acts import workshop as people
from tests.acts.contracts import golden_terms, issue_golden, pounds
from tests.desktop.conftest import HOLT, MANAGER, NOW, PASSPHRASE, settle, wait_for
from tests.golden.golden_contract import golden_events

NUMBER = "Q-2041"
GOLDEN = Path(__file__).parent.parent / "golden" / "catalogue"
LATE = datetime(2027, 1, 14, 9, 30, tzinfo=UTC)
FROM_HERE_ON = "E21"  # line of the worked job's file that has not happened yet
ANSWER_IN = timedelta(days=7)


def build(path: Path) -> None:
    """A record with the job issued by its own catalogue, accepted, opened up to the rear axle, with
    eleven variations, the last with the customer."""
    with open_record(path, NOW) as record:
        issue_golden(record, open_catalogue(GOLDEN))
        manager = enrol_person(record, MANAGER, SERVICE_MANAGER, PASSPHRASE, None, NOW)
        enrol_person(record, HOLT, ESTIMATOR, PASSPHRASE, manager, NOW)
        accept_quote(record, NUMBER, golden_terms(), people.ESTIMATOR, NOW)
        for event in events(record):
            act_on(record, NUMBER, "tested", lambda _here, one=event: [one], event.at)


def events(record: Record) -> Iterator[happened.Event]:
    """What happened after the acceptance; each variation that is issued names a day."""
    for line, several in golden_events(read_contract(record, NUMBER).work, pounds(31_317)):
        if line == FROM_HERE_ON:
            return
        for one in several if line not in ("E01", "E02") else ():
            if isinstance(one, happened.Moved) and one.act == "issue":
                one = replace(one, answer_by=(one.at + ANSWER_IN).date())  # noqa: PLW2901
            yield one


def raise_worst(record: Record, worst: str, longest: str) -> str:
    """A variation with the worst and longest of texts that people type or paste; its number."""
    one = Variation(
        number="", revision=0, found_at=LATE, finder=longest[:60], component="C12A",
        location=longest, title=worst, cause=HIDDEN, end=CONTINGENCY, measured=worst,
        range=Range(pounds(100), pounds(900), pounds(40_000)), safety=True, consequence=longest,
        not_seen_before=longest,
    )  # fmt: skip
    raise_variation(record, NUMBER, one, person_named(record, HOLT), LATE)
    return str(list(read_contract(record, NUMBER).contract.cases)[-1])


def open_late(window: Any) -> Any:
    """The window on the job's variations, at the time of the record, with the forecast there."""
    window.workshop.now = lambda: LATE
    window.open_job(NUMBER, "variations")
    wait_for(lambda: window.page_key == "variations" and window.desk.contract.fresh)
    settle(None, window)
    return window
