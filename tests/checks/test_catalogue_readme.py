"""The tables in the catalogue's own README follow from the catalogue: none has gone stale."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path
from types import ModuleType

import pytest

from estimator.services.open_catalogue import open_catalogue
from estimator.services.price_classes import price_classes

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "catalog" / "README.md").read_text(encoding="utf-8")
MEND = "Run python packaging/catalogue_readme.py."


@pytest.fixture(scope="module")
def made() -> ModuleType:
    """The program that writes the tables."""
    path = ROOT / "packaging" / "catalogue_readme.py"
    spec = importlib.util.spec_from_file_location("catalogue_readme", path)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def block(name: str) -> list[str]:
    found = re.search(rf"<!-- made: {name} -->\n(.*?)<!-- end -->", README, re.S)
    assert found is not None, name
    return found[1].splitlines()


@pytest.mark.parametrize("name", ["classes", "counts", "traits", "columns"])
def test_tables_of_the_catalogue_are_as_it_is(made, name):
    lines = "\n".join(getattr(made, name)(open_catalogue())).strip().splitlines()
    assert "\n".join(block(name)).strip().splitlines() == lines, MEND


def test_prices_stand_for_every_class_level_and_hours(made):
    cells = [tuple(cell.strip() for cell in line.split("|")[1:4]) for line in block("prices")[2:]]
    expected = [
        (code, level, f"{hours:,}")
        for code in open_catalogue().classes
        for level in ("full", "driveline", "repair")
        for hours in (5_000, 10_000, 15_000)
    ]
    assert cells == expected, MEND


@pytest.mark.parametrize("code", ["WL28", "LC36"])
def test_prices_are_those_of_today_s_catalogue(made, code):
    found = price_classes(None, made.PRICED_ON, [code])
    rows = [line for line in block("prices") if line.startswith(f"| {code} |")]
    assert rows == list(made.prices(found))[2:], MEND
    told = [line for line in block("dearest") if line.startswith(f"- **{code} ")]
    assert told == list(made.dearest(found)), MEND
