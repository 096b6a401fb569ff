"""What the exposure was before something was resolved, beside what it is now."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.money import Money
from estimator.services.show_exposure import ExposureView


@dataclass(frozen=True, slots=True)
class Moved:
    """Two reckonings at one confidence. What a look finds moves money from exposed to priced work:
    the change of the contingency is no saving by itself, so that the change of both stands beside
    it. `reached` are the final costs that as many outcomes do not exceed."""

    confidence: Decimal
    before: Money
    now: Money
    reached_before: Money
    reached: Money
    base_change: Money

    @property
    def change(self) -> Money:
        """By how much the contingency moved."""
        return self.now - self.before

    @property
    def total_change(self) -> Money:
        """By how much the price before tax moved."""
        return self.base_change + self.change


def differs(before: ExposureView, now: ExposureView) -> bool:
    """Whether the final cost is distributed otherwise; another confidence alone is none."""
    return _figures(before) != _figures(now)


def _figures(view: ExposureView) -> tuple[object, ...]:
    return (view.base, view.mean_total, *((one.reached, one.amount) for one in view.others))


def moved(before: ExposureView, now: ExposureView, confidence: Decimal) -> Moved | None:
    """How far figures moved at a confidence; None where they are of two jobs or currencies, or
    not known at it."""
    one, two = before.held.get(confidence), now.held.get(confidence)
    same = (before.job_number, before.base.currency) == (now.job_number, now.base.currency)
    if one is None or two is None or not same:
        return None
    return Moved(
        confidence, one.amount, two.amount, one.reached, two.reached, now.base - before.base
    )
