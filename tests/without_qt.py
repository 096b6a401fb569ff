"""Makes Qt unimportable for one test run: pytest -p tests.without_qt -p no:pytest-qt.

Proves that everything below the desktop works on a machine that has no Qt.
"""

import sys
from collections.abc import Sequence
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec
from types import ModuleType

import pytest

HIDDEN = frozenset({"PySide6", "shiboken6"})


class QtHider(MetaPathFinder):
    """Refuses the hidden packages before any other finder is asked."""

    def find_spec(
        self,
        fullname: str,
        path: Sequence[str] | None,
        target: ModuleType | None = None,
    ) -> ModuleSpec | None:
        if fullname.partition(".")[0] in HIDDEN:
            raise ModuleNotFoundError(f"{fullname} is hidden from this test run", name=fullname)
        return None


def loaded_already() -> list[str]:
    """The hidden packages that something imported before this plugin could refuse them."""
    return sorted(HIDDEN.intersection(sys.modules))


if early := loaded_already():
    raise RuntimeError(f"loaded before they could be hidden: {', '.join(early)}")
sys.meta_path.insert(0, QtHider())


def pytest_addoption(parser: pytest.Parser) -> None:
    """Knows the settings of pytest-qt, which is left out of this run, so that none is a fault."""
    for setting in ("qt_api", "qt_log_level_fail"):
        parser.addini(setting, "read by pytest-qt")
    parser.addini("qt_log_ignore", "read by pytest-qt", type="linelist")


def pytest_report_header() -> str:
    return "Qt: hidden from this run"
