"""Critical path: earliest and latest times, slack, and rings."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.domain.programme.network import NetworkCycle, critical_path, order


@st.composite
def networks(draw):
    """(durations, predecessors, not before) of up to ten activities, each after earlier ones."""
    count = draw(st.integers(1, 10))
    names = [f"A{number}" for number in range(count)]
    after = {
        name: draw(st.lists(st.sampled_from(names[:number]), max_size=3)) if number else []
        for number, name in enumerate(names)
    }
    shuffled = draw(st.permutations(names))
    durations = {name: draw(st.integers(0, 40)) for name in names}
    ready = {name: draw(st.sampled_from([0, 0, 0, 25])) for name in names}
    return durations, {name: after[name] for name in shuffled}, ready


def longest(durations, after, ready) -> dict[str, float]:
    """Finish of each activity by plain recursion."""
    done: dict[str, float] = {}

    def finish(name: str) -> float:
        if name not in done:
            waits = [finish(one) for one in after[name]]
            done[name] = max([ready[name], 0, *waits]) + durations[name]
        return done[name]

    return {name: finish(name) for name in after}


def test_by_hand():
    found = critical_path(
        {"A": 3, "B": 4, "C": 2, "D": 1}, {"A": [], "B": ["A"], "C": ["A"], "D": ["B", "C"]}
    )
    assert [(one.start, one.finish) for one in found.values()] == [(0, 3), (3, 7), (3, 5), (7, 8)]
    assert found["C"].slack == 2
    assert {name for name, one in found.items() if one.slack == 0} == {"A", "B", "D"}


@settings(max_examples=50)
@given(networks())
def test_earliest_times_are_the_longest_paths(network):
    durations, after, ready = network
    found = critical_path(durations, after, ready)
    wanted = longest(durations, after, ready)
    assert {name: one.finish for name, one in found.items()} == wanted


@settings(max_examples=50)
@given(networks())
def test_latest_times_keep_the_end(network):
    durations, after, ready = network
    found = critical_path(durations, after, ready)
    end = max(one.finish for one in found.values())
    for name, one in found.items():
        assert one.slack >= 0
        assert one.latest_finish - one.latest_start == durations[name]
        assert one.latest_finish <= end
        for before in after[name]:
            assert found[before].latest_finish <= one.latest_start
            assert found[before].finish <= one.start
    assert min(one.slack for one in found.values()) == 0


@settings(max_examples=50)
@given(networks(), st.data())
def test_slipping_by_its_slack_does_not_move_the_end(network, data):
    durations, after, ready = network
    found = critical_path(durations, after, ready)
    name = data.draw(st.sampled_from(sorted(after)))
    end = max(one.finish for one in found.values())
    slipped = {**durations, name: durations[name] + found[name].slack}
    assert max(longest(slipped, after, ready).values()) == end
    beyond = {**slipped, name: slipped[name] + 1}
    assert max(longest(beyond, after, ready).values()) == end + 1


@settings(max_examples=50)
@given(networks())
def test_each_comes_after_what_it_waits_for(network):
    _, after, _ = network
    sequence = order(after)
    assert sorted(sequence) == sorted(after)
    for name, before in after.items():
        assert all(sequence.index(one) < sequence.index(name) for one in before)


@pytest.mark.parametrize(
    "after",
    [
        {"A": ["A"]},
        {"A": ["B"], "B": ["A"]},
        {"A": [], "B": ["A", "D"], "C": ["B"], "D": ["C"]},
    ],
)
def test_a_ring_is_named(after):
    with pytest.raises(NetworkCycle, match="<"):
        order(after)
    with pytest.raises(NetworkCycle):
        critical_path(dict.fromkeys(after, 1.0), after)


def test_what_is_not_in_the_network_is_not_waited_for():
    found = critical_path({"A": 2.0}, {"A": ["tracks"]})
    assert (found["A"].start, found["A"].finish) == (0, 2)


def test_an_empty_network_takes_no_time():
    assert critical_path({}, {}) == {}
    assert order({}) == ()
