"""Reading `workshop.toml`: the workshop as printed, and the terms every new job begins with."""

from __future__ import annotations

from pathlib import Path

from estimator.domain.new_job import LEAST_DUTY, MOST_DUTY, MOST_LIFE, JobDefaults
from estimator.domain.problem import Problem
from estimator.intake.agreed_sections import party_of, rates_of, terms_of
from estimator.intake.sections import Section
from estimator.intake.structured import read_toml
from estimator.intake.text_file import read_text

FILE = "workshop.toml"
FORMAT = 1


def read_workshop(folder: Path) -> tuple[JobDefaults | None, list[Problem]]:
    """What `workshop.toml` in a catalogue folder holds, and every fault; None if any was found.

    A folder without the file has one fault: that it is missing.
    """
    text, problems = read_text(folder / FILE)
    if problems:
        return None, problems
    data, problems = read_toml(text, FILE)
    if data is None:
        return None, problems
    top = Section(FILE, "", data, problems)
    if top.whole("format") != FORMAT:
        top.fault("format", "bad-setting", f"must be {FORMAT} for this program.", "Mend it.")
    new = top.section("new_job")
    defaults = JobDefaults(
        party=party_of(top.section("workshop_party")),
        terms=terms_of(top.section("terms")),
        exchange_rates=rates_of(top),
        releaser=new.text("releaser"),
        duty=new.number("duty", low=LEAST_DUTY, high=MOST_DUTY),
        life_wanted=new.number("life_wanted", above=0, high=MOST_LIFE),
        start_days=new.whole("start_days", high=730),
    )
    if defaults.terms.currency in defaults.exchange_rates:
        message = f"holds a rate for {defaults.terms.currency}, the quote's own currency."
        top.fault("exchange_rate", "own-rate", message, "Take it out.")
    new.close()
    top.close()
    return (None if problems else defaults), problems
