"""What is still open, for contracts without a quote behind them."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

import pytest

from estimator.domain.contract.contract import Contract
from estimator.domain.contract.remaining import Remaining
from estimator.domain.exposure.contingency import held_only
from tests.unit.exposure.models import known


@pytest.fixture
def nothing_open() -> Callable[[Contract], Remaining]:
    """Answers that nothing is open but findings without a price."""

    def rest(contract: Contract) -> Remaining:
        nothing, nobody = contract.nothing, known([])
        held = held_only(nobody, (), (), Decimal("0.8"), contract.currency, Decimal(1))
        return Remaining(
            closed=(), found=(), unmeasured=(), unpriced=contract.unpriced(), known=nobody,
            exposed=nothing, mean=nothing, low=nothing, likely=nothing, high=nothing, held=held,
        )  # fmt: skip

    return rest
