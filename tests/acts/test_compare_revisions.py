"""What changed between an issued revision and the job as it is now."""

from __future__ import annotations

import datetime
from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.money import Money
from estimator.domain.priced_job import PricedJob
from estimator.services.compare_revisions import (
    FIGURES,
    FINDINGS,
    GROUPS,
    LINES,
    TERMS,
    Difference,
    as_issued,
    as_priced,
    compare,
    issued_revisions,
)
from estimator.services.issue_quote import issue_quote
from estimator.services.open_record import Record
from estimator.services.print_quote import quote_bytes
from estimator.services.work_out import reckon_whole
from tests.acts.workshop import ESTIMATOR, MANAGER, NOW, adopt_all, golden_job, keep_golden


@pytest.fixture(scope="module")
def now(catalogue: Catalogue) -> PricedJob:
    """Rev B: a finding gone, one read anew, a part put in by hand, another start and confidence."""
    job = golden_job()
    findings = tuple(
        replace(one, measured=Decimal("2.6")) if one.id == "I03" else one
        for one in job.findings
        if one.id != "I40"
    )
    terms = replace(job.terms, confidence=Decimal("0.9"))
    start = datetime.date(2026, 12, 14)
    changed = replace(job, revision="B", findings=findings, start=start, terms=terms)
    return reckon_whole(changed, catalogue)


@pytest.fixture(scope="module")
def differences(priced: PricedJob, now: PricedJob) -> tuple[Difference, ...]:
    return compare(as_priced(priced), as_priced(now))


def by_id(differences, section: str) -> dict[str, Difference]:
    return {one.id: one for one in differences if one.section == section}


def test_a_revision_does_not_differ_from_itself(priced: PricedJob) -> None:
    assert compare(as_priced(priced), as_priced(priced)) == ()


def test_leading_figures_and_the_finish(differences, priced, now) -> None:
    found = by_id(differences, FIGURES)
    net = found["net"]
    assert (net.before, net.after) == (priced.price.net, now.price.net)
    assert net.change == now.price.net - priced.price.net
    finish = found["finish/90"]  # each at its own confidence
    assert (finish.before, finish.after) == (priced.finish.days[0.8], now.finish.days[0.9])


def test_lines_come_and_gone_explain_the_groups(differences) -> None:
    groups, lines = by_id(differences, GROUPS), by_id(differences, LINES)
    assert groups
    assert all(one.change is not None for one in lines.values())
    gone = [one for one in lines.values() if one.after is None]
    assert all(one.figure == "" and one.change == -one.before for one in gone)


def test_findings(differences) -> None:
    found = by_id(differences, FINDINGS)
    assert (found["I03/measured"].before, found["I03/measured"].after) != (None, None)
    assert found["I03/measured"].after == "2.6"
    assert found["I40"].after is None
    assert found["I40"].name.startswith("I40 ")


def test_terms(differences) -> None:
    found = by_id(differences, TERMS)
    assert (found["start"].before, found["start"].after) == (
        datetime.date(2026, 12, 7),
        datetime.date(2026, 12, 14),
    )
    assert Decimal(str(found["terms/confidence"].after)) == Decimal("0.9")
    assert not {"number", "revision", "date"} & set(found)


def test_what_was_issued_is_compared_as_stored(
    record: Record, catalogue: Catalogue, priced: PricedJob
) -> None:
    number = keep_golden(record)
    adopt_all(record, number, catalogue)
    issued = issue_quote(record, number, catalogue, ESTIMATOR, MANAGER, NOW)
    (stored,) = issued_revisions(record, number)
    assert stored == issued
    revision = as_issued(stored)
    assert revision.title == "Q-2041 rev A"
    # figures of the teardown offer are noted when a quote is made: no line or sum of the job
    assert compare(revision, as_priced(priced)) == ()
    net = Money(priced.price.net.minor + 100, "GBP")
    values = {**revision.values, "net": f"{net.amount:f}"}
    (only,) = compare(replace(revision, values=values), as_priced(priced))
    assert (only.id, only.change) == ("net", Money(-100, "GBP"))


def test_a_preview_shows_what_would_be_issued(priced: PricedJob) -> None:
    before = dict(priced.reasons.figures)
    steps: list[str] = []
    first = quote_bytes(priced, "en-GB", steps.append)
    assert first.startswith(b"%PDF")
    assert steps == ["quote", "print"]
    assert priced.reasons.figures == before
    assert quote_bytes(priced, "en_GB") == first
    assert quote_bytes(priced, "de_DE") != first
