"""How quotes held, from the closed jobs of a record; quoted distributions in and out again."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.domain.past_work import ClosedJob
from estimator.intake.past_work_files import as_csv, read_closed_jobs
from estimator.services.errors import Refused
from estimator.services.open_record import Record
from estimator.services.past_work import (
    add_closed_jobs,
    closed_jobs,
    export_closed_jobs,
    import_closed_jobs,
)
from estimator.services.show_calibration import (
    calibration_of,
    flat_sentence,
    quoted_job,
    sentence,
    show_calibration,
)
from tests.acts.closed_jobs import closed, quoted
from tests.acts.workshop import ESTIMATOR, NOW


def by_number(rows: Iterable[ClosedJob]) -> list[ClosedJob]:
    return sorted(rows, key=lambda row: row.number)


def test_a_quoted_distribution_comes_in_is_kept_and_goes_out(
    record: Record, tmp_path: Path
) -> None:
    rows = [quoted(1, 104_000), closed("Q-2"), replace(quoted(3, 121_000), p10=Decimal("99.50"))]
    path = tmp_path / "closed.csv"
    path.write_bytes(as_csv(rows, ClosedJob))
    assert import_closed_jobs(record, path, ESTIMATOR, NOW) == 3
    assert by_number(kept.row for kept in closed_jobs(record)) == by_number(rows)
    back, problems = read_closed_jobs(
        export_closed_jobs(record, tmp_path / "again.csv"), NOW.date()
    )
    assert problems == []
    assert by_number(replace(row, place=rows[0].place) for row in back) == by_number(rows)


def test_a_table_without_the_columns_is_as_good_as_before(record: Record, tmp_path: Path) -> None:
    path = tmp_path / "closed.csv"
    path.write_text(
        "number,machine_class,hours,currency,quoted_base,quoted_contingency,final_less_requests,"
        "closed_on\nQ-1,WL28,9400,GBP,200000,30000,225000.50,2025-12-04\n"
    )
    assert import_closed_jobs(record, path, ESTIMATOR, NOW) == 1
    assert not closed_jobs(record)[0].row.has_distribution


@pytest.mark.parametrize(
    ("changes", "columns"),
    [
        ({"p80": None}, ["p80"]),
        ({"p10": None, "mean": None}, ["p10", "mean"]),
        ({"p50": Decimal(114_000)}, ["p80"]),
        ({"p90": Decimal(90_000)}, ["p90"]),
        ({"mean": Decimal(8_000)}, ["mean"]),
        ({"p50": Decimal("106000.005")}, ["p50"]),
        ({"quoted_base": Decimal(0)}, ["quoted_base"]),
    ],
)
def test_half_a_distribution_or_a_falling_one_is_refused(
    record: Record, changes: dict[str, Decimal | None], columns: list[str]
) -> None:
    row: ClosedJob = replace(quoted(1, 104_000), **changes)  # type: ignore[arg-type]
    with pytest.raises(Refused) as caught:
        add_closed_jobs(record, [row], ESTIMATOR, NOW)
    assert [one.place.column for one in caught.value.problems] == columns
    assert closed_jobs(record) == []


def test_only_jobs_with_a_distribution_take_part(record: Record) -> None:
    rows = [quoted(n, 104_000) for n in range(3)]
    add_closed_jobs(record, [*rows, closed("Q-1", 111_000), closed("Q-2")], ESTIMATOR, NOW)
    shown = show_calibration(record)
    assert (shown.calibration.jobs, shown.flat_quotes) == (3, 2)
    assert shown.held is not None
    assert (shown.held.inside, shown.held.jobs) == (4, 5)
    with pytest.raises(ValueError, match="without a distribution"):
        quoted_job(closed("Q-1"))


def test_what_is_said_grows_with_the_jobs() -> None:
    def said(*finals: int) -> str:
        return sentence(calibration_of([quoted(n, 1000 * one) for n, one in enumerate(finals)]))

    assert said() == "No closed job was quoted with a distribution yet."
    few = said(*[104] * 5, *[110] * 4, *[115] * 2, 130)
    assert few.startswith("With 12 jobs nothing can be said yet")
    more = said(*[104] * 20, *[110] * 12, *[115] * 4, *[130] * 4)
    assert more.startswith("Over 40 jobs nothing contradicts the quotes")
    assert said(*[130] * 9).startswith("Quotes were too low")  # so few can speak against
    assert said(*[104] * 60).startswith("Quotes were higher than they said")


def test_nothing_is_claimed_against_a_flat_percentage_with_few_jobs() -> None:
    """Every final sum on its quoted percentile: as good as can be, and still too few."""
    rows = [quoted(n, 113_000) for n in range(12)]
    assert "cannot be told yet" in flat_sentence(calibration_of(rows))
