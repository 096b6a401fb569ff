"""What holds for every test: property tests take the same examples each time, nobody's screen is
used but one of our own, and passphrases are hashed at a low cost unless a test asks for the full
one. Where tests run side by side, the files that take longest begin first."""

from __future__ import annotations

import os
import sqlite3
import subprocess
from collections.abc import Iterator, Mapping
from contextlib import closing
from pathlib import Path
from threading import Lock

import pytest
from alembic.config import Config
from argon2 import PasswordHasher
from hypothesis import HealthCheck, settings

from estimator.services import enrol_person
from estimator.storage import schema
from estimator.storage.database import database_at

# Shared machines stall now and then: a slow example is no defect.
settings.register_profile(
    "quiet",
    deadline=None,
    derandomize=True,
    max_examples=50,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("quiet")

# Before Qt is first loaded: no window flashes up at a developer's desk, and all signs are known.
os.environ["QT_QPA_PLATFORM"] = "offscreen"
os.environ["LANG"] = os.environ["LC_ALL"] = "C.UTF-8"

# Some of these take a minute: one that began last would keep a single core busy to the end. In the
# order of their time; the rest follow as they are found (--no-loadscope-reorder keeps the order).
LONGEST = (
    "acts/test_sample_workshop.py",
    "documents/test_house_style.py",
    "command/test_contract_verbs.py",
    "documents/test_family_papers.py",
    "acts/test_export_files.py",
    "documents/test_workshop_papers.py",
    "documents/test_inspection_papers.py",
    "documents/test_languages.py",
    "checks/test_ledger_identities.py",
    "documents/test_quote_file.py",
    "acts/test_print_contract.py",
    "unit/test_translations.py",
    "desktop/test_pictures.py",
    "desktop/test_every_page.py",
    "desktop/test_main_job.py",
    "desktop/test_papers.py",
    "desktop/test_variations.py",
    "desktop/test_teardown.py",
    "desktop/test_new_machine.py",
    "desktop/test_exposure.py",
    "desktop/test_contract_acts.py",
    "desktop/test_quote.py",
    "desktop/test_desk.py",
    "desktop/test_waiting.py",
)
_PLACES = {Path(__file__).parent / name: place for place, name in enumerate(LONGEST)}
_FULL_COST = enrol_person._hasher
_STEP_BY_STEP = schema._upgrade


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Puts the longest files first where workers take one file after the other."""
    if hasattr(config, "workerinput"):
        items.sort(key=lambda item: _PLACES.get(item.path, len(_PLACES)))


@pytest.fixture(scope="session", autouse=True)
def cheap_passphrases() -> Iterator[None]:
    """People of tests are enrolled and known at once. The program hashes at its full cost, which
    takes a quarter of a second each time, and is held to it by a test of its own."""
    light = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(enrol_person, "_hasher", lambda: light)
        yield


@pytest.fixture
def full_cost(monkeypatch: pytest.MonkeyPatch) -> None:
    """Passphrases are hashed as the program hashes them."""
    monkeypatch.setattr(enrol_person, "_hasher", _FULL_COST)


@pytest.fixture(scope="session", autouse=True)
def copied_schema(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """The steps of the schema are gone through once; every empty record after gets a copy of what
    they made, which takes a fiftieth of the time."""
    template, making = tmp_path_factory.mktemp("schema") / "empty.db", Lock()

    def upgrade(config: Config) -> None:
        engine = config.attributes["engine"]
        if engine.dialect.name != "sqlite" or schema.schema_of(engine) is not None:
            _STEP_BY_STEP(config)
            return
        with making:
            if not template.exists():
                first = database_at(template)
                _STEP_BY_STEP(schema.migration_config(first.engine))
                first.close()
        with (
            closing(sqlite3.connect(template)) as source,
            closing(sqlite3.connect(engine.url.database)) as target,
        ):
            source.backup(target)

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(schema, "_upgrade", upgrade)
        yield


@pytest.fixture
def real_migrations(monkeypatch: pytest.MonkeyPatch) -> None:
    """A record's schema is brought up step by step, as the program does it."""
    monkeypatch.setattr(schema, "_upgrade", _STEP_BY_STEP)


@pytest.fixture(scope="session")
def real_screen() -> Iterator[Mapping[str, str]]:
    """The environment in which a process finds an X server of its own; nobody sees its screen."""
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", "1", "-screen", "0", "1600x1000x24", "-nolisten", "tcp"],
        stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
    )  # fmt: skip
    try:
        assert server.stdout is not None
        number = server.stdout.readline().strip()
        assert number, "Xvfb did not start"
        hidden = {"QT_QPA_PLATFORM", "WAYLAND_DISPLAY", "XAUTHORITY"}
        kept = {name: value for name, value in os.environ.items() if name not in hidden}
        yield kept | {"DISPLAY": f":{number}", "XDG_SESSION_TYPE": "x11"}
    finally:
        server.terminate()
        server.wait(timeout=10)
        if server.stdout is not None:
            server.stdout.close()
