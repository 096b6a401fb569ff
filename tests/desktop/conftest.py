"""The window's tests run without a screen, in one style, so that pictures are the same.

A record with one inspected job is built once and copied for each test; the catalogue is read once.
"""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest

from estimator.domain.people import ESTIMATOR, SERVICE_MANAGER
from estimator.services.enrol_person import enrol_person, person_named
from estimator.services.keep_job import take_in_job
from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_record import Record, open_record, record_at
from estimator.services.open_sample import sample_folder

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("LANG", "C.UTF-8")

NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)
MANAGER, HOLT, PASSPHRASE = "J. Tarn", "P. Holt", "a long enough one"
AREAS = ("enquiry", "inspection", "scope", "price", "exposure", "programme", "quote")
LONGEST = 60_000  # ms; machines that run tests are slow now and then

try:
    import_module("PySide6.QtWidgets")
except ImportError:
    # A machine without Qt runs everything but the window.
    collect_ignore_glob = ["*"]
else:

    @pytest.fixture(scope="session", autouse=True)
    def light_look(qapp: Any) -> Iterator[None]:
        """Fusion in the light theme, whatever the desktop wears."""
        from estimator.desktop.theme import apply_theme, load_theme

        qapp.setStyle("Fusion")
        apply_theme(qapp, load_theme("light"))
        yield


@pytest.fixture(scope="session")
def catalogue() -> Any:
    """The price catalogue that comes with the program, read once."""
    return open_catalogue()


@pytest.fixture(scope="session")
def template(tmp_path_factory: pytest.TempPathFactory, catalogue: Any) -> Path:
    """A record with a service manager, an estimator and the wheel loader's job Q-2041."""
    path = tmp_path_factory.mktemp("record") / "template.db"
    with open_record(path, NOW) as record:
        manager = enrol_person(record, MANAGER, SERVICE_MANAGER, PASSPHRASE, None, NOW)
        holt = enrol_person(record, HOLT, ESTIMATOR, PASSPHRASE, manager, NOW)
        take_in_job(record, sample_folder("wheel_loader"), catalogue, holt, NOW)
    return path


@pytest.fixture(scope="session")
def contract_template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A record with the same job accepted and in the middle of its teardown."""
    from tests.desktop.under_contract import build

    path = tmp_path_factory.mktemp("contract") / "template.db"
    build(path)
    return path


@pytest.fixture
def record(template: Path, tmp_path: Path) -> Iterator[Record]:
    """A copy of the template, open."""
    path = tmp_path / "record.db"
    shutil.copyfile(template, path)
    opened = record_at(path, NOW)
    yield opened
    opened.close()


@pytest.fixture
def make_window(qtbot: Any, record: Record, catalogue: Any) -> Iterator[Callable[..., Any]]:
    """Composes the window on the record: `make_window(name="P. Holt", locale="en_GB")`. It is
    shown, its catalogue is there, and its threads have ended when the test is over."""
    with windows_on(record, catalogue) as make:
        yield make


@pytest.fixture(scope="module")
def shared_record(
    template: Path, tmp_path_factory: pytest.TempPathFactory, qapp: Any
) -> Iterator[Record]:
    """A copy of the template for all tests of a module."""
    path = tmp_path_factory.mktemp("shared") / "record.db"
    shutil.copyfile(template, path)
    opened = record_at(path, NOW)
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def make_shared_window(shared_record: Record, catalogue: Any) -> Iterator[Callable[..., Any]]:
    """As `make_window`, for all tests of a module."""
    with windows_on(shared_record, catalogue) as make:
        yield make


@contextmanager
def windows_on(record: Record, catalogue: Any) -> Iterator[Callable[..., Any]]:
    """Composes windows on a record; their threads have ended when it is left."""
    from PySide6.QtCore import QSettings

    from estimator import app
    from estimator.desktop.formats import Formats
    from estimator.desktop.preferences import Preferences

    windows = []

    def make(name: str = HOLT, locale: str = "en_GB") -> Any:
        settings = QSettings(
            str(Path(record.database.engine.url.database or "").with_suffix(".ini")),
            QSettings.Format.IniFormat,
        )
        window = app.compose(
            record, person_named(record, name), Formats(locale), Preferences(settings)
        )
        windows.append(window)
        window.show()
        settle(None, window)
        return window

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(app, "open_catalogue", lambda: catalogue)
        patched.setattr(app, "clock", lambda: NOW)
        patched.setattr(app, "_catch_unexpected", lambda _presenter: None)
        yield make
        for window in windows:
            window.desk.close()
            window.workshop.runner.wait()
            window.hide()
            window.deleteLater()


def plain_pages(window: Any, *, reckon: bool = False) -> Any:
    """The window with nothing on the pages of a job, and contingency and dates reckoned only where
    a test asks for them: for tests that are about neither."""
    from estimator.desktop.page import Page

    for area in AREAS:
        window._makers[area] = lambda: Page(window.workshop, window.desk)
    if not reckon:
        window.desk.reckoner.soon.timeout.disconnect()
    return window


def wait_for(done: Callable[[], bool], timeout: int = LONGEST) -> None:
    """Wait in an event loop, which lets other threads run.

    The loop is begun again where something else ended it: a window before that closed late, or
    what was done for a moment and no longer is.
    """
    from PySide6.QtCore import QEventLoop, QTimer

    ends = time.monotonic() + timeout / 1000
    loop, timer = QEventLoop(), QTimer()
    timer.timeout.connect(lambda: loop.quit() if done() or time.monotonic() > ends else None)
    timer.start(10)
    while not done():
        assert time.monotonic() < ends, "it did not come about in time"
        loop.exec()


def settle(_qtbot: Any, window: Any) -> None:
    """Wait until nothing is left to do in the background."""

    def quiet() -> bool:
        return (
            window.workshop.catalogue is not None
            and not window.workshop.runner.busy
            and not window.desk.waiting
        )

    wait_for(quiet)


def open_at(qtbot: Any, window: Any, area: str, number: str = "Q-2041", place: str = "") -> Any:
    """Open a job at one of its areas; the page."""
    window.open_job(number, area, place)
    qtbot.waitUntil(lambda: window.page_key == area, timeout=LONGEST)
    return window.page
