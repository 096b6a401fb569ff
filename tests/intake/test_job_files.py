"""job.toml and job.json: every entry's slip answered at its name, and nothing half-read."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.domain.priced_job import reckon
from estimator.intake.job_files import read_job
from tests.intake.folders import cat, edited, faults_of_job, named, sound_job


def test_entries_are_read_as_they_stand(job_folder):
    job = sound_job(job_folder)
    assert (job.number, job.revision, job.level) == ("Q-2041", "A", "full")
    assert (job.date, job.start) == (date(2026, 11, 20), date(2026, 12, 7))
    assert job.machine.duty == Decimal("1.15")
    assert job.machine.history[0].renewed == ("P-LIN", "P-INJ", "P-HED", "P-FIP")
    assert job.exchange_rates["EUR"].rate == Decimal("0.86")
    assert [stage.share for stage in job.terms.stages] == [Decimal("0.25")] * 3
    assert job.workshop.address == ("Unit 4, Lower Works", "Tarnbeck")


def test_terms_left_out_have_stated_starting_values(job_folder):
    for line in ("discount_share = 0.02         # on firm parts lines\n", "answer_days = 5\n",
                 "storage_per_day = 45\n", "quoting_unit = 1\n"):  # fmt: skip
        edited(job_folder / "job.toml", line, "")
    terms = sound_job(job_folder).terms
    assert (terms.discount_share, terms.answer_days) == (0, 5)
    assert (terms.storage_per_day, terms.quoting_unit) == (0, 1)


# (what stands in job.toml, what is written instead, entry at fault)
SLIPS = [
    ("hours = 14860", 'hours = "many"', "[machine] hours"),
    ("hours = 14860", "hours = true", "[machine] hours"),
    ("hours = 14860", "hours = -1", "[machine] hours"),
    ("hours = 14860", "hours = 0", "[machine] hours"),
    ("hours = 14860", "hours = 2000001", "[machine] hours"),
    ("hours = 14860", "hours = nan", "[machine] hours"),
    ("hours = 14860", "hours = inf", "[machine] hours"),
    ("hours = 14860", "hours = [14860]", "[machine] hours"),
    ("hours = 14860", "hours = 8000", "[machine] history"),
    ("hours = 14860", "hour = 14860", "[machine] hours"),
    ("hours = 14860", "hour = 14860", "[machine] hour"),
    ("hours = 8200", "hours = -8200", "[machine.history 1] hours"),
    ('what = "engine overhauled"', "what = 5", "[machine.history 1] what"),
    ('renewed = ["P-LIN"', 'renewd = ["P-LIN"', "[machine.history 1] renewd"),
    ('renewed = ["P-LIN", "P-INJ", "P-HED", "P-FIP"]', 'renewed = "P-LIN"',
     "[machine.history 1] renewed"),
    ('renewed = ["P-LIN"', 'renewed = [5, "P-LIN"', "[machine.history 1] renewed"),
    ("duty = 1.15", "duty = 0.1", "[machine] duty"),
    ("duty = 1.15", "duty = 11.5", "[machine] duty"),
    ("life_wanted = 8000", "life_wanted = 0", "[machine] life_wanted"),
    ("life_wanted = 8000", "life_wanted = 8000\nhours_doubt = 0.61", "[machine] hours_doubt"),
    ("life_wanted = 8000", "life_wanted = 8000\nhours_doubt = -0.1", "[machine] hours_doubt"),
    ("life_wanted = 8000", 'life_wanted = 8000\nmeter = "new"', "[machine] meter"),
    ('number = "Q-2041"\n', 'number = "Q-2041"\nlearnt_until = "soon"\n', "learnt_until"),
    ('serial = "WL28-00417"', "serial = 417", "[machine] serial"),
    ('number = "Q-2041"\n', "", "number"),
    ('number = "Q-2041"', "number = 2041", "number"),
    ('revision = "A"', 'revisoin = "A"', "revisoin"),
    ('level = "full"', 'level = "half"', "level"),
    ('level = "full"', 'level = "teardown"', "level"),
    ("date = 2026-11-20", 'date = "20/11/2026"', "date"),
    ("date = 2026-11-20", "date = 20261120", "date"),
    ("date = 2026-11-20", "date = true", "date"),
    ("date = 2026-11-20", 'date = "2026-02-30"', "date"),
    ("start = 2026-12-07", "start = 2026-11-01", "start"),
    ("inspected = 2026-11-16\n", "", "inspected"),
    ('estimator = "P. Holt"', 'estimator = ["P. Holt"]', "estimator"),
    ('name = "Tarnbeck Plant Rebuilds"', 'naem = "x"', "[workshop] name"),
    ('address = ["Plant department"]', 'address = "Plant department"', "[customer] address"),
    ('currency = "GBP"', 'currency = "gbp"', "[terms] currency"),
    ('currency = "GBP"', 'currency = "POUND"', "[terms] currency"),
    ("quoting_unit = 1", "quoting_unit = 0", "[terms] quoting_unit"),
    ("quoting_unit = 1", "quoting_unit = 5000", "[terms] quoting_unit"),
    ("discount_share = 0.02", "discount_share = 2", "[terms] discount_share"),
    ("discount_share = 0.02", "discount_share = -0.02", "[terms] discount_share"),
    ("confidence = 0.80", "confidence = 80", "[terms] confidence"),
    ("confidence = 0.80", "confidence = 1", "[terms] confidence"),
    ("confidence = 0.80", "confidence = 0.4", "[terms] confidence"),
    ('commercial_form = "base and named contingency"', 'commercial_form = "free"',
     "[terms] commercial_form"),
    ("valid_days = 30", "valid_days = 30.5", "[terms] valid_days"),
    ("valid_days = 30", "valid_days = 0", "[terms] valid_days"),
    ("valid_days = 30", "valid_days = 1e999999", "[terms] valid_days"),
    ("storage_per_day = 45", "storage_per_day = -45", "[terms] storage_per_day"),
    ("storage_per_day = 45", "storage_per_day = nan", "[terms] storage_per_day"),
    ("storage_per_day = 45", "storage_per_day = inf", "[terms] storage_per_day"),
    ("storage_per_day = 45", "storage_per_day = 1e999999", "[terms] storage_per_day"),
    ("answer_days = 5", "anser_days = 5", "[terms] anser_days"),
    ("share = 0.25", "share = 0.75", "[terms] stage"),
    ("share = 0.25", "share = 25", "[terms.stage 1] share"),
    ('when = "order"', "wen = 5", "[terms.stage 1] when"),
    ("rate = 0.86", "rate = 0", "[exchange_rate 1] rate"),
    ("rate = 0.86", "rate = -0.86", "[exchange_rate 1] rate"),
    ("rate = 0.86", 'rate = "0,86"', "[exchange_rate 1] rate"),
    ("rate = 0.86", "rate = nan", "[exchange_rate 1] rate"),
    ("rate = 0.86", "rate = inf", "[exchange_rate 1] rate"),
    ("rate = 0.86", "rate = 1e999999", "[exchange_rate 1] rate"),
    ('currency = "EUR"', 'currency = "EURO"', "[exchange_rate 1] currency"),
    ("[[exchange_rate]]", "[exchange_rate]", "exchange_rate"),
    ("[[terms.stage]]\nshare = 0.25\nwhen = \"order\"\n", "", None),
    ("[machine]", "[machin]", "machin"),
    ("[workshop]", "[[workshop]]", "workshop"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "entry"), SLIPS)
def test_a_slip_in_an_entry_is_answered_at_its_name(job_folder, old, new, entry):
    edited(job_folder / "job.toml", old, new)
    if entry is None:  # fewer stages are no slip
        assert faults_of_job(job_folder) == []
        return
    job, problems = read_job(job_folder)
    assert job is None
    named(problems, "job.toml", None, entry)


@pytest.mark.parametrize(
    ("old", "new", "column"),
    [
        ('class = "WL28"', 'class = "WL99"', "[machine] class"),
        ('tax_category = "T20"', 'tax_category = "T17"', "[terms] tax_category"),
        ('currency = "EUR"', 'currency = "USD"', "[[exchange_rate]]"),
        ('currency = "GBP"', 'currency = "NOK"', "[[exchange_rate]]"),
        ('components = ["C01A"', 'components = ["C99A"', "[machine.history 1]"),
        ("quoting_unit = 1", "quoting_unit = 0.001", "[terms] quoting_unit"),
    ],
)
def test_what_the_catalogue_must_confirm_is_answered_too(job_folder, old, new, column):
    from estimator.domain.job_check import check_class

    edited(job_folder / "job.toml", old, new)
    job, problems = read_job(job_folder)
    assert problems == []
    found = check_class(job, cat().catalogue) + faults_of_job(job_folder)
    assert column in {problem.place.column for problem in found}


@pytest.mark.parametrize("entry", ["number", "revision", "estimator", "serial", "class"])
def test_a_name_or_number_that_is_blank_is_missing(job_folder, entry):
    text = (job_folder / "job.toml").read_text(encoding="utf-8").splitlines()
    line = next(one for one in text if one.startswith(f"{entry} = "))
    edited(job_folder / "job.toml", line, f'{entry} = "  "')
    assert faults_of_job(job_folder) or read_job(job_folder)[0] is None


@pytest.mark.parametrize("text", ["a\\u0007b", "a\\u0000b", "a\\u007fb", "a\\u202eb"])
@pytest.mark.parametrize(
    "old", ['"P. Holt"', '"Ostrey Aggregates"', '"Plant department"', '"Unit 4, Lower Works"']
)
def test_signs_that_cannot_be_printed_are_answered_in_every_text(job_folder, old, text):
    edited(job_folder / "job.toml", old, f'"{text}"')
    assert read_job(job_folder)[0] is None


@pytest.mark.parametrize(
    "text", ["=cmd|' /C calc'!A0", "@SUM(A1)", "<b>", "<para>", "שלום", "a & b", "{serial}"]
)
def test_names_are_data_and_are_kept_as_they_were_written(job_folder, text):
    edited(job_folder / "job.toml", '"Ostrey Aggregates"', json.dumps(text, ensure_ascii=False))
    assert sound_job(job_folder).customer.name == text


def test_a_rate_that_stands_twice_is_one_too_many(job_folder):
    twice = '\n[[exchange_rate]]\ncurrency = "EUR"\nrate = 0.9\ndate = 2026-11-20\nsource = "x"\n'
    path = job_folder / "job.toml"
    path.write_text(path.read_text(encoding="utf-8") + twice, encoding="utf-8")
    job, problems = read_job(job_folder)
    assert job is None
    assert any("exchange_rate" in problem.place.column for problem in problems)


def test_a_date_at_the_end_of_time_is_answered(job_folder):
    edited(job_folder / "job.toml", "\ndate = 2026-11-20", "\ndate = 9999-12-20")
    edited(job_folder / "job.toml", "start = 2026-12-07", "start = 9999-12-30")
    assert faults_of_job(job_folder)


def test_every_slip_is_found_at_once(job_folder):
    for old, new, _ in SLIPS[:1] + SLIPS[16:17] + SLIPS[38:39]:
        edited(job_folder / "job.toml", old, new)
    (job_folder / "findings.csv").unlink()
    _, problems = read_job(job_folder)
    assert {problem.place.file for problem in problems} == {"job.toml", "findings.csv"}
    assert len(problems) >= 4


# -- files that will not do -----------------------------------------------------------------------


@pytest.mark.parametrize(
    "raw",
    [
        b"", b"\x00\x01", "number = 1".encode("utf-16"), b"\xff", b"number", b"= 5",
        b'number = "Q"\nnumber = "R"\n', b"[machine]\n[machine]\n", b'a = "unterminated\n',
        b"date = 31/12/2026\n", b"x = 1_000_\n", b"hours = " + b"9" * 5000 + b"\n",
        b"hours = 1e9999999999999999999\n", b"x = " + b"[" * 5000 + b"]" * 5000,
        b"x" * 200_000, b"<?xml version='1.0'?><job/>", b"{}",
    ],
    ids=lambda raw: repr(raw[:30]),
)  # fmt: skip
def test_a_file_that_is_no_job_is_answered_with_its_name(job_folder, raw):
    (job_folder / "job.toml").write_bytes(raw)
    job, problems = read_job(job_folder)
    assert job is None
    assert problems
    assert {problem.place.file for problem in problems} == {"job.toml"}
    assert all(len(str(problem)) < 1000 for problem in problems)


def test_a_key_that_stands_twice_is_answered_with_its_line(job_folder):
    edited(job_folder / "job.toml", 'revision = "A"', 'revision = "A"\nrevision = "B"')
    _, problems = read_job(job_folder)
    assert "line" in str(problems[0])


def test_a_decimal_comma_is_answered_with_what_to_write(job_folder):
    edited(job_folder / "job.toml", "duty = 1.15", "duty = 1,15")
    _, problems = read_job(job_folder)
    assert "point" in problems[0].remedy


def test_a_missing_folder_names_both_files(tmp_path):
    _, problems = read_job(tmp_path / "nowhere")
    assert [(one.code, one.place.file) for one in problems] == [
        ("file-missing", "job.toml"),
        ("file-missing", "findings.csv"),
    ]


def test_a_file_in_the_place_of_the_folder_is_answered(tmp_path):
    (tmp_path / "job").write_text("x")
    job, problems = read_job(tmp_path / "job")
    assert job is None
    assert problems


def test_a_folder_in_the_place_of_the_file_is_answered(job_folder):
    (job_folder / "job.toml").unlink()
    (job_folder / "job.toml").mkdir()
    assert read_job(job_folder)[1][0].code == "file-unreadable"


def test_line_ends_and_a_byte_order_mark_change_nothing(job_folder):
    before = sound_job(job_folder)
    text = (job_folder / "job.toml").read_text(encoding="utf-8")
    (job_folder / "job.toml").write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    assert replace(sound_job(job_folder), findings=()) == replace(before, findings=())


def test_a_job_that_was_read_can_be_reckoned(job_folder):
    """Formulas, markup and foreign script in names go through every step as plain text."""
    edited(job_folder / "job.toml", '"Ostrey Aggregates"', "\"=cmd|' /C calc'!A0 <para> שלום\"")
    edited(job_folder / "job.toml", '"WL28-00417"', '"<b>@SUM(A1)"')
    priced = reckon(sound_job(job_folder), replace(cat(), wear={}))
    assert priced.job.customer.name.startswith("=cmd|")
