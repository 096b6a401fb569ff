"""Options side by side: rebuild levels, ways of putting a part right, teardown only."""

from __future__ import annotations

from estimator.domain.options import (
    LevelOption,
    NoOptions,
    WayOption,
    level_options,
    way_options,
)
from estimator.domain.priced_job import PricedJob, Progress
from estimator.domain.teardown import TeardownOffer, teardown_offer
from estimator.domain.wording import worded
from estimator.services.errors import NotFound
from estimator.services.price_job import quiet


def compare_levels(priced: PricedJob, progress: Progress = quiet) -> tuple[LevelOption, ...]:
    """Every rebuild level with the same findings and terms. What `progress` raises ends it."""
    return level_options(priced, progress)


def compare_ways(priced: PricedJob, part: str, progress: Progress = quiet) -> tuple[WayOption, ...]:
    """Every way of putting one part right. Raises NotFound; what `progress` raises ends it."""
    try:
        return way_options(priced, part, progress)
    except NoOptions as error:
        offered = sorted(
            one.part for one in priced.exposed if len(priced.cat.remedies.get(one.part, ())) > 1
        )
        raise NotFound(
            f"{error}.",
            worded("Several ways are offered for: {offered}.", offered=", ".join(offered)),
        ) from None


def offer_teardown(priced: PricedJob) -> TeardownOffer:
    """Strip and report as a priced alternative; its figures can then be asked as teardown/..."""
    return teardown_offer(priced.job, priced.cat, dict(priced.scope.judgements), priced.reasons)
