"""The inputs of a comparison as plain data: what `[new_machine]` of a job's file holds."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from estimator.domain.new_machine import FACTORS, INPUTS, Factor, Input, NewMachine

Data = dict[str, Any]


def new_machine_as_data(given: NewMachine) -> Data:
    """Everything that was given; what was not is left out, and so is a spread that is none."""
    inputs = {name: _input(value) for name in INPUTS if (value := getattr(given, name)) is not None}
    factors = {
        name: _factor(value) for name in FACTORS if (value := getattr(given, name)) is not None
    }
    return {"currency": given.currency, "meanwhile": given.meanwhile, **inputs, **factors}


def _input(value: Input) -> Data:
    spread = {"low": str(value.low), "high": str(value.high)} if value.spreads else {}
    dated = {"dated": value.dated.isoformat()} if value.dated is not None else {}
    source = {"source": value.source} if value.source else {}
    return {"likely": str(value.likely), **spread, "origin": value.origin, **source, **dated}


def _factor(value: Factor) -> Data:
    return {one.name: str(getattr(value, one.name)) for one in fields(value)}
