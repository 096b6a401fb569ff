"""The worked job issued and accepted in a record, and its events through the services."""

from __future__ import annotations

import sqlite3
import tempfile
from collections.abc import Sequence
from contextlib import closing
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.contract import events as happened
from estimator.domain.contract.acceptance import CUSTOMER, TO_CUSTOMER, WORKSHOP, Authority
from estimator.domain.contract.following import contract_of
from estimator.domain.money import Money
from estimator.domain.people import Person
from estimator.domain.record import NO_HASH
from estimator.services.accept_quote import Terms, accept_quote
from estimator.services.issue_quote import issue_quote
from estimator.services.open_record import Record, open_record
from estimator.services.record_teardown import receive_machine
from estimator.services.write_contract import Here, act_on, contract_here, write_events
from estimator.storage import job_list
from estimator.storage.change_log import head
from tests.acts.workshop import ESTIMATOR, FOREMAN, MANAGER, NOW, keep_golden

FLEET, FINANCE = "R. Ostrey", "L. Marsh"
GOLDEN_NUMBER, DAY = "Q-2041", NOW.date()
_ISSUED: dict[str, bytes] = {}  # by the catalogue it was issued from


def pounds(amount: int | str) -> Money:
    return Money(int(Decimal(amount) * 100), "GBP")


def golden_terms(**changes: Any) -> Terms:
    """Accepted as the worked job was."""
    plain: dict[str, Any] = {
        "revision": "A",
        "by": FLEET,
        "capacity": "fleet manager",
        "channel": "signed paper",
        "words": "Accepted as quoted, order OA-77318.",
        "on": datetime(2026, 11, 30, 15, 20, tzinfo=UTC),
        "unspent": TO_CUSTOMER,
        "approvers": (
            Authority(FLEET, CUSTOMER, "fleet manager", pounds("5000")),
            Authority(FINANCE, CUSTOMER, "finance controller"),
        ),
        "drawing": (
            Authority(
                MANAGER.name, WORKSHOP, "service manager", pounds("2500"), pounds("15000"),
                blanket=True,
            ),
        ),
        "purchase_order": "OA-77318",
    }  # fmt: skip
    return Terms(**(plain | changes))


def issue_golden(record: Record, catalogue: Catalogue, **changes: object) -> str:
    """The worked job issued. It is priced and printed once in a process: an empty record gets a
    copy of the one it was issued in."""
    with record.reading() as session:
        empty = head(session) == NO_HASH and not job_list.count_jobs(session, job_list.Wanted(DAY))
    if changes or not empty:
        return _issue(record, catalogue, **changes)
    key = catalogue.fingerprint
    if key not in _ISSUED:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "record.db"
            with open_record(path, NOW) as first:
                _issue(first, catalogue)
            _ISSUED[key] = path.read_bytes()
    _copy_into(record, _ISSUED[key])
    return GOLDEN_NUMBER


def _issue(record: Record, catalogue: Catalogue, **changes: object) -> str:
    number = keep_golden(record, **changes)
    issue_quote(record, number, catalogue, ESTIMATOR, MANAGER, NOW, adopt_why="for the test")
    return number


def _copy_into(record: Record, content: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "record.db"
        path.write_bytes(content)
        here = record.database.engine.url.database
        with closing(sqlite3.connect(path)) as source, closing(sqlite3.connect(here)) as target:
            source.backup(target)


def accept_golden(record: Record, catalogue: Catalogue, **changes: Any) -> str:
    number = issue_golden(record, catalogue)
    accept_quote(record, number, golden_terms(**changes), ESTIMATOR, NOW)
    return number


def arrived(record: Record, number: str, now: datetime = NOW) -> str:
    """The machine came in: nothing is opened before. The job's number."""
    receive_machine(record, number, "two keys, fuel 40 %", FOREMAN, now)
    return number


def add(record: Record, number: str, event: happened.Event, now: datetime = NOW) -> Here:
    """An event as it is, through the same door as every act."""
    return act_on(record, number, "tested", lambda _here: [event], now)


def written_before(
    record: Record, number: str, events: Sequence[happened.Event], now: datetime
) -> None:
    """Events as an earlier version of the program wrote them: nothing is asked that came later."""
    with record.writing() as session:
        kept, here = contract_here(session, number)
        after = contract_of([*here.contract.events, *events])
        before = len(here.contract.events)
        write_events(session, kept, after, before, events, "lived", now, here.job)


def somebody(name: str, role: str) -> Person:
    return Person(name, name, role, True)
