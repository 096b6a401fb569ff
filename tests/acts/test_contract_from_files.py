"""Acts on a contract from files: one file one act, refused whole where anything in it is wrong."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from estimator.services.contract_from_files import (
    accept_from_file,
    answer_from_file,
    open_from_file,
    price_from_file,
    raise_from_file,
)
from estimator.services.errors import Conflict, NotAllowed, NotFound, Refused
from estimator.services.open_record import Record, open_record
from estimator.services.vary_contract import Move, move_variation
from estimator.services.work_out_contract import read_contract
from tests.acts.contracts import accept_golden, arrived, issue_golden, pounds
from tests.acts.workshop import ESTIMATOR, INSPECTOR, MANAGER, NOW, VIEWER

LOADER = Path(__file__).parent.parent.parent / "sample_db" / "workshop" / "loader"


@pytest.fixture(scope="module")
def accepted(tmp_path_factory, catalogue) -> Path:
    """A record with the worked job, accepted."""
    path = tmp_path_factory.mktemp("accepted") / "record.db"
    with open_record(path, NOW) as one:
        arrived(one, accept_golden(one, catalogue))
    return path


@pytest.fixture
def record(accepted: Path, tmp_path: Path) -> Iterator[Record]:
    with open_record(Path(shutil.copy(accepted, tmp_path / "record.db")), NOW) as one:
        yield one


@pytest.fixture
def number() -> str:
    return "Q-2041"


def test_an_acceptance_from_a_file(tmp_path, catalogue):
    with open_record(tmp_path / "fresh.db", NOW) as record:
        _accepts(record, issue_golden(record, catalogue), tmp_path)


def _accepts(record, number, tmp_path):
    path = LOADER / "acceptance.toml"
    with pytest.raises(Conflict, match="after that day"):  # the sample's lies before the issue
        accept_from_file(record, number, path, ESTIMATOR, NOW)
    with pytest.raises(NotAllowed):
        accept_from_file(record, number, path, VIEWER, NOW)
    text = path.read_text(encoding="utf-8").replace("2026-10-12T15:20:00Z", "2026-11-30")
    mended = tmp_path / "acceptance.toml"
    mended.write_text(text.replace("limit_each = 2500", "limit_each = 25.005"), encoding="utf-8")
    with pytest.raises(Refused) as refused:
        accept_from_file(record, number, mended, ESTIMATOR, NOW)
    assert refused.value.problems[0].place.column == "[drawing 1] limit_each"
    mended.write_text(text, encoding="utf-8")
    here = accept_from_file(record, number, mended, ESTIMATOR, NOW)
    assert here.contract.acceptance.order_limit == pounds(290_000)
    assert here.contract.authorities["J. Tarn"].blanket


def test_several_components_and_their_worn_parts(record, number):
    here = open_from_file(record, number, LOADER / "transmission.csv", INSPECTOR, NOW)
    assert here.contract.components == ("C03A", "C03B", "C03C", "C03D")
    assert [case.variation.parts for case in here.contract.cases.values()] == [
        ("P-TGR",), ("P-TVB",),
    ]  # fmt: skip
    assert here.contract.case("V02").variation.measured == "bore gauge 0.06 mm over limit"


def test_an_opening_with_a_fault_is_not_half_taken(record, number, tmp_path):
    text = (LOADER / "transmission.csv").read_text(encoding="utf-8")
    path = tmp_path / "t.csv"
    path.write_text(text.replace("C03D,P-THS,sound", "C03D,P-NIL,sound"), encoding="utf-8")
    with pytest.raises(Refused) as refused:
        open_from_file(record, number, path, INSPECTOR, NOW)
    (fault,) = refused.value.problems
    assert (fault.place.file, fault.place.row, fault.place.column) == ("t.csv", 6, "P-NIL")
    assert read_contract(record, number).contract.components == ()
    path.write_text(
        "component,part,state,measure,measured,unit\n"
        "C05A,P-CWF,sound,M0101,104,mm\nC05A,P-AHF,sound,M9999,1,mm\n"
    )
    with pytest.raises(Refused) as refused:
        open_from_file(record, number, path, INSPECTOR, NOW)
    assert [(one.place.row, one.place.column) for one in refused.value.problems] == [
        (2, "unit"), (3, "measure"),
    ]  # fmt: skip


def test_a_reading_goes_with_its_opening(record, number, tmp_path):
    path = tmp_path / "o.csv"
    path.write_text(
        "component,part,state,measure,measured,unit\nC05A,P-CWF,sound,M0101,104,L/min\n"
    )
    here = open_from_file(record, number, path, INSPECTOR, NOW)
    (reading,) = here.contract.events[-1].readings
    assert (reading.measure, str(reading.measured), reading.inspector) == (
        "M0101", "104", INSPECTOR.name,
    )  # fmt: skip


def test_prices_are_the_quotes_own(record, number):
    open_from_file(record, number, LOADER / "transmission.csv", INSPECTOR, NOW)
    price_from_file(record, number, "V01", LOADER / "gears_price.toml", ESTIMATOR, NOW)
    here = price_from_file(record, number, "V02", LOADER / "valve_price.csv", ESTIMATOR, NOW)
    # 4,100 x 0.86 x 1.22 = 4,302; 10 x 79.50; 80 x 1.15 = 92: worked by hand
    gears = here.contract.case("V01").variation
    assert gears.amount("GBP") == pounds(5189)
    assert (gears.range, gears.priced_by, gears.location) == (
        None, ESTIMATOR.name, "transmission, second gear",
    )  # fmt: skip
    assert here.contract.case("V02").variation.amount("GBP") == pounds(1335)
    with pytest.raises(Conflict, match="is at rev 1, not rev 0"):
        price_from_file(
            record, number, "V02", LOADER / "valve_price.csv", ESTIMATOR, NOW, revision=0
        )
    with pytest.raises(NotFound, match="no variation V09"):
        price_from_file(record, number, "V09", LOADER / "valve_price.csv", ESTIMATOR, NOW)


def test_a_trade_that_the_quote_lacks_is_named_by_row(record, number, tmp_path):
    text = (LOADER / "tank.csv").read_text(encoding="utf-8")
    path = tmp_path / "tank.csv"
    path.write_text(text.replace(",BW,", ",ZZ,").replace(",310,C", ",310,Z"), encoding="utf-8")
    with pytest.raises(Refused) as refused:
        raise_from_file(record, number, path, ESTIMATOR, NOW)
    assert [one.place.row for one in refused.value.problems] == [2, 3]
    assert not read_contract(record, number).contract.cases


def test_answers_are_all_taken_or_none(record, number, tmp_path):
    for name in ("engine.csv", "front_axle.csv"):
        open_from_file(record, number, LOADER / name, INSPECTOR, NOW)
    price_from_file(record, number, "V01", LOADER / "cams_price.csv", ESTIMATOR, NOW)
    price_from_file(record, number, "V02", LOADER / "hub_price.csv", ESTIMATOR, NOW)
    path = tmp_path / "answers.csv"
    path.write_text("variation,act\nV01,approve\nV03,approve\n")
    with pytest.raises(Conflict, match="no variation V03"):
        answer_from_file(record, number, path, MANAGER, NOW)
    assert read_contract(record, number).contract.left == pounds(31_317)
    path.write_text("variation,act,by,channel,words\nV01,approve,,,\nV02,approve,X,e-mail,Yes.\n")
    with pytest.raises(Refused) as refused:
        answer_from_file(record, number, path, MANAGER, NOW)
    assert refused.value.problems[0].place.row == 3
    path.write_text("variation,act\nV01,approve\nV02,approve\n")
    here = answer_from_file(record, number, path, MANAGER, NOW)
    assert here.contract.left == pounds(31_317 - 1802 - 1077)


def test_the_customers_part_approval_counts_lines_from_one(record, number, tmp_path):
    raise_from_file(record, number, LOADER / "tank.csv", ESTIMATOR, NOW)
    move_variation(record, number, Move(variation="V01", act="issue"), ESTIMATOR, NOW)
    path = tmp_path / "answers.csv"
    path.write_text(
        "variation,act,by,channel,words,lines\n"
        "V01,approve in part,R. Ostrey,e-mail,Without the certificate.,1;2\n"
    )
    here = answer_from_file(record, number, path, ESTIMATOR, NOW)
    assert here.contract.case("V01").agreed_lines == (0, 1)
    assert here.contract.current_sum == pounds(275_946 + 972 + 419)
