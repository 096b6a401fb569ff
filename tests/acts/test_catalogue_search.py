"""Finding rows of the catalogue by words: the same rows as a plain scan finds."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.domain.catalogue.changes import rows_of, table_names
from estimator.services import catalogue_search
from estimator.services.catalogue_search import CatalogueSearch, searched_text
from estimator.services.open_catalogue import open_catalogue
from tests.acts.conftest import GOLDEN

CATALOGUE = open_catalogue(GOLDEN / "catalogue")
ROWS = [(table, row) for table in table_names(CATALOGUE) for row in rows_of(CATALOGUE, table)]
SEARCH = CatalogueSearch(ROWS)
TEXTS = [searched_text(row) for _, row in ROWS]


@settings(max_examples=200, deadline=None)
@given(st.one_of(
    st.text(alphabet="abcdeopst0-; G", max_size=5),
    st.sampled_from(TEXTS).flatmap(lambda text: st.integers(0, len(text)).map(
        lambda at: text[at : at + 7]
    )),
))  # fmt: skip
@pytest.mark.parametrize("many", [5, 5_000])
def test_the_rows_are_those_that_hold_every_word(many: int, words: str) -> None:
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(catalogue_search, "_MANY", many)
        found = [one.index for one in SEARCH.find(words)]
    wanted = words.casefold().split()
    assert found == [n for n, text in enumerate(TEXTS) if all(one in text for one in wanted)]


def test_case_does_not_count_and_a_line_end_is_no_place_where_two_rows_meet() -> None:
    first = TEXTS[0]
    assert SEARCH.find(first.upper()[:12])[0].index == 0
    assert [one.row for one in SEARCH.find("")] == [row for _, row in ROWS]
