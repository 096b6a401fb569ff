"""The golden job's events as the program's own, read from the file worked by hand.

One line of the file may be several events: a component opened, a variation raised on what it
showed, and the answer, all at one time.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

from estimator.domain.contract import events as happened
from estimator.domain.contract.acceptance import (
    CUSTOMER,
    TO_CUSTOMER,
    WHOLE,
    WORKSHOP,
    Acceptance,
    Authority,
)
from estimator.domain.contract.forms import NAMED
from estimator.domain.contract.remeasure import remeasured_line
from estimator.domain.contract.variation import (
    BY_SUPPLIER,
    BY_WORKSHOP,
    CONTINGENCY,
    CONTRACT_SUM,
    HIDDEN,
    MEASURED,
    OUTSIDE,
    OWN_ERROR,
    REMEASURED,
    REQUEST,
    SUPPLIERS,
    Range,
    Remeasured,
    Variation,
    VariationLine,
)
from estimator.domain.money import Money
from estimator.domain.priced_work import PricedWork

FILES = Path(__file__).parent / "contract"
MANAGER, FLEET, FINANCE = "J. Tarn", "R. Ostrey", "L. Marsh"
ENDS = {
    "contingency": (CONTINGENCY, HIDDEN),
    "outside scope": (CONTRACT_SUM, OUTSIDE),
    "customer's request": (CONTRACT_SUM, REQUEST),
    "workshop": (BY_WORKSHOP, OWN_ERROR),
    "supplier": (BY_SUPPLIER, SUPPLIERS),
    "remeasured": (REMEASURED, MEASURED),
}
CANNOT = ("cannot be declined",)


def rows_of(name: str) -> list[dict[str, str]]:
    """The rows of one of the contract's files."""
    with (FILES / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def pounds(text: str) -> Money:
    """A sum in whole pounds, or pounds and pence."""
    return Money(int(Decimal(text) * 100), "GBP")


def accepted(work: PricedWork, contingency: Money, unspent: str = TO_CUSTOMER) -> Acceptance:
    """The acceptance of revision A, with the authorities of the file."""
    return Acceptance(
        revision="A",
        extent=WHOLE,
        commercial_form=NAMED,
        contract_sum=work.firm + work.provisional + contingency,
        contingency=contingency,
        unspent=unspent,
        authorities=(
            Authority("D. Wray", WORKSHOP, "foreman", pounds("0"), pounds("0")),
            Authority(
                MANAGER, WORKSHOP, "service manager", pounds("2500"), pounds("15000"), blanket=True
            ),
            Authority(FLEET, CUSTOMER, "fleet manager", pounds("5000")),
            Authority(FINANCE, CUSTOMER, "finance controller"),
        ),
        purchase_order="OA-77318",
    )


def golden_events(
    work: PricedWork, contingency: Money, unspent: str = TO_CUSTOMER
) -> Iterator[tuple[str, tuple[happened.Event, ...]]]:
    """(line of the file, the events it stands for), from the acceptance on."""
    lines = _variation_lines()
    components: dict[str, str] = {}
    for row in rows_of("events.csv"):
        if row["kind"] == "quote issued":
            continue
        yield row["id"], tuple(_events(row, work, contingency, unspent, lines, components))


def _variation_lines() -> dict[tuple[str, int], list[VariationLine]]:
    found: dict[tuple[str, int], list[VariationLine]] = {}
    for row in rows_of("variation_lines.csv"):
        found.setdefault((row["ref"], int(row["revision"])), []).append(
            VariationLine(
                part=row["part"], kind=row["kind"], what=row["what"], quantity=Decimal(row["qty"]),
                unit=row["unit"], trade=row["trade"], unit_cost=Decimal(row["unit_cost"] or 0),
                currency=row["currency"] or "GBP", markup=row["markup_class"],
                amount=pounds(row["amount_GBP"]),
            )
        )  # fmt: skip
    return found


def _events(row, work, contingency, unspent, lines, components) -> Iterator[happened.Event]:
    name, _, capacity = row["who"].partition(", ")
    at = datetime.strptime(row["at_utc"], "%Y-%m-%d %H:%M").replace(tzinfo=UTC)
    by = {"at": at, "who": name, "capacity": capacity.split(" (")[0], "channel": row["channel"]}
    by |= {"words": row["words"], "side": CUSTOMER if "(customer)" in row["who"] else WORKSHOP}
    kind, ref = row["kind"], row["ref"]
    if kind == "accepted":
        yield happened.Accepted(**by, acceptance=accepted(work, contingency, unspent))
    elif kind == "received":
        yield happened.Received(**by, note=row["title"])
    elif kind in ("finding", "revised", "decision"):
        yield from _finding(row, work, by, lines, components)
    elif kind == "contingency release":
        yield happened.ContingencyReturned(**by, amount=pounds(row["released_GBP"]))
    elif kind == "stage payment":
        yield happened.StagePaid(**by, name=ref, share=Decimal(row["stage_share"]))
    elif kind == "exchange return":
        yield happened.ExchangeSettled(
            **by, parts=tuple(row["exchange_unit"].split(";")), sent=Decimal(row["sent"]),
            accepted=Decimal(row["accepted"]), charge=pounds(row["exchange_charge_GBP"]),
        )  # fmt: skip
    elif kind == "tests":
        yield happened.Tested(**by, note=row["title"])
    elif kind == "hand-over":
        yield happened.HandedOver(**by, note=row["title"])
    elif kind == "final account":
        yield happened.AccountClosed(**by)
    else:
        raise AssertionError(kind)


def _finding(row, work, by, lines, components) -> Iterator[happened.Event]:
    plain = {"at": by["at"], "who": "P. Holt", "capacity": "estimator"}
    if row["kind"] != "decision":
        yield from _found(row, work, plain, lines, components)
    yield from _answer(row, by, plain)


def _found(row, work, plain, lines, components) -> Iterator[happened.Event]:
    """A component opened, and the variation that what it showed makes."""
    parts, measured = _opened(row, work)
    worn = tuple(part for part, state in parts if state == "worn" and _exposed(part, work))
    again = row["end"].startswith("remeasured")
    if parts or (measured and not again):
        yield happened.Opened(
            **plain, component=row["place"], parts=parts, measured=() if again else tuple(measured)
        )
    key = row["ref"], int(row["revision"])
    variation = _variation(row, worn, lines.get(key, []), measured if again else (), components)
    raised = happened.Raised if row["kind"] == "finding" else happened.Revised
    yield raised(**plain, variation=variation)


def _answer(row, by, plain) -> Iterator[happened.Event]:
    state, name = row["state"], {"number": row["ref"], "revision": int(row["revision"])}
    waits = {
        "waits_activity": row["waits_activity"], "waits_days": Decimal(row["waits_days"] or 0),
    }  # fmt: skip
    by_customer = by["side"] == CUSTOMER
    asked = state == "issued" or (by_customer and row["kind"] != "decision")
    if asked:
        yield happened.Moved(**plain, **name, act="issue")
    if state == "closed":
        yield happened.Moved(**by, **name, act="close")
        if waits["waits_activity"]:
            yield happened.Waited(**by, activity=waits["waits_activity"], days=waits["waits_days"])
    acts = {"approved": "approve", "declined": "decline", "agreed": "agree"}
    if state in acts:
        yield happened.Decided(**by, **name, act=acts[state], proved=not by_customer, **waits)


def _opened(row, work) -> tuple[tuple[tuple[str, str], ...], list[Remeasured]]:
    parts, measured = [], []
    for text in filter(None, row["opened"].replace(",", ";").split(";")):
        part, state = text.split("=")
        parts.append((part, state))
    for text in filter(None, row["measured"].split(";")):
        line, how = text.split("=")
        word, number = how.rsplit(" ", 1)
        by_factor = word in ("factor", "as priced")
        measured.append(remeasured_line(work, line, by_factor, Decimal(number)))
    return tuple(parts), measured


def _exposed(part: str, work: PricedWork) -> bool:
    return part in {one.part for one in work.exposed}


def _variation(row, worn, lines, measured, components) -> Variation:
    ref, revision = row["ref"], int(row["revision"])
    end, cause = ENDS[row["end"].split(" ")[0] if measured else row["end"]]
    known = components.setdefault(ref, ";".join(worn))
    low = row["range_low_GBP"]
    return Variation(
        number=ref, revision=revision, finder="D. Wray", priced_by="P. Holt",
        found_at=datetime.strptime(row["at_utc"], "%Y-%m-%d %H:%M").replace(tzinfo=UTC),
        component="", location=row["place"] or "on the machine", title=row["title"],
        cause=cause, end=end, measured=row["evidence"],
        parts=tuple(filter(None, known.split(";"))), lines=tuple(lines),
        remeasured=tuple(measured),
        range=Range(pounds(low), pounds(row["range_likely_GBP"]), pounds(row["range_high_GBP"]))
        if low else None,
        consequence=row["consequence_of_declining"],
        cannot_be_declined=row["consequence_of_declining"]
        if any(one in row["consequence_of_declining"] for one in CANNOT) else "",
        safety=row["safety"] == "yes",
        workshop_cost=pounds(row["workshop_cost_GBP"]) if row["workshop_cost_GBP"] else None,
    )  # fmt: skip
