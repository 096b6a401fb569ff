"""The ledger's identities, reckoned again from the raw rows of a record's file.

The golden contract lived through the services and three lives that chance gives; every figure the
program tells of them against `raw_ledger`, which uses nothing of the program (rules: the job notes
beside the golden files; figures of the golden contract: `expected_ledger.csv`, worked by hand).
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

import pandas as pd
import pytest

from estimator.domain.contract.ledger import LedgerRow
from estimator.domain.money import Money
from estimator.services.open_record import open_record
from estimator.services.read_ledger import LedgerRead, read_ledger
from estimator.services.settle_contract import read_account
from estimator.services.verify_record import verify_record
from estimator.services.work_out_contract import read_contract
from tests.acts.accepted import GOLDEN_CATALOGUE, accepted_at
from tests.acts.contracts import written_before
from tests.acts.workshop import LATER, NOW
from tests.checks.contract_lives import RandomLife
from tests.checks.raw_ledger import Sums, events_of, logged, rows_of, sums_of
from tests.golden.golden_contract import golden_events
from tests.golden.golden_job import EXPECTED

RANDOM = {"seed 11": (11, "hand over"), "seed 12": (12, ""), "seed 13": (13, "stop")}
LIVES = ("golden", *RANDOM)


@dataclass(frozen=True)
class Lived:
    """A life in a file, and what the program tells of it."""

    path: Path
    ledger: LedgerRead
    account: Decimal
    raw: Sums


def in_pounds(money: Money) -> Decimal:
    return money.amount


@pytest.fixture(scope="module", params=LIVES)
def lived(request, tmp_path_factory) -> Lived:
    path = tmp_path_factory.mktemp("life") / "record.db"
    number = accepted_at(path)
    with open_record(path, NOW) as record:
        if request.param == "golden":
            here = read_contract(record, number)
            for line, events in golden_events(here.work, here.contract.acceptance.contingency):
                if line != "E02":  # accepted in the record by then
                    written_before(record, number, events, events[-1].at)
        else:
            seed, end = RANDOM[request.param]
            life = RandomLife(record, number, seed)
            life.live(130, end)
        ledger = read_ledger(record, number, every=request.param == "golden")
        net = read_account(record, number).net
        assert verify_record(record).faults == ()
    return Lived(path, ledger, in_pounds(net), sums_of(events_of(path)))


def test_the_life_is_worth_looking_at(lived):
    raw = lived.raw
    assert len(events_of(lived.path)) > 40
    assert raw.drawn > 0
    assert raw.authorised > 0
    assert raw.remeasured != 0


def test_every_sum_of_the_newest_row(lived):
    row, raw = lived.ledger.now.row, lived.raw
    told = {
        "contract sum": row.contract_sum, "held": row.held, "drawn": row.drawn, "left": row.left,
        "authorised": row.authorised, "remeasured": row.remeasured, "exchange": row.exchange,
        "returned": row.returned, "current": row.current_sum,
    }  # fmt: skip
    assert {name: in_pounds(sum_) for name, sum_ in told.items()} == {
        "contract sum": raw.contract_sum, "held": raw.held, "drawn": raw.drawn, "left": raw.left,
        "authorised": raw.authorised, "remeasured": raw.remeasured, "exchange": raw.exchange,
        "returned": raw.returned, "current": raw.current_sum,
    }  # fmt: skip


def test_the_identity_of_the_sum_holds_in_the_program_s_own_figures(lived):
    for row in lived.ledger.rows:
        assert identity(row) == row.current_sum


def identity(row: LedgerRow) -> Money:
    return (
        row.contract_sum + row.remeasured + row.authorised - row.returned + row.exchange
        + row.stopped
    )  # fmt: skip


def test_what_is_left(lived):
    raw = lived.raw
    assert raw.drawn + raw.given_back <= raw.held
    over = lived.ledger.now.here.state in ("handed over", "closed", "stopped")
    assert in_pounds(lived.ledger.now.row.left) == (
        0 if over else raw.held - raw.drawn - raw.given_back
    )


def test_the_account_s_net(lived):
    assert lived.account == lived.raw.current_sum


def test_drawn_by_component_group(lived):
    components = pd.read_csv(GOLDEN_CATALOGUE / "components.csv", dtype=str, keep_default_na=False)
    group_of = dict(zip(components["id"], components["group"], strict=True))
    drawn = lived.raw.by_component
    by_group = drawn.groupby(lambda component: group_of.get(component, "")).sum()
    wanted = {group: sum_ for group, sum_ in by_group.items() if sum_}
    table = lived.ledger.groups
    told = {line.id: in_pounds(line.drawn) for line in table.lines if line.drawn}
    assert told == wanted
    assert in_pounds(table.drawn) == lived.raw.drawn
    assert in_pounds(table.held) == lived.raw.held


def test_what_is_kept_for_lists(lived):
    (row,) = rows_of(lived.path, "contract").to_dict("records")
    assert row["events"] == len(events_of(lived.path))
    kept = {name: Decimal(row[name]) / 100 for name in ("current_sum", "held", "left")}
    raw = lived.raw
    assert kept == {"current_sum": raw.current_sum, "held": raw.held, "left": raw.left}


def test_the_change_log_tells_every_event_in_its_order(lived):
    events, log = events_of(lived.path), logged(lived.path)
    pd.testing.assert_frame_equal(events[["kind", "sha256"]], log)
    assert list(events["place"]) == list(range(1, len(events) + 1))


def test_the_golden_contract_line_by_line(tmp_path):
    """Left and current sum after each line of the file, as they were worked by hand."""
    number = accepted_at(tmp_path / "record.db")
    wanted = pd.read_csv(EXPECTED / "expected_ledger.csv", dtype=str).set_index("event")
    with open_record(tmp_path / "record.db", LATER) as record:
        here = read_contract(record, number)
        for line, events in golden_events(here.work, here.contract.acceptance.contingency):
            if line != "E02":
                written_before(record, number, events, events[-1].at)
            raw = sums_of(events_of(tmp_path / "record.db"))
            row = wanted.loc[line]
            assert raw.left == Decimal(row["left_GBP"]), line
            assert raw.current_sum == Decimal(row["current_sum_GBP"]), line
            assert raw.drawn == Decimal(row["drawn_GBP"]), line
