"""Seen of all: what was looked at, and what is inside that nobody saw."""

from __future__ import annotations

from dataclasses import replace

import pytest

from estimator.domain.component_tree import parts_to_settle, seen_of_all
from estimator.domain.scope import judge_all
from tests.unit.changed import finding_added, finding_dropped, finding_made, walked


def tree_of(job, cat):
    return seen_of_all(job, cat, judge_all(job, cat))


def component(tree, code):
    return next(c for group in tree.groups for c in group.components if c.component == code)


@pytest.fixture(scope="module")
def tree(job, cat):
    return tree_of(job, cat)


def test_every_group_and_component_of_the_class_is_there_in_order(tree, cat):
    assert [group.group for group in tree.groups] == list(cat.groups)
    codes = [one.component for group in tree.groups for one in group.components]
    assert sorted(codes) == sorted(cat.components)
    assert all(cat.group_of(one.component) == group.group
               for group in tree.groups for one in group.components)  # fmt: skip


def test_outside_readings_do_not_make_the_inside_seen(tree):
    """Every sign of the crank train was read; nobody saw a crankshaft, block or gear."""
    crank = component(tree, "C01A")
    assert (crank.seen.signs, crank.seen.read) == (4, 4)
    assert (crank.seen.parts, crank.seen.settled) == (3, 0)
    assert crank.seen.words == "4 of 7 looked at, 3 not seen"
    assert {one.part: one.state for one in crank.unseen} == {
        "P-CRK": "sign only", "P-BLK": "not seen", "P-TGS": "not seen"
    }  # fmt: skip
    assert crank.unseen[0].name
    assert "I80" in crank.unseen[0].findings


def test_a_component_seen_through_says_so(tree):
    assert component(tree, "C10A").seen.words == "2 of 2 looked at"
    assert component(tree, "C10A").unseen == ()
    assert component(tree, "C15A").seen.words == "nothing to look at"


def test_sums_of_groups_and_machine_are_those_of_their_components(tree):
    for group in tree.groups:
        for name in ("parts", "settled", "signs", "read", "findings", "all", "not_seen"):
            total = sum(getattr(one.seen, name) for one in group.components)
            assert getattr(group.seen, name) == total, (group.group, name)
    assert tree.seen.all == sum(group.seen.all for group in tree.groups)
    assert tree.seen.looked_at + tree.seen.not_seen == tree.seen.all
    assert tree.seen.not_seen >= len(tree.unseen)


def test_unseen_parts_are_those_that_no_finding_settles(tree, job, cat, golden_walk):
    wanted = {part for part in parts_to_settle(job, cat) if not golden_walk.called[part].settled}
    assert {one.part for one in tree.unseen} == wanted
    assert golden_walk.open_parts <= wanted


def test_without_a_finding_nothing_is_seen(job, cat):
    bare = tree_of(replace(job, findings=()), cat)
    assert bare.seen.looked_at == 0
    assert {one.state for one in bare.unseen} == {"not looked at"}
    assert len(bare.unseen) == len(parts_to_settle(job, cat))


def test_a_look_settles_a_part_and_moves_one_from_not_seen_to_seen(job, cat, tree):
    looked = tree_of(
        finding_added(job, finding_made(kind="visual", part=("P-BLK",), result="sound")), cat
    )
    before, after = component(tree, "C01A").seen, component(looked, "C01A").seen
    assert (after.settled - before.settled, after.not_seen - before.not_seen) == (1, -1)
    assert "P-BLK" not in {one.part for one in looked.unseen}


def test_a_test_not_made_is_told_from_a_part_not_seen(job, cat):
    one = finding_dropped(job, *(f.id for f in job.findings))
    for kind in ("not seen", "not tested"):
        got = tree_of(finding_added(one, finding_made(kind=kind, part=("P-BLK",))), cat)
        states = {part.part: part.state for part in got.unseen}
        assert states["P-BLK"] == kind
        assert states["P-CRK"] == "not looked at"


def test_a_sign_nobody_read_is_listed(job, cat, tree):
    named = next(f for f in job.findings if f.measure and f.measure in {
        sign for sign in cat.measures if not cat.measures[sign].part})  # fmt: skip
    code = cat.measures[named.measure].component
    without = tree_of(finding_dropped(job, named.id), cat)
    assert named.measure not in component(tree, code).unread
    assert named.measure in component(without, code).unread


def test_the_driveline_level_asks_for_less(job, cat):
    driveline = replace(job, level="driveline")
    assert 0 < len(parts_to_settle(driveline, cat)) < len(parts_to_settle(job, cat))
    assert walked(driveline, cat).scope.level == "driveline"
