"""What a measurement says: percent worn, life left, and whether the gauge can tell.

Percent worn = (new - measured) / (new - service limit) x 100, common practice, no source; it
holds in either direction of wear since both signs flip. It is never clamped: a part may read
better than new or worse than its limit.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.money import round_half_up


class LimitError(ValueError):
    """Limits that cannot be: equal to new, or the rebuild limit outside new and service."""


@dataclass(frozen=True, slots=True)
class Limits:
    """New value, rebuild limit and service limit of one measure, in one unit."""

    new: Decimal
    rebuild: Decimal
    service: Decimal

    def __post_init__(self) -> None:
        if self.new == self.service:
            raise LimitError(f"the service limit equals the new value, {self.new}")
        if not min(self.new, self.service) <= self.rebuild <= max(self.new, self.service):
            raise LimitError(
                f"the rebuild limit {self.rebuild} does not lie between new {self.new} "
                f"and the service limit {self.service}"
            )

    @property
    def grows(self) -> bool:
        """Whether the reading grows as the part wears."""
        return self.service > self.new


def percent_worn(measured: Decimal, limits: Limits) -> Decimal:
    """0 at new, 100 at the service limit; below 0 and above 100 as they come."""
    return (limits.new - measured) / (limits.new - limits.service) * 100


def is_beyond(measured: Decimal, limit: Decimal, limits: Limits) -> bool:
    """Whether a reading has passed `limit` in the direction of wear."""
    return measured > limit if limits.grows else measured < limit


def remaining_life(percent: Decimal, hours_on_part: Decimal) -> Decimal | None:
    """Hours left at the wear rate so far: (100 - percent) / (percent per hour).

    None where no wear shows yet (nothing to extrapolate); negative past the service limit.
    """
    if percent <= 0 or hours_on_part <= 0:
        return None
    # Six places: the percent is a quotient already, and 37,149.999... is 37,150 h.
    return round_half_up((100 - percent) * hours_on_part / percent, Decimal("0.000001"))


def within_gauge_error(measured: Decimal, gauge_error: Decimal | None, limits: Limits) -> str:
    """ "rebuild" or "service": the limit that the gauge cannot tell the reading from; else ""."""
    if gauge_error is None:
        return ""
    if abs(measured - limits.rebuild) <= gauge_error:
        return "rebuild"
    if abs(measured - limits.service) <= gauge_error:
        return "service"
    return ""
