"""What every new job begins with, opened from a catalogue folder."""

from __future__ import annotations

from pathlib import Path

import pytest

from estimator.services.errors import Refused
from estimator.services.open_workshop import open_workshop


def test_the_one_that_comes_with_the_program_is_taken_where_none_is_named():
    assert open_workshop().party.name == "Tarnbeck Plant Rebuilds"


def test_a_folder_without_one_is_refused_with_the_missing_file(tmp_path: Path):
    with pytest.raises(Refused) as refused:
        open_workshop(tmp_path)
    assert [one.place.file for one in refused.value.problems] == ["workshop.toml"]
