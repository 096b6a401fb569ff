"""catalogue.toml: the workshop's figures, each within its bounds."""

from __future__ import annotations

import pytest

from estimator.intake.settings_file import read_settings
from tests.intake.folders import edited


def test_the_golden_settings_are_read(catalogue_folder):
    settings, version, problems = read_settings(catalogue_folder / "catalogue.toml")
    assert problems == []
    assert version == "2026-11 golden"
    assert (settings.currency, settings.reference_class) == ("GBP", "WL28")
    assert settings.scenarios == 5000
    assert settings.work_spread[2] * 10 == 12


SLIPS = [
    ("firm_chance = 0.85", "firm_chance = 85", "[condition] firm_chance"),
    ("firm_chance = 0.85", "firm_chance = 0.4", "[condition] firm_chance"),
    ("firm_chance = 0.85", 'firm_chance = "0.85"', "[condition] firm_chance"),
    ("firm_chance = 0.85", "firm_chance = true", "[condition] firm_chance"),
    ("firm_chance = 0.85", "firm_chance = nan", "[condition] firm_chance"),
    ("firm_chance = 0.85", "firm_chance = inf", "[condition] firm_chance"),
    ("firm_chance = 0.85", "frm_chance = 0.85", "[condition] firm_chance"),
    ("reuse_percent = 25", "reuse_percent = -1", "[condition] reuse_percent"),
    ("circuit_test_width = 0.5", "circuit_test_width = 0", "[exposure] circuit_test_width"),
    ("scale_spread = 0.25", "scale_spread = 0", "[exposure] scale_spread"),
    ("productivity = 0.85", "productivity = 85", "[programme] productivity"),
    ("hours_per_day = 8", "hours_per_day = 25", "[programme] hours_per_day"),
    ("scenarios = 5000", "scenarios = 5", "[programme] scenarios"),
    ("scenarios = 5000", "scenarios = 100.7", "[programme] scenarios"),
    ("scenario_seed = 20411", "scenario_seed = -1", "[programme] scenario_seed"),
    ("work_spread = [0.90, 1, 1.20]", "work_spread = [1.2, 1, 0.9]", "[programme] work_spread"),
    ("work_spread = [0.90, 1, 1.20]", "work_spread = [0, 1, 1.2]", "[programme] work_spread"),
    ("work_spread = [0.90, 1, 1.20]", "work_spread = [1, 1, 1]", "[programme] work_spread"),
    ("work_spread = [0.90, 1, 1.20]", "work_spread = [0.9, 1]", "[programme] work_spread"),
    ("work_spread = [0.90, 1, 1.20]", 'work_spread = "wide"', "[programme] work_spread"),
    ("work_spread = [0.90, 1, 1.20]", "work_spread = [nan, 1, 1.2]", "[programme] work_spread"),
    ("work_spread = [0.90, 1, 1.20]", "work_spread = [0.9, 1, true]", "[programme] work_spread"),
    ("work_spread = [0.90, 1, 1.20]", "work_spread = [0.9, 1, inf]", "[programme] work_spread"),
    ('currency = "GBP"', 'currency = "gbp"', "[workshop] currency"),
    ('currency = "GBP"', "currency = 5", "[workshop] currency"),
    ('reference_class = "WL28"', "reference_class = 28", "[workshop] reference_class"),
    ('version = "2026-11 golden"', 'version = ""', "version"),
    ("format = 1", "format = 2", "format"),
    ("format = 1\n", "", "format"),
]


@pytest.mark.parametrize(("old", "new", "entry"), SLIPS)
def test_a_slip_in_a_setting_is_answered_at_its_name(catalogue_folder, old, new, entry):
    edited(catalogue_folder / "catalogue.toml", old, new)
    settings, _, problems = read_settings(catalogue_folder / "catalogue.toml")
    assert settings is None
    assert entry in {problem.place.column for problem in problems}
    assert all("catalogue.toml" in str(problem) for problem in problems)


@pytest.mark.parametrize("section", ["workshop", "condition", "exposure", "programme"])
@pytest.mark.parametrize("instead", ["[{}_]", "[[{}]]", "{} = 5"])
def test_a_section_that_is_no_table_is_answered(catalogue_folder, section, instead):
    text = (catalogue_folder / "catalogue.toml").read_text(encoding="utf-8")
    if "=" in instead:
        text = instead.format(section) + "\n" + text.replace(f"[{section}]", "[elsewhere]")
    else:
        text = text.replace(f"[{section}]", instead.format(section))
    (catalogue_folder / "catalogue.toml").write_text(text, encoding="utf-8")
    settings, _, problems = read_settings(catalogue_folder / "catalogue.toml")
    assert settings is None
    assert all(problem.place.column.startswith(f"[{section}]") for problem in problems)


@pytest.mark.parametrize(
    "raw",
    [
        b"", b"\x00", b"\xff", b"a = 1\na = 2\n", b"x = " + b"[" * 5000 + b"]" * 5000,
        b"x = " + b"9" * 5000, b"x = 1e9999999999999999999", b"[condition", b"=", b"{}",
    ],
    ids=lambda raw: repr(raw[:30]),
)  # fmt: skip
def test_a_file_that_will_not_do_is_answered_with_its_name(catalogue_folder, raw):
    (catalogue_folder / "catalogue.toml").write_bytes(raw)
    settings, _, problems = read_settings(catalogue_folder / "catalogue.toml")
    assert settings is None
    assert {problem.place.file for problem in problems} == {"catalogue.toml"}
    assert all(len(str(problem)) < 1000 for problem in problems)


def test_a_missing_file_is_named(tmp_path):
    assert read_settings(tmp_path / "catalogue.toml")[2][0].code == "file-missing"
