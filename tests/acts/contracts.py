"""The worked job issued and accepted in a record, and its events through the services."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.contract import events as happened
from estimator.domain.contract.acceptance import CUSTOMER, TO_CUSTOMER, WORKSHOP, Authority
from estimator.domain.money import Money
from estimator.domain.people import Person
from estimator.services.accept_quote import Terms, accept_quote
from estimator.services.issue_quote import issue_quote
from estimator.services.open_record import Record
from estimator.services.write_contract import Here, act_on
from tests.acts.workshop import ESTIMATOR, MANAGER, NOW, keep_golden

FLEET, FINANCE = "R. Ostrey", "L. Marsh"


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
    number = keep_golden(record, **changes)
    issue_quote(record, number, catalogue, ESTIMATOR, MANAGER, NOW, adopt_why="for the test")
    return number


def accept_golden(record: Record, catalogue: Catalogue, **changes: Any) -> str:
    number = issue_golden(record, catalogue)
    accept_quote(record, number, golden_terms(**changes), ESTIMATOR, NOW)
    return number


def add(record: Record, number: str, event: happened.Event, now: datetime = NOW) -> Here:
    """An event as it is, through the same door as every act."""
    return act_on(record, number, "tested", lambda _here: [event], now)


def somebody(name: str, role: str) -> Person:
    return Person(name, name, role, True)
