"""A contract's ledger from the raw rows of a record's file, with sqlite3, json and pandas alone.

Nothing of the program is used here. The rules are those of the form *base and named contingency*,
as the job notes state them: current sum = contract sum + remeasured + authorised - contingency
returned + exchange units; left = held - drawn - given back. After a stop the sum is that of strip
and report, of work released or done, of exchange units and of the way back.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

import pandas as pd

YES = {"approve", "approve in part"}
BEGUN = {"release", "finish"}


def rows_of(path: Path, table: str) -> pd.DataFrame:
    """A table of the record's file as it is."""
    with closing(sqlite3.connect(path)) as connection:
        return pd.read_sql_query(f"select * from {table}", connection)


def plain(value: Any) -> Any:
    """What the JSON of an event tells: money as pounds, rows as lists, values as dictionaries."""
    if not isinstance(value, dict):
        return value
    ((kind, content),) = value.items()
    if kind == "money":
        return Decimal(content[0]) / 100
    if kind == "decimal":
        return Decimal(content)
    if kind == "row":
        return [plain(one) for one in content]
    if isinstance(content, dict):
        return {name: plain(one) for name, one in content.items()}
    return content


def events_of(path: Path) -> pd.DataFrame:
    """Events in their order: place, kind, body (decoded), sha256 of what is kept."""
    frame = rows_of(path, "contract_event").sort_values("place", ignore_index=True)
    bodies = [json.loads(body) for body in frame["body"]]
    frame["told"] = [plain(body) for body in bodies]
    frame["sha256"] = [hashlib.sha256(body.encode()).hexdigest() for body in frame["body"]]
    return frame[["place", "kind", "told", "sha256"]]


def logged(path: Path) -> pd.DataFrame:
    """What the change log says of each event: its kind and hash, in the log's order."""
    log = rows_of(path, "change_log").sort_values("number")
    after = [json.loads(text) if text else {} for text in log["after"]]
    frame = pd.DataFrame(
        [(one["event"], one["sha256"]) for one in after if "event" in one],
        columns=["kind", "sha256"],
    )
    return frame.reset_index(drop=True)


@dataclass(frozen=True)
class Sums:
    """The ledger's figures in pounds before tax, and what each component drew."""

    contract_sum: Decimal
    held: Decimal
    remeasured: Decimal
    authorised: Decimal
    drawn: Decimal
    given_back: Decimal  # before the end
    exchange: Decimal
    returned: Decimal
    left: Decimal
    current_sum: Decimal
    by_component: pd.Series  # drawn


def sums_of(events: pd.DataFrame) -> Sums:
    """The ledger of a contract's events."""
    told = {
        kind: list(frame.itertuples(index=False)) for kind, frame in events.groupby("kind")
    }  # fmt: skip
    accepted = told["Accepted"][0].told["acceptance"]
    stopped = told.get("StopDecided", [])
    funded = _funded(events, accepted["contingency"])
    if stopped:
        begun = {
            one.told["number"] for one in told.get("Moved", []) if one.told["act"] in BEGUN
        }  # fmt: skip
        funded = funded[funded["number"].isin(begun)]
    measured = _measured(events)
    given_back = sum((one.told["amount"] for one in told.get("ContingencyReturned", [])), Decimal())
    exchange = sum((one.told["charge"] for one in told.get("ExchangeSettled", [])), Decimal())
    held, drawn = accepted["contingency"], _total(funded["drawn"])
    unspent = held - drawn - given_back
    over = "HandedOver" in told or bool(stopped)
    authorised, remeasured = _total(funded["on_contract"]), _total(measured["change"])
    returned = given_back
    if stopped:
        stop = stopped[0].told
        current = stop["strip"] + stop["amount"] + drawn + authorised + exchange
    else:
        if "HandedOver" in told:
            assert accepted["unspent"] == "to the customer"
            returned = given_back + unspent
        current = accepted["contract_sum"] + remeasured + authorised - returned + exchange
    return Sums(
        accepted["contract_sum"], held, remeasured, authorised, drawn, given_back, exchange,
        returned, Decimal(0) if over else unspent, current,
        funded.groupby("component")["drawn"].sum(),
    )  # fmt: skip


def _total(column: pd.Series) -> Decimal:
    return sum(column, Decimal())


def _revisions(events: pd.DataFrame) -> pd.DataFrame:
    """Every line of every revision of every variation."""
    rows = []
    for one in events[events["kind"].isin(["Raised", "Revised"])].itertuples(index=False):
        variation = one.told["variation"]
        named = {name: variation[name] for name in ("number", "revision", "end", "component")}
        for place, line in enumerate(variation["lines"]):
            rows.append({**named, "line": place, "amount": line["amount"]})
    return pd.DataFrame(rows, columns=["number", "revision", "end", "component", "line", "amount"])


def _funded(events: pd.DataFrame, held: Decimal) -> pd.DataFrame:
    """What each approval drew from the contingency, and what it put on the contract sum."""
    lines = _revisions(events)
    left, rows = held, []
    for one in events.itertuples(index=False):
        if one.kind == "ContingencyReturned":
            left -= one.told["amount"]
        if one.kind != "Decided" or one.told["act"] not in YES:
            continue
        asked = lines[
            (lines["number"] == one.told["number"]) & (lines["revision"] == one.told["revision"])
        ]
        if one.told["act"] == "approve in part":
            asked = asked[asked["line"].isin(one.told["lines"])]
        amount = _total(asked["amount"])
        first = asked.iloc[0]
        drawn = min(amount, left) if first["end"] == "contingency" else Decimal(0)
        left -= drawn
        rows.append((first["number"], first["component"], drawn, amount - drawn))
    return pd.DataFrame(rows, columns=["number", "component", "drawn", "on_contract"])


def _measured(events: pd.DataFrame) -> pd.DataFrame:
    """The newest measure of each line: at the bench at once, of a variation once it is agreed."""
    shown: dict[tuple[str, int], list[dict[str, Any]]] = {}
    rows = []
    for one in events.itertuples(index=False):
        found: list[dict[str, Any]] = []
        if one.kind in ("Raised", "Revised"):
            variation = one.told["variation"]
            shown[variation["number"], variation["revision"]] = variation["remeasured"]
        elif one.kind == "Opened":
            found = one.told["measured"]
        elif one.kind == "Decided" and one.told["act"] == "agree":
            found = shown[one.told["number"], one.told["revision"]]
        rows += [(each["row_id"], each["after"] - each["before"]) for each in found]
    frame = pd.DataFrame(rows, columns=["line", "change"])
    return frame.drop_duplicates("line", keep="last")
