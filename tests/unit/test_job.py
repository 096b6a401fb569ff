"""Hours run: on the machine, on a component since its overhaul, on a part since its renewal."""

from __future__ import annotations

from decimal import Decimal

import pytest

from estimator.domain.job import Event
from tests.unit.changed import finding_changed, machine_changed, walked


def event(hours: int, components=(), renewed=(), seen_sound=()) -> Event:
    return Event(Decimal(hours), "worked on", tuple(components), tuple(renewed), tuple(seen_sound))


def test_a_machine_never_opened_has_run_all_its_hours(job):
    new = machine_changed(job, history=())
    assert new.hours_run("C01A") == 14860
    assert new.hours_run("C01A", "P-LIN") == 14860


def test_hours_count_from_the_last_overhaul(job):
    twice = machine_changed(job, history=(event(8200, ["C01A"]), event(3000, ["C01A", "C02A"])))
    assert twice.hours_run("C01A") == 6660
    assert twice.hours_run("C02A") == 11860
    assert twice.hours_run("C05A") == 14860


def test_hours_of_a_part_count_from_its_renewal(job):
    renewed = machine_changed(job, history=(event(12000, renewed=["P-UJT"]),))
    assert renewed.hours_run("C04A", "P-UJT") == 2860
    assert renewed.hours_run("C04A", "P-CBR") == 14860


def test_a_part_seen_sound_keeps_its_hours(job):
    seen = machine_changed(job, history=(event(8200, seen_sound=["P-CRK"]),))
    assert seen.hours_run("C01A", "P-CRK") == 14860


@pytest.mark.parametrize(
    ("renewed_at", "disposition"),
    [(10000, "reuse"), (12000, "recondition"), (14000, "recondition")],
)
def test_life_left_of_a_renewed_part_is_reckoned_from_its_renewal(
    job, cat, renewed_at, disposition
):
    """I23 reads 37 % worn: over the hours of the renewed joint that is a fast rate."""
    history = (event(renewed_at, renewed=["P-UJT"]),)
    renewed = finding_changed(
        machine_changed(job, history=history),
        "I23",
        measured=Decimal("0.18"),
        override="",
        override_reason="",
    )
    judgement = walked(renewed, cat).judgements["I23"]
    percent = (Decimal("0.18") - Decimal("0.05")) / Decimal("0.35") * 100
    wanted = (100 - percent) * (14860 - renewed_at) / percent
    assert abs(judgement.life_left - wanted) < Decimal("0.001")
    assert judgement.disposition == disposition


def test_hours_typed_with_the_finding_win(job, cat):
    typed = finding_changed(job, "I24", hours_on_part=Decimal(1000))
    judgement = walked(typed, cat).judgements["I24"]
    assert abs(judgement.life_left - 1000 * (100 - judgement.worn_percent)
               / judgement.worn_percent) < Decimal("0.001")  # fmt: skip


def test_number_and_revision_are_said_together(job):
    assert job.title == "Q-2041 rev A"
