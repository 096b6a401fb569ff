"""Every page looks as it did: drawn without a screen, compared with the pictures kept.

`pictures.py` says how near is near enough and how the pictures are made anew.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QApplication

from estimator.desktop.theme import apply_theme, load_theme
from estimator.services.open_record import record_at
from tests.desktop.conftest import MANAGER, NOW, settle, wait_for, windows_on
from tests.desktop.pictures import (
    FOLDER,
    LARGEST,
    SIZE,
    THEMES,
    distance,
    dressed,
    grabbed,
    made_anew,
    slim,
    stored,
)
from tests.desktop.scenes import Scene, area, contract_scenes, quiet, scenes, taken
from tests.desktop.under_contract import open_late

NUMBER = "Q-2041"


@pytest.fixture(scope="module")
def window(make_shared_window: Callable[..., Any]) -> Any:
    """The window with the job open and all of it reckoned."""
    made = make_shared_window()
    made.resize(*SIZE)
    made.open_job(NUMBER, "exposure")
    wait_for(lambda: made.desk.fresh)
    settle(None, made)
    return made


@pytest.fixture(scope="module")
def late_window(
    contract_template: Path, tmp_path_factory: pytest.TempPathFactory, catalogue: Any, qapp: Any
) -> Iterator[Any]:
    """The manager's window on the job under contract."""
    path = tmp_path_factory.mktemp("late") / "record.db"
    shutil.copyfile(contract_template, path)
    with closing(record_at(path, NOW)) as record, windows_on(record, catalogue) as make:
        made = make(MANAGER)
        made.resize(*SIZE)
        yield open_late(made)


@pytest.fixture(scope="module", params=THEMES)
def theme(request: pytest.FixtureRequest, window: Any) -> Iterator[str]:
    with dressed(request.param):
        yield request.param


@pytest.mark.parametrize("scene", scenes(), ids=lambda scene: scene.name)
def test_it_looks_as_it_did(window: Any, theme: str, scene: Scene, tmp_path: Path) -> None:
    compare(scene.name, theme, taken(window, scene), tmp_path)


@pytest.mark.parametrize("scene", contract_scenes(), ids=lambda scene: scene.name)
def test_it_looks_as_it_did_under_contract(
    late_window: Any, theme: str, scene: Scene, tmp_path: Path
) -> None:
    compare(scene.name, theme, taken(late_window, scene), tmp_path)


def compare(name: str, theme: str, now: bytes, tmp_path: Path) -> None:
    """Fail where what is drawn now is far from what is kept; keep it where it is made anew."""
    kept = stored(name, theme)
    if made_anew(kept.stem):
        FOLDER.mkdir(exist_ok=True)
        kept.write_bytes(slim(now))
    apart = distance(kept.read_bytes(), now)
    if not apart.near:
        seen = tmp_path / kept.name
        seen.write_bytes(now)
        pytest.fail(f"{kept.name} looks otherwise now: {apart}. What was seen: {seen}")


@pytest.fixture
def light(window: Any) -> Iterator[Any]:
    with dressed("light"):
        yield window


def far_from_kept(window: Any, name: str) -> bool:
    kept = stored(name, "light").read_bytes()
    return not distance(kept, grabbed(window)).near


@pytest.mark.parametrize(
    ("name", "column"),
    [("inspection", "measured"), ("price", "amount"), ("jobs", "price")],
)
def test_a_missing_column_is_seen(light: Any, name: str, column: str) -> None:
    scene = next(one for one in scenes() if one.name == name)
    scene.show(light)
    grid = light.page.grid
    assert not far_from_kept(light, name)
    number = grid.rows.column_of(column)
    grid.setColumnHidden(number, True)
    try:
        QApplication.processEvents()
        assert far_from_kept(light, name)
    finally:
        grid.setColumnHidden(number, False)


@pytest.mark.parametrize("colour", ["strip", "exp_fill"])
def test_a_wrong_colour_is_seen(light: Any, colour: str) -> None:
    usual = load_theme("light")
    wrong = replace(usual, colours=replace(usual.colours, **{colour: QColor("#c7502b")}))
    application = QApplication.instance()
    assert isinstance(application, QApplication)
    apply_theme(application, wrong)
    area("exposure").show(light)
    assert far_from_kept(light, "exposure")


def test_a_missing_word_in_the_header_is_seen(light: Any) -> None:
    area("enquiry").show(light)
    assert not far_from_kept(light, "enquiry")
    light.header.price.hide()
    quiet(light)
    try:
        assert far_from_kept(light, "enquiry")
    finally:
        light.header.price.show()


def test_pictures_are_small_and_there_is_none_too_many() -> None:
    every = (*scenes(), *contract_scenes())
    wanted = {stored(scene.name, theme) for scene in every for theme in THEMES}
    there = set(FOLDER.glob("*.png"))
    assert there == wanted
    assert [path.name for path in there if path.stat().st_size >= LARGEST] == []
