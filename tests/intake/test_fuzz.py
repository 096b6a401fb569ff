"""Whatever stands in a file: reading and checking it end in rows or faults, never in an error."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.domain.catalogue.work_rows import FINDING_KINDS
from estimator.domain.findings import DISPOSITIONS, RESULTS, Finding
from estimator.domain.job_check import check_job
from estimator.domain.problem import Place
from estimator.domain.scope import build_scope, called_parts, judge_all
from estimator.domain.units import UNITS
from estimator.intake.cells import columns_of
from estimator.intake.tables import read_records, read_table
from tests.golden.golden_job import golden_inputs

JOB, CAT = golden_inputs()
COLUMNS = sorted(columns_of(Finding))

ODD = [
    "", " ", "0", "-1", "1e999999", "1e400", "NaN", "-Infinity", "1,234", "1_000", "31/12/2026",
    "2026-11-16", "9999-12-31", "=cmd|' /C calc'!A0", "@SUM(A1)", "<b>", "<para>", "yes", "worn",
    "sound", "alarm", "not seen", "replace", "mm", "bar", "M0101", "M0302", "P-UJT;P-UJT", "C01A",
    "T-OILP", "Fe 86;Fe 900", "18/16/13", "99/99/99", "13/16/18", "\u202e", "שלום", "a\tb",
    '"quoted"', "a;b;;c", ";", "x" * 2001,
]  # fmt: skip
TEXT = st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=40)
CELLS = st.one_of(st.sampled_from(ODD), TEXT)
BASE = {"id": "N01", "component": "C04A", "kind": "visual", "what": "joint", "part": "P-UJT",
        "result": "worn", "date": "2026-11-16"}  # fmt: skip


def written(cell: str) -> str:
    return '"' + cell.replace('"', '""') + '"'


def goes_through(findings) -> None:
    """Read findings are checked; those without a fault are judged and scoped."""
    job = replace(JOB, findings=tuple(findings))
    problems = check_job(job, CAT)
    assert all(problem.message and problem.place.file for problem in problems)
    if not problems:
        judgements = judge_all(job, CAT)
        build_scope(job, CAT, judgements, called_parts(judgements, CAT), {})


@pytest.mark.parametrize("column", COLUMNS)
def test_any_text_in_any_column_of_the_findings(column, tmp_path_factory):
    path = tmp_path_factory.mktemp("fuzz") / "findings.csv"

    @settings(max_examples=20)
    @given(CELLS)
    def put(cell: str) -> None:
        cells = BASE | {column: cell}
        lines = [",".join(cells), ",".join(map(written, cells.values()))]
        path.write_bytes(("\n".join(lines) + "\n").encode())
        rows, problems = read_table(path, Finding)
        assert len(rows) == (0 if problems else 1)
        goes_through(rows)

    put()


NUMBERS = st.one_of(
    st.none(),
    st.decimals(-1000, 1000, places=3),
    st.sampled_from([Decimal(0), Decimal("1e-9"), Decimal("1e9")]),
)
FINDINGS = st.builds(
    Finding,
    id=st.sampled_from(["N01", "N02"]),
    measure=st.sampled_from(["", *sorted(CAT.measures)]),
    component=st.sampled_from(["", "C01A", "C04A", "C12A"]),
    part=st.lists(st.sampled_from(sorted(CAT.parts)), max_size=3).map(tuple),
    sign_of=st.lists(st.sampled_from(sorted(CAT.parts)), max_size=2).map(tuple),
    test=st.sampled_from(["", *sorted(CAT.tests)]),
    kind=st.sampled_from(["", *FINDING_KINDS]),
    what=st.sampled_from(["", "looked at"]),
    unit=st.sampled_from(["", *sorted(UNITS)]),
    measured=NUMBERS,
    new=NUMBERS,
    rebuild_limit=NUMBERS,
    service_limit=NUMBERS,
    gauge_error=st.one_of(st.none(), st.decimals(0, 10, places=2)),
    hours_on_part=st.one_of(st.none(), st.decimals(0, 30000, places=0)),
    metals=st.lists(st.sampled_from(["Fe 86", "Cu 1.5", "Fe"]), max_size=2).map(tuple),
    cleanliness=st.sampled_from(["", "18/16/13", "22/20/17", "13/16/18", "x"]),
    result=st.sampled_from(["", *RESULTS]),
    quantity=st.one_of(st.none(), st.decimals(0, 99, places=1)),
    quantity_low=st.one_of(st.none(), st.decimals(0, 99, places=1)),
    quantity_high=st.one_of(st.none(), st.decimals(0, 99, places=1)),
    override=st.sampled_from(["", *DISPOSITIONS]),
    override_reason=st.sampled_from(["", "as agreed"]),
    date=st.just(JOB.inspected),
)


@settings(max_examples=200)
@given(st.lists(FINDINGS, min_size=1, max_size=2))
def test_any_findings_are_checked_and_what_passes_is_judged(findings):
    goes_through(
        replace(one, place=Place("findings.csv", row)) for row, one in enumerate(findings, 2)
    )


@settings(max_examples=150)
@given(st.binary(max_size=300))
def test_any_bytes_are_a_table_or_a_fault(tmp_path_factory, raw):
    path = tmp_path_factory.getbasetemp() / "bytes.csv"
    path.write_bytes(raw)
    rows, problems = read_table(path, Finding)
    assert problems or not rows
    assert all(len(str(problem)) < 2000 for problem in problems)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**30), 10**30) | st.floats(allow_nan=True)
    | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3)
    | st.dictionaries(st.sampled_from([*COLUMNS, "colour"]), inner, max_size=4),
    max_leaves=12,
)  # fmt: skip


@settings(max_examples=150)
@given(JSON)
def test_any_json_is_findings_or_a_fault(data):
    again = json.loads(json.dumps(data), parse_float=Decimal)
    rows, problems = read_records(again, Finding, "findings.json")
    assert all(problem.place.file == "findings.json" for problem in problems)
    if isinstance(again, list):
        assert len(rows) <= len(again)
