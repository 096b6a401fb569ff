"""Critical path method: earliest and latest times of activities that wait for each other."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter


class NetworkCycle(ValueError):
    """Activities that wait for each other in a ring."""


@dataclass(frozen=True, slots=True)
class Timing:
    """Earliest and latest start and finish of one activity, and its slack, in one unit of time."""

    start: float
    finish: float
    latest_start: float
    latest_finish: float

    @property
    def slack(self) -> float:
        """How long it may slip without moving the end."""
        return self.latest_start - self.start


def order(after: Mapping[str, Sequence[str]]) -> tuple[str, ...]:
    """Activities so that each comes after those it waits for. Raises NetworkCycle.

    Predecessors that are not in the network are ignored.
    """
    graph = {name: [one for one in before if one in after] for name, before in after.items()}
    try:
        return tuple(TopologicalSorter(graph).static_order())
    except CycleError as error:
        raise NetworkCycle(" < ".join(error.args[1])) from None


def critical_path(
    durations: Mapping[str, float],
    after: Mapping[str, Sequence[str]],
    not_before: Mapping[str, float] | None = None,
) -> dict[str, Timing]:
    """Forward and backward pass (critical path method, any textbook of management science).

    `not_before` gives the earliest time an activity may start for reasons outside the network
    (parts that have to come first). Raises NetworkCycle.
    """
    ready = not_before or {}
    sequence = order(after)
    start: dict[str, float] = {}
    finish: dict[str, float] = {}
    for name in sequence:
        waits = [finish[one] for one in after[name] if one in finish]
        start[name] = max([*waits, ready.get(name, 0.0), 0.0])
        finish[name] = start[name] + durations[name]
    end = max(finish.values(), default=0.0)
    latest: dict[str, float] = dict.fromkeys(sequence, end)
    for name in reversed(sequence):
        begin = latest[name] - durations[name]
        for one in after[name]:
            if one in latest:
                latest[one] = min(latest[one], begin)
    return {
        name: Timing(start[name], finish[name], latest[name] - durations[name], latest[name])
        for name in sequence
    }
