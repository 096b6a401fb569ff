"""Small contracts for the tests: acceptance, variations and answers, with plain sums."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

from estimator.domain.contract import events as happened
from estimator.domain.contract.acceptance import (
    CUSTOMER,
    TO_CUSTOMER,
    WHOLE,
    WORKSHOP,
    Acceptance,
    Authority,
)
from estimator.domain.contract.admission import admit
from estimator.domain.contract.contract import Contract
from estimator.domain.contract.following import follow
from estimator.domain.contract.forms import NAMED
from estimator.domain.contract.variation import CONTINGENCY, HIDDEN, Range, Variation, VariationLine
from estimator.domain.money import Money

START = datetime(2026, 12, 1, 8, 0, tzinfo=UTC)
ESTIMATOR, MANAGER, FLEET, FINANCE = "P. Holt", "J. Tarn", "R. Ostrey", "L. Marsh"


def pounds(amount: int | str) -> Money:
    """Whole pounds, or pounds and pence as text."""
    return Money(int(Decimal(amount) * 100), "GBP")


def acceptance(**changes: Any) -> Acceptance:
    """100,000 with 12,000 held; 1,000 each and 3,000 in all for the manager, 5,000 for the fleet
    manager, no limit for finance."""
    whole = Acceptance(
        revision="A",
        extent=WHOLE,
        commercial_form=NAMED,
        contract_sum=pounds(100_000),
        contingency=pounds(12_000),
        unspent=TO_CUSTOMER,
        authorities=(
            Authority(
                MANAGER, WORKSHOP, "service manager", pounds(1000), pounds(3000), blanket=True
            ),
            Authority(FLEET, CUSTOMER, "fleet manager", pounds(5000)),
            Authority(FINANCE, CUSTOMER, "finance controller"),
        ),
    )
    return replace(whole, **changes)


def line(amount: int, part: str = "") -> VariationLine:
    """A line of a variation."""
    nothing = Decimal(0)
    return VariationLine(
        part, "parts", "parts", Decimal(1), "each", "", nothing, "GBP", "A", pounds(amount)
    )


def variation(number: str = "V01", amount: int | None = 500, **changes: Any) -> Variation:
    """A finding funded by the contingency; a range of 400 to 900 where `amount` is None."""
    found = Variation(
        number=number, revision=0, found_at=START, finder="D. Wray", component="C05",
        location="rear axle, right", title="Planet pins worn", cause=HIDDEN, end=CONTINGENCY,
        priced_by=ESTIMATOR, lines=() if amount is None else (line(amount),),
        range=Range(pounds(400), pounds(600), pounds(900)) if amount is None else None,
        consequence="the gears fail under load",
    )  # fmt: skip
    return replace(found, **changes)


class Life:
    """A contract that grows by one event at a time, an hour apart."""

    def __init__(self, **accepted: Any) -> None:
        self.at = START
        self.contract: Contract = follow(None, self._event(happened.Accepted, who=FLEET,
                                         acceptance=acceptance(**accepted)))  # fmt: skip

    def _event(self, kind: type[Any], who: str = ESTIMATOR, **rest: Any) -> Any:
        self.at = self.at + timedelta(hours=1)
        return kind(at=self.at, who=who, **rest)

    def add(self, kind: type[Any], who: str = ESTIMATOR, **rest: Any) -> Contract:
        """One more event. Raises CannotFollow; the contract stays as it is then."""
        self.contract = follow(self.contract, self._event(kind, who, **rest))
        return self.contract

    def raise_(self, amount: int | None = 500, **changes: Any) -> str:
        """Raise the next variation; its number."""
        number = self.contract.next_number
        self.add(happened.Raised, variation=variation(number, amount, **changes))
        return number

    def revise(self, number: str, amount: int, **changes: Any) -> None:
        """The next revision of a variation, priced."""
        case = self.contract.case(number)
        again = replace(
            case.variation, revision=case.variation.revision + 1, lines=(line(amount),),
            range=None, **changes,
        )  # fmt: skip
        self.add(happened.Revised, variation=again)

    def move(self, number: str, act: str, **rest: Any) -> None:
        """A step of its newest revision that is no answer."""
        revision = self.contract.case(number).variation.revision
        self.add(happened.Moved, number=number, revision=revision, act=act, **rest)

    def answer(self, number: str, act: str, who: str = FLEET, **rest: Any) -> None:
        """An answer to its newest revision."""
        revision = rest.pop("revision", self.contract.case(number).variation.revision)
        rest.setdefault("proved", who == MANAGER)
        self.add(happened.Decided, who=who, number=number, revision=revision, act=act, **rest)

    def agreed(self, amount: int = 500, **changes: Any) -> str:
        """A variation raised, issued and approved by finance; its number."""
        number = self.raise_(amount, **changes)
        self.move(number, "issue")
        self.answer(number, "approve", FINANCE)
        return number


class WrittenLife(Life):
    """A life whose events are asked what a record asks before it writes them."""

    def add(self, kind: type[Any], who: str = ESTIMATOR, **rest: Any) -> Contract:
        """One more event. Raises CannotFollow; the contract stays as it is then."""
        event = self._event(kind, who, **rest)
        admit(self.contract, event)
        self.contract = follow(self.contract, event)
        return self.contract
