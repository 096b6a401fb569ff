"""The critical path against three textbook networks and networkx 3.6.1.

The textbook networks are drawn with activities on arrows: an activity from event 2 to 4 waits for
every activity that ends at 2. Here each arrow becomes a node of its own.
"""

from __future__ import annotations

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.domain.programme.network import NetworkCycle, critical_path, order

QUICK = settings(deadline=None, max_examples=150, database=None)

# Published: a management-science textbook's solutions, chapter 8, problems 1 and 2 (seen): arrows
# with their durations, in the order in which the slacks are printed.
PROBLEMS = {
    1: (
        {"1-2": 7, "1-3": 10, "2-4": 6, "3-4": 5, "3-5": 4, "4-5": 3, "5-6": 2},
        20,
        [2, 0, 2, 0, 4, 0, 0],
    ),
    2: (
        {"1-2": 8, "1-3": 10, "1-4": 9, "2-5": 6, "2-6": 4, "3-5": 5, "4-5": 0, "4-7": 7,
         "5-7": 12, "5-8": 15, "6-9": 18, "7-8": 4, "8-9": 7},
        38,
        [1, 0, 6, 1, 8, 0, 6, 11, 0, 1, 8, 0, 0],
    ),
}  # fmt: skip

# A plant of 14 activities: most durations seen in a textbook, predecessors and H = 9 from memory;
# the end of 44 is remembered as well as computed.
PLANT = {
    "A": (2, ""), "B": (4, "A"), "C": (10, "B"), "D": (6, "C"), "E": (4, "C"), "F": (5, "E"),
    "G": (7, "D"), "H": (9, "EG"), "I": (7, "C"), "J": (8, "FI"), "K": (4, "J"), "L": (5, "J"),
    "M": (2, "H"), "N": (6, "KL"),
}  # fmt: skip


def waits(arrows: dict[str, int]) -> dict[str, list[str]]:
    """Arrows that must be done before each."""
    ends = {arrow: arrow.split("-")[1] for arrow in arrows}
    return {
        arrow: [other for other, end in ends.items() if end == arrow.split("-")[0]]
        for arrow in arrows
    }


@pytest.mark.parametrize("number", PROBLEMS)
def test_textbook_problems(number):
    arrows, end, slacks = PROBLEMS[number]
    timings = critical_path(arrows, waits(arrows))
    assert max(timing.finish for timing in timings.values()) == end
    assert [timings[arrow].slack for arrow in arrows] == slacks


def test_critical_arrows_of_the_first_problem():
    arrows = PROBLEMS[1][0]
    timings = critical_path(arrows, waits(arrows))
    # published: 1-3-4-5-6
    assert [a for a in arrows if timings[a].slack == 0] == ["1-3", "3-4", "4-5", "5-6"]


def test_plant_of_fourteen_activities():
    durations = {name: hours for name, (hours, _) in PLANT.items()}
    timings = critical_path(durations, {name: list(before) for name, (_, before) in PLANT.items()})
    assert max(timing.finish for timing in timings.values()) == 44
    assert "".join(name for name in PLANT if timings[name].slack == 0) == "ABCEFJLN"


@st.composite
def networks(draw):
    """(durations, predecessors): each of up to nine activities may wait for any before it."""
    count = draw(st.integers(1, 9))
    names = draw(st.permutations([f"N{n}" for n in range(count)]))
    durations = {name: draw(st.integers(0, 40)) for name in names}
    after = {
        name: draw(st.lists(st.sampled_from(names[:place]), unique=True)) if place else []
        for place, name in enumerate(names)
    }
    return durations, after


def longest(durations: dict[str, int], after: dict[str, list[str]], last: str | None = None) -> int:
    """Length of the longest path, or of the longest that runs through `last`, by networkx."""
    graph = nx.DiGraph()
    graph.add_nodes_from([*durations, "start", "end"])
    for name, before in after.items():
        for one in before or ["start"]:
            graph.add_edge(one, name, weight=durations.get(one, 0))
        graph.add_edge(name, "end", weight=durations[name])
    if last is None:
        return nx.dag_longest_path_length(graph)
    before = graph.subgraph([*nx.ancestors(graph, last), last])
    behind = graph.subgraph([*nx.descendants(graph, last), last])
    return nx.dag_longest_path_length(before) + nx.dag_longest_path_length(behind)


@QUICK
@given(networks())
def test_longest_path_against_networkx(network):
    durations, after = network
    timings = critical_path(durations, after)
    end = longest(durations, after)
    assert max(timing.finish for timing in timings.values()) == end
    for name, timing in timings.items():
        assert timing.slack == end - longest(durations, after, name), name


@QUICK
@given(networks(), st.data())
def test_rules_of_a_programme(network, data):
    durations, after = network
    ready = {name: data.draw(st.integers(0, 60)) for name in durations}
    timings = critical_path(durations, after, ready)
    end = max(timing.finish for timing in timings.values())
    for name, timing in timings.items():
        waited = max([ready[name], *(timings[one].finish for one in after[name])])
        assert timing.start == waited
        assert timing.finish == timing.start + durations[name]
        assert timing.start <= timing.latest_start
        assert timing.latest_finish <= end
        for one in after[name]:
            assert timings[one].latest_finish <= timing.latest_start
    assert min(timing.slack for timing in timings.values()) == 0


def test_late_parts_move_the_end():
    # by hand: B may start at 30 although A is done at 10
    timings = critical_path({"A": 10, "B": 5, "C": 3}, {"A": [], "B": ["A"], "C": ["A"]}, {"B": 30})
    assert (timings["B"].start, timings["B"].finish) == (30, 35)
    assert (timings["A"].slack, timings["B"].slack, timings["C"].slack) == (20, 0, 22)


@QUICK
@given(networks())
def test_the_order_keeps_every_predecessor_before(network):
    _, after = network
    place = {name: number for number, name in enumerate(order(after))}
    assert set(place) == set(after)
    for name, before in after.items():
        assert all(place[one] < place[name] for one in before)


def test_activities_in_a_ring_are_refused():
    with pytest.raises(NetworkCycle, match="A"):
        critical_path({"A": 1, "B": 1, "C": 1}, {"A": ["C"], "B": ["A"], "C": ["B"]})
