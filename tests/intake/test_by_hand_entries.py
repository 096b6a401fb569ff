"""Lines typed over, lines of one's own and work kept twice, as job.toml and job.json hold them."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.domain.job import LineChange, OwnLine, ScopeChange
from estimator.domain.job_data import findings_as_data, job_as_data
from estimator.intake.job_files import read_job
from tests.golden.golden_job import golden_inputs
from tests.intake.folders import named, sound_job

TYPED = """
[[changed]]
row = "O0103"
quantity = 50
reason = "counted again"
by = "P. Holt"
date = 2026-11-20
"""
OWN = """
[[own]]
id = "X01"
component = "C01A"
name = "Bracket made new"
kind = "parts"
quantity = 2
unit = "each"
unit_cost = 50
markup = "A"
reason = "missing on arrival"
by = "P. Holt"
"""
KEPT = """
[[kept]]
row = "O0102+O0103"
reason = "two of them"
by = "P. Holt"
"""
REPAIRED = """
[[repaired]]
row = "C08A"
reason = "pumps noisy"
by = "P. Holt"
"""
TOP = 'note = "ready for the spring"\nwanted_by = 2027-03-01\n'


def written(folder, text: str, top: str = "") -> None:
    path = folder / "job.toml"
    path.write_text(top + path.read_text(encoding="utf-8") + text, encoding="utf-8")


def test_entries_are_read_as_they_stand(job_folder):
    written(job_folder, TYPED + OWN + REPAIRED, TOP)
    job = sound_job(job_folder)
    on = date(2026, 11, 20)
    typed = LineChange("O0103", Decimal(50), None, "counted again", "P. Holt", on)
    assert job.changed == (typed,)
    two = Decimal(2)
    assert job.own == (
        OwnLine("X01", "C01A", "Bracket made new", "parts", two, two, two, "each", "",
                Decimal(50), "A", "missing on arrival", "P. Holt"),
    )  # fmt: skip
    assert (job.note, job.wanted_by) == ("ready for the spring", date(2027, 3, 1))
    assert job.repaired == (ScopeChange("C08A", "pumps noisy", "P. Holt"),)


def test_what_is_left_out_is_nothing(job_folder):
    job = sound_job(job_folder)
    assert (job.changed, job.own, job.kept, job.note, job.wanted_by) == ((), (), (), "", None)


def test_what_leaves_the_record_can_be_read_again(tmp_path):
    job, _ = golden_inputs()
    change = LineChange("P-LIN", None, Decimal("0.50"), "r", "b", date(2026, 11, 20))
    ranged = OwnLine("X01", "C01A", "n", "labour", Decimal("1.5"), Decimal(0), Decimal(3), "h",
                     "HF", Decimal(0), "", "r", "b")  # fmt: skip
    full = replace(job, changed=(change,), own=(ranged,), note="n", wanted_by=date(2027, 3, 1),
                   kept=(ScopeChange("O0102+O0103", "r", "b"),), level="repair",
                   repaired=(ScopeChange("C08A", "r", "b"),))  # fmt: skip
    for one in (job, full):
        for name, data in (("job", job_as_data(one)), ("findings", findings_as_data(one.findings))):
            (tmp_path / f"{name}.json").write_text(json.dumps(data), encoding="utf-8")
        again, problems = read_job(tmp_path)
        assert problems == []
        assert again is not None
        places = [found.place for found in again.findings]
        originals = zip(one.findings, places, strict=True)
        told = tuple(replace(found, place=place) for found, place in originals)
        assert replace(again, ways=again.ways or None) == replace(
            one, findings=told, ways=one.ways or None
        )


SLIPS = [
    (TYPED, "quantity = 50", "quantity = 0", "[changed 1] quantity"),
    (TYPED, "quantity = 50", "quantity = -5", "[changed 1] quantity"),
    (TYPED, "quantity = 50", 'quantity = "many"', "[changed 1] quantity"),
    (TYPED, "quantity = 50", "unit_cost = -5", "[changed 1] unit_cost"),
    (TYPED, "quantity = 50", "quantity = 1e9", "[changed 1] quantity"),
    (TYPED, "quantity = 50", "quantty = 50", "[changed 1] quantty"),
    (TYPED, 'reason = "counted again"', 'reason = ""', "[changed 1] reason"),
    (TYPED, 'by = "P. Holt"', "", "[changed 1] by"),
    (TYPED, "date = 2026-11-20", 'date = "20/11/2026"', "[changed 1] date"),
    (TYPED, "[[changed]]", "[changed]", "changed"),
    (OWN, 'kind = "parts"', 'kind = "gift"', "[own 1] kind"),
    (OWN, "quantity = 2", "quantity = 0", "[own 1] quantity"),
    (OWN, "quantity = 2", "quantity = 2\nquantity_low = -1", "[own 1] quantity_low"),
    (OWN, "unit_cost = 50", "unit_cost = nan", "[own 1] unit_cost"),
    (OWN, 'name = "Bracket made new"', 'name = "a\\u202eb"', "[own 1] name"),
    (OWN, 'component = "C01A"', "", "[own 1] component"),
    (OWN, 'id = "X01"', "id = 1", "[own 1] id"),
    (KEPT, 'reason = "two of them"', 'reason = " "', "[kept 1] reason"),
    (KEPT, 'row = "O0102+O0103"', "", "[kept 1] row"),
]


@pytest.mark.parametrize(("entry", "old", "new", "where"), SLIPS)
def test_a_slip_is_answered_at_its_name(job_folder, entry, old, new, where):
    assert old in entry
    written(job_folder, entry.replace(old, new))
    job, problems = read_job(job_folder)
    assert job is None
    named(problems, "job.toml", None, where)


@pytest.mark.parametrize(
    ("top", "where"), [("note = 5\n", "note"), ('wanted_by = "soon"\n', "wanted_by")]
)
def test_a_slip_in_the_wishes_is_answered(job_folder, top, where):
    written(job_folder, "", top)
    job, problems = read_job(job_folder)
    assert job is None
    named(problems, "job.toml", None, where)
