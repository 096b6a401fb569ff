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
    waiting = {}
    followers: dict[str, list[str]] = {name: [] for name in after}
    for name, before in after.items():
        known = [one for one in before if one in after]
        waiting[name] = len(known)
        for one in known:
            followers[one].append(name)
    sequence = [name for name, count in waiting.items() if not count]
    for name in sequence:  # grows while it is walked: each activity once all before it are in
        for later in followers[name]:
            waiting[later] -= 1
            if not waiting[later]:
                sequence.append(later)
    if len(sequence) < len(after):
        raise NetworkCycle(_ring(after))
    return tuple(sequence)


def _ring(after: Mapping[str, Sequence[str]]) -> str:
    """One ring of activities that wait for each other, in words."""
    try:
        TopologicalSorter(after).prepare()
    except CycleError as error:
        return " < ".join(error.args[1])
    return ""


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
        begin = max(ready.get(name, 0.0), 0.0)
        for one in after[name]:
            if one in finish and finish[one] > begin:
                begin = finish[one]
        start[name] = begin
        finish[name] = begin + durations[name]
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
