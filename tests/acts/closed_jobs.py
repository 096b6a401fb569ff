"""Closed jobs for tests: 100,000 of base, quoted flat or with a distribution."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

from estimator.domain.past_work import ClosedJob


def closed(number: str, final: int = 108_000) -> ClosedJob:
    """A job quoted with a flat 10 %."""
    return ClosedJob(
        number=number, machine_class="WL28", hours=Decimal(12_000), currency="GBP",
        quoted_base=Decimal(100_000), quoted_contingency=Decimal(10_000),
        final_less_requests=Decimal(final), closed_on=date(2025, 3, 4),
    )  # fmt: skip


def quoted(number: int, final: int) -> ClosedJob:
    """A job quoted with its distribution: 102 to 118 thousand, 106 as likely as not."""
    return replace(
        closed(f"Q-{1000 + number}", final),
        p10=Decimal(102_000), p50=Decimal(106_000), p80=Decimal(113_000), p90=Decimal(118_000),
        mean=Decimal(108_000),
    )  # fmt: skip
