"""Which chances of a job rest on starting values that nobody stands for."""

from __future__ import annotations

from decimal import Decimal

import pytest

from estimator.domain.adoption import count_parts, in_words, starting_values, stated, without
from estimator.domain.catalogue.catalogue import for_class
from tests.unit.changed import row_changed, walked


@pytest.fixture(scope="module")
def values(golden_walk, cat):
    return starting_values(golden_walk.exposed, cat)


def test_every_exposed_part_that_rests_on_one_is_there_and_no_other(values, golden_walk):
    wanted = {
        one.part for one in golden_walk.exposed if one.chance.rests_on == "starting value"
    }  # fmt: skip
    assert {part for one in values for part in one.parts} == wanted
    assert count_parts(values) == len(wanted)
    assert "P-HB1" not in wanted  # own cases
    assert "P-RFC" not in wanted  # judged


def test_they_are_stated_as_the_catalogue_has_them(cat):
    assert stated(cat.wear["P-TGR"]) == "shape 3, chance 0.09 at 15000 h"


def test_an_adoption_holds_while_the_catalogue_says_the_same(job, catalogue, values):
    adopted = {(one.subject, one.stated) for one in values}
    assert without(values, adopted) == ()
    changed = row_changed(catalogue, "wear", "P-TGR", starting_chance=Decimal("0.1"))
    other = for_class(changed, "WL28")
    (left,) = without(starting_values(walked(job, other).exposed, other), adopted)
    assert (left.subject, left.parts) == ("P-TGR", ("P-TGR",))


def test_they_are_told_in_words(values):
    names = [name for one in values for name in one.names]
    assert in_words(values) == f"{', '.join(names[:3])} and {len(names) - 3} more"
    assert in_words(values[:1]) == values[0].names[0]
