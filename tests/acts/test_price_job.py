"""Pricing a job from its folder, and what is refused."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.priced_job import PricedJob
from estimator.services.errors import NotReckoned, Refused
from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_job import check_jobs
from estimator.services.price_job import price_job


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_the_worked_job_comes_out_of_its_files(priced: PricedJob) -> None:
    assert str(priced.price.net) == "275,946.00 GBP"
    assert priced.programme.finish_day.isoformat() == "2027-02-26"


def test_the_same_files_give_the_same_figures(catalogue: Catalogue, priced: PricedJob) -> None:
    again = price_job(Path(__file__).parent.parent / "golden" / "job", catalogue)
    values = {name: figure.value for name, figure in again.reasons.figures.items()}
    for name, value in values.items():
        assert priced.reasons.figures[name].value == value, name


def test_another_level_leaves_out_what_does_not_belong(
    catalogue: Catalogue, priced: PricedJob
) -> None:
    folder = Path(__file__).parent.parent / "golden" / "job"
    driveline = price_job(folder, catalogue, level="driveline")
    assert driveline.price.net < priced.price.net
    assert {one.id for one in driveline.lines} < {one.id for one in priced.lines}
    assert not any(one.line.group == "G11" for one in driveline.lines)


def test_more_confidence_costs_more(catalogue: Catalogue, priced: PricedJob) -> None:
    folder = Path(__file__).parent.parent / "golden" / "job"
    surer = price_job(folder, catalogue, confidence=Decimal("0.9"))
    assert surer.price.base == priced.price.base
    assert surer.price.contingency.amount == 36908  # P90 of the worked exposure file
    with pytest.raises(NotReckoned, match=r"0\.999"):
        price_job(folder, catalogue, confidence=Decimal("0.999"))


def test_a_line_taken_out_by_hand_leaves_with_its_reason(
    catalogue: Catalogue, priced: PricedJob, job_folder: Path
) -> None:
    with (job_folder / "job.toml").open("a", encoding="utf-8") as file:
        file.write('\n[[removed]]\nrow = "P-REV"\nreason = "customer fits his own"\nby = "P. H."\n')
    without = price_job(job_folder, catalogue)
    assert "P-REV" not in {one.id for one in without.lines}
    assert without.scope.removed[0].reason == "customer fits his own"
    gone = next(one.amount for one in priced.lines if one.id == "P-REV")
    assert priced.price.firm_lines - without.price.firm_lines == gone


def test_an_overruled_disposition_changes_the_scope(catalogue: Catalogue, job_folder: Path) -> None:
    edit(job_folder / "findings.csv", "replace,safe access", "reuse,bent back cold and checked")
    priced = price_job(job_folder, catalogue)
    assert "P-STP" not in {one.id for one in priced.lines}
    judgement = priced.scope.judgements["I61"]
    assert (judgement.rule_disposition, judgement.disposition) == ("recondition", "reuse")
    assert judgement.finding.override_reason == "bent back cold and checked"


def test_a_part_not_looked_at_is_named(catalogue: Catalogue, job_folder: Path) -> None:
    lines = (job_folder / "findings.csv").read_text(encoding="utf-8").splitlines(keepends=True)
    kept = [line for line in lines if not line.startswith("I11,")]  # the exhaust manifold
    (job_folder / "findings.csv").write_text("".join(kept), encoding="utf-8")
    priced = price_job(job_folder, catalogue)
    assert "P-EXM" in priced.scope.not_looked_at
    assert any(w.code == "not-looked-at" and "Exhaust" in w.message for w in priced.warnings)


def test_a_measurement_left_out_keeps_the_part_open(catalogue: Catalogue, job_folder: Path) -> None:
    lines = (job_folder / "findings.csv").read_text(encoding="utf-8").splitlines(keepends=True)
    kept = [line for line in lines if not line.startswith("I36,")]  # the accumulators
    (job_folder / "findings.csv").write_text("".join(kept), encoding="utf-8")
    priced = price_job(job_folder, catalogue)
    assert "P-ACU" in {one.part for one in priced.exposed} | set(priced.firm_by_chance)


@pytest.mark.parametrize(
    ("file", "old", "new", "place"),
    [
        ("findings.csv", "I01,M0101,", "I01,M9999,", "findings.csv, row 2, column measure"),
        ("findings.csv", "L/min,104", "mm,104", "findings.csv, row 2, column unit"),
        ("findings.csv", "L/min,104", ",104", "findings.csv, row 2, column unit"),
        ("job.toml", "hours = 14860", "hours = -1", "job.toml, column [machine] hours"),
        ("job.toml", 'currency = "EUR"', 'currency = "CHF"', "[[exchange_rate]]"),
        ("job.toml", "duty = 1.15", "duty = 1.15\nduti = 2", "[machine] duti"),
        # a look without an answer is never 'sound'
        ("findings.csv", "scored,worn", "scored,", "findings.csv, row 49, column result"),
        ("findings.csv", "count,46", "count,", "findings.csv, row 52, column"),
        # a slipped sign, and limits typed the other way round
        ("findings.csv", "mm,0.33", "mm,-0.33", "findings.csv, row 24, column measured"),
        ("job.toml", "quoting_unit = 1", "quoting_unit = 3", "[terms] quoting_unit"),
    ],
)
def test_faults_are_refused_with_their_place(
    catalogue: Catalogue, job_folder: Path, file: str, old: str, new: str, place: str
) -> None:
    edit(job_folder / file, old, new)
    with pytest.raises(Refused) as caught:
        price_job(job_folder, catalogue)
    assert any(place in str(problem) for problem in caught.value.problems)
    assert all(problem.message for problem in caught.value.problems)


def test_one_serial_on_two_machines_is_a_fault(catalogue: Catalogue, job_folder: Path) -> None:
    edit(job_folder / "job.toml", 'number = "Q-2041"', 'number = "Q-2042"')
    golden = Path(__file__).parent.parent / "golden" / "job"
    found = check_jobs([golden, job_folder], catalogue)
    assert not found[golden]
    assert [problem.code for problem in found[job_folder]] == ["serial-twice"]


def test_a_missing_catalogue_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Refused) as caught:
        open_catalogue(tmp_path)
    assert any(problem.code == "file-missing" for problem in caught.value.problems)


def test_a_reading_far_off_is_pointed_out(catalogue: Catalogue, job_folder: Path) -> None:
    edit(job_folder / "findings.csv", "mm,0.33", "mm,330")
    priced = price_job(job_folder, catalogue)
    warning = next(one for one in priced.warnings if one.code == "reading-far-off")
    assert warning.place.row == 24
    assert "decimal point" in warning.remedy


def test_changes_by_hand_that_change_nothing_are_pointed_out(
    catalogue: Catalogue, job_folder: Path
) -> None:
    with (job_folder / "job.toml").open("a", encoding="utf-8") as file:
        file.write('\n[[added]]\nrow = "P-REV"\nreason = "sure"\nby = "P. H."\n')
        file.write('\n[[removed]]\nrow = "O0251"\nreason = "sure"\nby = "P. H."\n')
    priced = price_job(job_folder, catalogue)
    assert priced.scope.idle_changes == ("O0251", "P-REV")
    assert str(priced.price.net) == "275,946.00 GBP"
    assert sum(one.code == "idle-change" for one in priced.warnings) == 2


def test_a_change_made_twice_is_refused(catalogue: Catalogue, job_folder: Path) -> None:
    with (job_folder / "job.toml").open("a", encoding="utf-8") as file:
        for _ in range(2):
            file.write('\n[[removed]]\nrow = "P-REV"\nreason = "sure"\nby = "P. H."\n')
    with pytest.raises(Refused) as caught:
        price_job(job_folder, catalogue)
    assert [one.code for one in caught.value.problems] == ["change-twice"]
