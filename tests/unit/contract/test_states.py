"""The table of states: every state is reached, every end is one on purpose."""

from __future__ import annotations

import pytest

from estimator.domain.contract.states import (
    ACTS,
    DECLINED,
    DONE,
    DRAFT,
    FOUND,
    MOVES,
    NOT_DONE,
    OPEN,
    STATES,
    WITHDRAWN,
    NoSuchMove,
    allowed,
    moved,
)


def test_the_table_names_states_and_acts_that_exist():
    assert {state for state, _ in MOVES} | set(MOVES.values()) <= set(STATES)
    assert {act for _, act in MOVES} == set(ACTS)


def test_every_state_is_reached_from_a_finding_or_a_draft():
    reached = {FOUND, DRAFT}
    while True:
        more = {after for (before, _), after in MOVES.items() if before in reached} - reached
        if not more:
            break
        reached |= more
    assert reached == set(STATES)


def test_only_done_and_withdrawn_are_final():
    assert {state for state in STATES if not allowed(state)} == {DONE, WITHDRAWN}


def test_no_answer_is_never_approval():
    for state in (*OPEN, *NOT_DONE):
        with pytest.raises(NoSuchMove, match="cannot release"):
            moved(state, "release")
    assert moved("issued", "lapse") in NOT_DONE


def test_what_was_declined_may_only_be_written_anew():
    assert allowed(DECLINED) == ("revise",)


def test_a_move_that_is_none_says_what_is_possible():
    with pytest.raises(NoSuchMove, match="possible: issue, revise, withdraw"):
        moved("queried", "approve")
