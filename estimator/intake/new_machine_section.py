"""Reading `[new_machine]` of a job's file: what the rebuild is compared with."""

from __future__ import annotations

from decimal import Decimal

from estimator.domain.new_machine import (
    FACTORS,
    INPUTS,
    KINDS,
    MEANWHILE,
    ORIGINS,
    STANDS,
    TYPED,
    Factor,
    Input,
    NewMachine,
)
from estimator.domain.rebuild_or_new.input_check import input_fault
from estimator.intake.sections import Section

MOST_FACTOR = Decimal(1000)


def new_machine_of(top: Section) -> NewMachine | None:
    """The inputs of a comparison; None where the file has none."""
    top.taken.add("new_machine")
    if top.data.get("new_machine") is None:
        return None
    part = top.section("new_machine")
    inputs = {name: _input(part.section(name), name) for name in INPUTS if _has(part, name)}
    factors = {name: _factor(part.section(name)) for name in FACTORS if _has(part, name)}
    given = NewMachine(
        currency=part.currency("currency"),
        meanwhile=part.text("meanwhile", STANDS, choices=MEANWHILE),
        **inputs,  # type: ignore[arg-type]
        **factors,  # type: ignore[arg-type]
    )
    part.close()
    return given


def _has(part: Section, name: str) -> bool:
    part.taken.add(name)
    return part.data.get(name) is not None


def _input(part: Section, name: str) -> Input:
    """Low and high may be left out: they are the likely figure then."""
    most = KINDS[name].most
    before = len(part.problems)
    likely = part.number("likely", low=0, high=most)
    given = Input(
        low=part.number("low", likely, low=0, high=most),
        likely=likely,
        high=part.number("high", likely, low=0, high=most),
        origin=part.text("origin", TYPED, choices=ORIGINS),
        source=part.text("source", ""),
        dated=part.day_or_none("dated"),
    )
    if len(part.problems) == before and (fault := input_fault(name, given)):
        part.fault("likely", "bad-entry", fault, "Check the figure.")
    part.close()
    return given


def _factor(part: Section) -> Factor:
    factor = Factor(
        value=part.number("value", low=0, high=MOST_FACTOR),
        gas=part.text("gas", choices=("CO2", "CO2e")),
        covers=part.text("covers", ""),
        gwp=part.text("gwp", ""),
        edition=part.text("edition"),
        source=part.text("source"),
    )
    if factor.gas == "CO2e" and not factor.gwp:
        part.fault("gwp", "missing-entry", "is blank.", "CO2e needs the set that made it.")
    part.close()
    return factor
