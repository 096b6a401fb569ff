"""Folders of one's own to spoil."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.golden.golden_job import CATALOGUE, JOB


@pytest.fixture
def job_folder(tmp_path: Path) -> Path:
    """A copy of the golden job's folder."""
    return Path(shutil.copytree(JOB, tmp_path / "job"))


@pytest.fixture
def catalogue_folder(tmp_path: Path) -> Path:
    """A copy of the golden catalogue's folder."""
    return Path(shutil.copytree(CATALOGUE, tmp_path / "catalogue"))
