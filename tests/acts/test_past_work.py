"""Past work: whole files or nothing of them, corrected with an entry in the log, and out again."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from estimator.domain.past_work import ClosedJob, TeardownOutcome
from estimator.intake.past_work_files import as_csv, read_outcomes
from estimator.services.errors import Conflict, NotAllowed, NotWritten, Refused
from estimator.services.open_record import Record
from estimator.services.past_work import (
    add_closed_jobs,
    add_outcomes,
    closed_jobs,
    correct_closed_job,
    correct_outcome,
    export_outcomes,
    import_closed_jobs,
    import_outcomes,
    outcomes,
    remove_outcome,
)
from estimator.services.verify_record import verify_record
from estimator.storage.change_log import entries
from tests.acts.workshop import ESTIMATOR, INSPECTOR, LATER, NOW

HEAD = (
    "pool,machine_class,component,hours,duty,life_basis,disposition,worn,cost,currency,days,"
    "found_on\n"
)
GOOD = "hub bearing seat,WL28,C09A,9400,1.0,since new,replace,yes,1250.50,GBP,1.5,2025-03-04\n"
OUTCOME = TeardownOutcome(
    pool="hub bearing seat", machine_class="WL28", component="C09A", hours=Decimal(9400),
    duty=Decimal("1.0"), life_basis="since new", disposition="replace", worn=True,
    cost=Decimal("1250.50"), currency="GBP", days=Decimal("1.5"), found_on=date(2025, 3, 4),
)  # fmt: skip
CLOSED = ClosedJob(
    number="Q-1502", machine_class="WL28", hours=Decimal(12000), currency="JPY",
    quoted_base=Decimal(18_000_000), quoted_contingency=Decimal(2_500_000),
    final_less_requests=Decimal(19_400_000), closed_on=date(2025, 3, 4),
)  # fmt: skip


def acts(record: Record) -> list[str]:
    with record.reading() as session:
        return [one.act for one in entries(session)]


def test_a_file_comes_in_whole(record: Record, tmp_path: Path) -> None:
    path = tmp_path / "outcomes.csv"
    path.write_text(HEAD + GOOD + GOOD.replace("9400", "10100").replace("yes", "no"))
    assert import_outcomes(record, path, ESTIMATOR, NOW) == 2
    first, second = sorted((one.row for one in outcomes(record)), key=lambda row: row.hours)
    assert (first, second.worn) == (OUTCOME, False)
    assert acts(record) == ["teardown outcomes added"]
    with pytest.raises(Refused) as caught:
        import_outcomes(record, path, ESTIMATOR, NOW)
    assert [one.place.row for one in caught.value.problems] == [2, 3]
    assert len(outcomes(record)) == 2


@pytest.mark.parametrize(
    ("row", "column"),
    [
        (GOOD.replace("9400", "9,400").replace("9,400", '"9,400"'), "hours"),
        (GOOD.replace("9400", "-5"), "hours"),
        (GOOD.replace("9400", "NaN"), "hours"),
        (GOOD.replace("1250.50", "1250.505"), "cost"),
        (GOOD.replace("GBP", ""), "currency"),
        (GOOD.replace("GBP", "XXX"), "currency"),
        (GOOD.replace("yes", "perhaps"), "worn"),
        (GOOD.replace("replace", "thrown away"), "disposition"),
        (GOOD.replace("since new", "since ever"), "life_basis"),
        (GOOD.replace("2025-03-04", "04/03/2025"), "found_on"),
        (GOOD.replace("2025-03-04", "2027-03-04"), "found_on"),
        (GOOD.replace("hub bearing seat", "hub\u202eseat"), "pool"),
        (GOOD.replace("C09A", ""), "component"),
    ],
)
def test_nothing_is_half_imported(record: Record, tmp_path: Path, row: str, column: str) -> None:
    path = tmp_path / "outcomes.csv"
    path.write_text(HEAD + GOOD.replace("WL28", "CE36") + row, encoding="utf-8")
    with pytest.raises(Refused) as caught:
        import_outcomes(record, path, ESTIMATOR, NOW)
    places = [(one.place.file, one.place.row, one.place.column) for one in caught.value.problems]
    assert places == [("outcomes.csv", 3, column)]
    assert (outcomes(record), acts(record)) == ([], [])


def test_closed_jobs_come_in_and_are_corrected(record: Record, tmp_path: Path) -> None:
    path = tmp_path / "closed.csv"
    path.write_bytes(as_csv([CLOSED], ClosedJob))
    assert import_closed_jobs(record, path, ESTIMATOR, NOW) == 1
    (kept,) = closed_jobs(record)
    assert kept.row == CLOSED
    better = replace(CLOSED, final_less_requests=Decimal(19_000_000))
    correct_closed_job(record, kept, better, ESTIMATOR, LATER)
    assert [one.row for one in closed_jobs(record)] == [better]
    with pytest.raises(Conflict, match="changed or removed by someone else"):
        correct_closed_job(record, kept, CLOSED, ESTIMATOR, LATER)
    with pytest.raises(Refused, match="1 fault") as caught:
        add_closed_jobs(record, [replace(CLOSED, number="Q-9"), better], ESTIMATOR, LATER)
    assert caught.value.problems[0].place.row == 2
    with pytest.raises(Refused):
        correct_closed_job(
            record, closed_jobs(record)[0], replace(better, quoted_base=Decimal("0.5")),
            ESTIMATOR, LATER,
        )  # fmt: skip


def test_an_outcome_is_corrected_and_removed(record: Record) -> None:
    add_outcomes(record, [OUTCOME, replace(OUTCOME, hours=Decimal(1))], ESTIMATOR, NOW)
    kept = next(one for one in outcomes(record) if one.row == OUTCOME)
    correct_outcome(record, kept, replace(OUTCOME, worn=False), ESTIMATOR, LATER)
    with pytest.raises(Conflict):
        remove_outcome(record, kept, ESTIMATOR, LATER)
    kept = next(one for one in outcomes(record) if one.row.hours == 9400)
    with pytest.raises(Refused):
        correct_outcome(record, kept, replace(OUTCOME, hours=Decimal(1)), ESTIMATOR, LATER)
    remove_outcome(record, kept, ESTIMATOR, LATER)
    assert [one.row.hours for one in outcomes(record)] == [1]
    assert acts(record) == [
        "teardown outcomes added", "teardown outcome corrected", "teardown outcome removed",
    ]  # fmt: skip
    assert verify_record(record).faults == ()


def test_only_estimators_keep_past_work(record: Record, tmp_path: Path) -> None:
    with pytest.raises(NotAllowed, match="may not keep past work"):
        add_outcomes(record, [OUTCOME], INSPECTOR, NOW)
    with pytest.raises(NotAllowed):
        import_outcomes(record, tmp_path / "none.csv", INSPECTOR, NOW)
    assert outcomes(record) == []


def test_out_and_in_again(record: Record, tmp_path: Path) -> None:
    hostile = replace(OUTCOME, component="=HYPERLINK(1)", pool='-a,"b"; drop', currency="",
                      cost=None, days=None)  # fmt: skip
    add_outcomes(record, [OUTCOME, hostile], ESTIMATOR, NOW)
    path = export_outcomes(record, tmp_path / "out.csv")
    cells = [cell for row in csv.reader(io.StringIO(path.read_text())) for cell in row]
    assert not [cell for cell in cells if cell.startswith(("=", "+", "-", "@"))]
    rows, problems = read_outcomes(path, NOW.date())
    assert problems == []
    assert {replace(row, place=OUTCOME.place) for row in rows} == {OUTCOME, hostile}
    with pytest.raises(NotWritten, match="there already"):
        export_outcomes(record, path)


plain = st.text(
    st.characters(categories=["L", "N", "P", "S", "Zs"]), min_size=1, max_size=10
).filter(lambda text: text.strip() == text)
sums = st.decimals(0, 10**9, places=2)


@given(st.lists(st.builds(
    TeardownOutcome, pool=plain, machine_class=plain, component=plain,
    hours=st.decimals("0.1", 10**6, places=1), duty=st.decimals("0.1", 5, places=2),
    life_basis=st.sampled_from(["since new", "not known"]), disposition=st.just("reuse"),
    worn=st.booleans(), cost=sums, currency=st.just("EUR"), days=st.none() | sums.filter(
        lambda days: days <= 2000),
    found_on=st.dates(date(1960, 1, 1), date(2026, 1, 1)),
), max_size=4))  # fmt: skip
@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_table_comes_back(tmp_path: Path, rows: list[TeardownOutcome]) -> None:
    rows = [replace(row, found_on=row.found_on + timedelta(n)) for n, row in enumerate(rows)]
    path = tmp_path / "any.csv"
    path.write_bytes(as_csv(rows, TeardownOutcome))
    back, problems = read_outcomes(path, NOW.date())
    assert [one for one in problems if one.code != "twice"] == []
    assert [replace(row, place=OUTCOME.place) for row in back] == rows
