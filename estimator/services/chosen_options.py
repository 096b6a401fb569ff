"""Options of a quote that a customer chose: what is accepted is what was issued, and nothing else.

A quote offers other rebuild levels beside its own (`domain.options`), each at a price reckoned when
it was issued; its lines, its exposed parts and its programme are not frozen with it. A contract
rests on frozen work: were another level accepted as words, its price would reach no sum and its
work no programme. So the level that was issued is accepted, and for another one a revision with it
is issued.
"""

from __future__ import annotations

from collections.abc import Sequence

from estimator.documents.grammar import labels
from estimator.domain.catalogue.rows import JOB_LEVELS
from estimator.domain.job import Job
from estimator.domain.wording import worded
from estimator.services.errors import Conflict


def refuse_other_options(job: Job, options: Sequence[str]) -> None:
    """Raises Conflict where an option other than what was issued is chosen."""
    for option in options:
        wanted = option.strip().lower()
        if wanted in (job.level.lower(), labels.LEVELS.get(job.level, job.level).lower()):
            continue
        known = [*JOB_LEVELS, *(labels.LEVELS.get(level, level) for level in JOB_LEVELS)]
        if wanted in {level.lower() for level in known}:
            raise Conflict(
                worded(
                    "{title} was issued at the level {level!r}, not {option!r}.",
                    title=job.title,
                    level=job.level,
                    option=option,
                ),
                worded(
                    "Revise it to {option!r} and issue that revision, then record its acceptance.",
                    option=option,
                ),
            )
        raise Conflict(
            worded("{title} has no option {option!r}.", title=job.title, option=option),
            worded(
                "It was issued at the level {level!r}: leave options blank, issue a "
                "revision that holds what was chosen, or raise a variation for it.",
                level=job.level,
            ),
        )
