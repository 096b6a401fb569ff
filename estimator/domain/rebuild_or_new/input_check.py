"""What cannot be among the inputs of a comparison with a new machine."""

from __future__ import annotations

from collections.abc import Iterator

from estimator.domain.new_machine import (
    INPUTS,
    KINDS,
    MEANWHILE,
    RATE,
    SHARE,
    Input,
    NewMachine,
    input_of,
)
from estimator.domain.problem import Place, Problem
from estimator.domain.wording import worded

_PAIRS = (("fuel_rebuilt", "fuel_new"), ("upkeep_rebuilt", "upkeep_new"))
_FINANCE = ("financed_share", "finance_rate", "finance_months")


def input_fault(name: str, given: Input) -> str:
    """What is wrong with one input, in words; "" where nothing is."""
    kind = KINDS[name]
    if not given.low <= given.likely <= given.high:
        return worded("Low, likely and high must rise.")
    if given.low < kind.least or (kind.above and given.low <= kind.least):
        if kind.above:
            return worded("It must be above {least}.", least=kind.least)
        return worded("It must not be below {least}.", least=kind.least)
    if given.high > kind.most:
        most = f"{kind.as_shown(kind.most):,f}"
        if kind.unit in (SHARE, RATE):
            return worded("It must not be above {most} %.", most=most)
        return worded("It must not be above {most}.", most=most)
    if given.spreads and not kind.ranges:
        return worded("It takes one figure, no range.")
    return ""


def new_machine_faults(given: NewMachine, currency: str) -> list[Problem]:
    """Everything that keeps the inputs from being compared, each with its place."""
    return list(_faults(given, currency))


def _faults(given: NewMachine, currency: str) -> Iterator[Problem]:
    if given.currency != currency:
        yield _problem(
            "currency",
            worded("is {given}; the job is in {own}.", given=given.currency, own=currency),
            worded("Give the sums of the new machine in the job's currency."),
        )
    if given.meanwhile not in MEANWHILE:
        yield _problem(
            "meanwhile",
            worded("is {value!r}.", value=given.meanwhile[:40]),
            worded("Use one of: {known}.", known=", ".join(MEANWHILE)),
        )
    for name in INPUTS:
        value = input_of(given, name)
        if value is not None and (fault := input_fault(name, value)):
            yield _problem(name, fault, worded("Check the figure."))
    for pair in (*_PAIRS, _FINANCE):
        missing = [name for name in pair if input_of(given, name) is None]
        if missing and len(missing) < len(pair):
            yield _problem(
                missing[0],
                worded("is missing: it only counts together with the other."),
                worded("Fill it in, or leave both out."),
            )


def _problem(name: str, message: str, remedy: str) -> Problem:
    return Problem("bad-entry", Place("job.toml", None, f"[new_machine] {name}"), message, remedy)
