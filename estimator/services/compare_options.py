"""Options side by side: rebuild levels, ways of putting a part right, teardown only."""

from __future__ import annotations

from estimator.domain.options import (
    LevelOption,
    NoOptions,
    WayOption,
    level_options,
    way_options,
)
from estimator.domain.priced_job import PricedJob
from estimator.domain.teardown import TeardownOffer, teardown_offer
from estimator.services.errors import NotFound


def compare_levels(priced: PricedJob) -> tuple[LevelOption, ...]:
    """Every rebuild level with the same findings and terms."""
    return level_options(priced)


def compare_ways(priced: PricedJob, part: str) -> tuple[WayOption, ...]:
    """Every way of putting one part right. Raises NotFound."""
    try:
        return way_options(priced, part)
    except NoOptions as error:
        offered = sorted(
            one.part for one in priced.exposed if len(priced.cat.remedies.get(one.part, ())) > 1
        )
        raise NotFound(
            f"{error}.", f"Several ways are offered for: {', '.join(offered)}."
        ) from None


def offer_teardown(priced: PricedJob) -> TeardownOffer:
    """Strip and report as a priced alternative; its figures can then be asked as teardown/..."""
    return teardown_offer(priced.job, priced.cat, dict(priced.scope.judgements), priced.reasons)
