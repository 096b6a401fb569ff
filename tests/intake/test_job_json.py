"""The same job in JSON: read like TOML, with the slips that only JSON can make."""

from __future__ import annotations

import json
import tomllib

import pytest

from estimator.intake.job_files import read_job
from tests.intake.folders import edited, faults_of_job, named, sound_job


def as_json(folder, change=lambda data: None) -> None:
    """Turn job.toml into job.json; `change` may spoil the data in between."""
    data = tomllib.loads((folder / "job.toml").read_text(encoding="utf-8"))
    change(data)
    (folder / "job.toml").unlink()
    (folder / "job.json").write_text(json.dumps(data, default=str), encoding="utf-8")


def test_a_job_in_json_is_the_job_in_toml(job_folder):
    before = sound_job(job_folder)
    as_json(job_folder)
    assert sound_job(job_folder) == before


@pytest.mark.parametrize(
    ("change", "entry"),
    [
        (lambda data: data["machine"].update(hours=True), "[machine] hours"),
        (lambda data: data["machine"].update(hours=float("nan")), "[machine] hours"),
        (lambda data: data["machine"].update(hours=float("inf")), "[machine] hours"),
        (lambda data: data["machine"].update(hours={"value": 1}), "[machine] hours"),
        (lambda data: data["terms"].update(confidence="high"), "[terms] confidence"),
        (lambda data: data.update(machine=[]), "machine"),
        (lambda data: data.update(machine="WL28"), "machine"),
        (lambda data: data.update(machine=None), "[machine] serial"),
        (lambda data: data.update(exchange_rate={}), "exchange_rate"),
        (lambda data: data.update(exchange_rate=[5]), "exchange_rate"),
        (lambda data: data.update(added=[{"row": "P-VBK", "reason": "", "by": "x"}]),
         "[added 1] reason"),
        (lambda data: data.update(added=[{"row": "P-VBK", "reason": "x"}]), "[added 1] by"),
        (lambda data: data.update(added=[{"row": "P-VBK", "reason": "x", "by": "x", "at": 1}]),
         "[added 1] at"),
        (lambda data: data.update(ways={"P-FIP": "swap"}), "[ways] P-FIP"),
        (lambda data: data.update(ways={"P-FIP": 5}), "[ways] P-FIP"),
        (lambda data: data.update(ways=["P-FIP"]), "ways"),
        (lambda data: data.update(estimator="a\ud800b"), "estimator"),
        (lambda data: data.update(number="x" * 3000), "number"),
        (lambda data: data.update(start=20261207), "start"),
        (lambda data: data.update(colour="red"), "colour"),
    ],
)  # fmt: skip
def test_a_slip_in_json_is_answered_at_its_name(job_folder, change, entry):
    as_json(job_folder, change)
    job, problems = read_job(job_folder)
    assert job is None
    named(problems, "job.json", None, entry)


NULLS = [
    (["machine"], "hours"), (["machine"], "duty"), (["machine"], "serial"), (["machine"], "class"),
    ([], "number"), ([], "date"), ([], "inspected"), ([], "level"), ([], "workshop"),
    (["customer"], "name"), (["terms"], "confidence"), (["terms"], "valid_days"),
    (["terms"], "currency"), (["terms"], "tax_category"), (["exchange_rate", 0], "rate"),
    (["exchange_rate", 0], "date"), (["terms", "stage", 0], "share"),
]  # fmt: skip


@pytest.mark.parametrize(("path", "name"), NULLS)
def test_nothing_in_the_place_of_an_entry_is_a_missing_entry(job_folder, path, name):
    """A null must never be taken for the stand-in of a number, a date or a text."""

    def change(data):
        data["machine"]["history"] = []
        part = data
        for step in path:
            part = part[step]
        part[name] = None

    as_json(job_folder, change)
    job, problems = read_job(job_folder)
    assert job is None
    assert any(name in problem.place.column for problem in problems)


@pytest.mark.parametrize(
    "text",
    ["", "[]", "5", "null", '"job"', "{", "[" * 100_000, '{"a":' * 3000, '{"hours": NaN',
     '{"hours": ' + "9" * 5000 + "}", '{"hours": 1e9999999999999999999}'],
    ids=lambda text: text[:30],
)  # fmt: skip
def test_json_that_will_not_do_is_answered_with_its_file(job_folder, text):
    (job_folder / "job.toml").unlink()
    (job_folder / "job.json").write_text(text, encoding="utf-8")
    job, problems = read_job(job_folder)
    assert job is None
    assert {problem.place.file for problem in problems} == {"job.json"}
    assert all(len(str(problem)) < 1000 for problem in problems)


def test_a_name_that_stands_twice_in_json_is_answered(job_folder):
    """TOML forbids it; JSON would let the last one win in silence."""
    as_json(job_folder)
    edited(job_folder / "job.json", '"hours": 14860', '"hours": 14860, "hours": 1486')
    assert faults_of_job(job_folder) or read_job(job_folder)[0] is None


def test_two_files_of_one_job_are_one_too_many(job_folder):
    text = (job_folder / "job.toml").read_text(encoding="utf-8")
    as_json(job_folder)
    (job_folder / "job.toml").write_text(text, encoding="utf-8")
    assert read_job(job_folder)[0] is None
