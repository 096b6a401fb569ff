"""What holds for every page: names, Tab, room for words, hostile text, locks and roles."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QWidget,
)

from estimator.desktop import language
from estimator.desktop.widgets.columns import Column
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.row_model import RowModel
from estimator.domain.job import Job
from estimator.domain.job_edit import edit_between
from estimator.domain.people import VIEWER
from estimator.services.edit_job import make_edit, open_draft
from estimator.services.enrol_person import enrol_person, person_named
from estimator.services.issue_quote import issue_quote
from estimator.services.open_record import record_at
from tests.desktop.accessible import focusable, nameless
from tests.desktop.clipped import clipped, outside
from tests.desktop.conftest import (
    AREAS,
    HOLT,
    MANAGER,
    NOW,
    PASSPHRASE,
    settle,
    wait_for,
    windows_on,
)
from tests.desktop.hands import Hands
from tests.desktop.under_contract import open_late, raise_worst

NUMBER, READER = "Q-2041", "V. Reader"
PAGES = ("jobs", *AREAS, "past work", "people", "price lists", "catalogue")
CONTRACT_PAGES = ("teardown", "variations", "waiting", "history")
SIZES = ((1280, 720), (1440, 900))
HOSTILE = (
    "<b>Bolt</b> & <img src='x'> {0} %s =1+1 "
    "\u05e9\u05dc\u05d5\u05dd \u0645\u0631\u062d\u0628\u0627 \U0001f69c"
)
LONG = (HOSTILE + " Gesellschaft zur Aufbereitung mineralischer Baustoffe und Soehne")[:90]
MOST_TABS = 150
KEYS = ("Del", "Ctrl+Del", "Ins", "F2", "9", "Alt+4", "Ctrl+V", "Ctrl+D", "PgUp", "Ctrl+Z")


def hostile(job: Job) -> Job:
    """The job with the longest and worst of names that people type or paste."""
    first, second, *rest = job.findings
    return replace(
        job,
        customer=replace(job.customer, name=LONG, contact=HOSTILE, address=(HOSTILE, LONG)),
        machine=replace(job.machine, serial=HOSTILE[:40]),
        note=f"{HOSTILE}\n{LONG}",
        findings=(replace(first, reading=LONG), replace(second, note=LONG), *rest),
    )


@pytest.fixture(scope="module", params=["en_GB", "de_DE"])
def window(
    request: pytest.FixtureRequest,
    template: Path,
    tmp_path_factory: pytest.TempPathFactory,
    catalogue: Any,
) -> Iterator[Any]:
    """The window on a record with that job and somebody who may only look; all of it reckoned and
    every page made, in words and formats of a locale."""
    path = tmp_path_factory.mktemp("worst") / "record.db"
    shutil.copyfile(template, path)
    language.use(request.param)
    with closing(record_at(path, NOW)) as record:
        manager, holt = person_named(record, MANAGER), person_named(record, HOLT)
        enrol_person(record, READER, VIEWER, PASSPHRASE, manager, NOW)
        job = open_draft(record, NUMBER).job
        make_edit(record, NUMBER, edit_between(job, hostile(job), "names"), holt, NOW)
        with windows_on(record, catalogue) as make:
            made = make(HOLT, request.param)
            made.resize(*SIZES[0])
            taken: list[object] = []
            QApplication.instance().focusWindowChanged.connect(taken.append)  # type: ignore[union-attr]
            made.open_job(NUMBER, "enquiry")
            wait_for(lambda: made.desk.fresh)
            for key in PAGES:
                go(made, key)
            own = (None, made.windowHandle())
            made.others_in_front = [one for one in taken if one not in own]
            yield made
    language.use("en")


def go(window: Any, key: str) -> Any:
    """Go to a page and wait until all of it is there; the page."""
    window.go(key)
    settle(None, window)
    for _time in range(3):
        QApplication.processEvents()
    settle(None, window)
    return window.page


@pytest.mark.parametrize("key", PAGES)
def test_everything_the_keyboard_reaches_has_a_name(window: Any, key: str) -> None:
    go(window, key)
    assert nameless(window) == []


def test_no_part_of_a_page_flashes_up_as_a_window_of_its_own(window: Any) -> None:
    assert window.others_in_front == []


@pytest.mark.parametrize("key", PAGES)
def test_tab_goes_round_and_is_caught_nowhere(window: Any, key: str) -> None:
    goes_round(window, go(window, key))


def goes_round(window: Any, page: Any) -> None:
    """Tab comes back to where it began, and has been everywhere it may stop."""
    hands = Hands(window)
    page.take_focus()
    begun, seen = hands.focus, []
    for _step in range(MOST_TABS):
        seen.append(hands.focus)
        hands.press("Tab")
        if hands.focus is begun and len(set(map(id, seen))) > 1:
            break
    else:
        raise AssertionError(f"Tab does not come back; last passed: {hands.place}")
    missed = [one for one in focusable(page) if by_tab(one) and one not in seen]
    assert [one.accessibleName() for one in missed] == []


def by_tab(widget: QWidget) -> bool:
    """Whether Tab stops here; of choices that shut each other out it stops at the chosen one."""
    if not widget.focusPolicy() & Qt.FocusPolicy.TabFocus:
        return False
    exclusive = getattr(widget, "autoExclusive", None)
    group = getattr(widget, "group", lambda: None)()
    if (exclusive is not None and exclusive()) or (group is not None and group.exclusive()):
        return bool(widget.isChecked())  # type: ignore[attr-defined]
    return True


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("key", PAGES)
def test_no_words_and_no_figures_are_cut(window: Any, key: str, size: tuple[int, int]) -> None:
    window.resize(*size)
    go(window, key)
    assert (window.width(), window.height()) == size
    assert clipped(window) == []
    assert outside(window) == []


def test_hostile_text_stays_text(window: Any) -> None:
    """Nothing reads it as markup: every label that shows some of it is plain."""
    for key in PAGES:
        go(window, key)
        stays_text(window, key)


def stays_text(window: Any, key: str) -> None:
    """No label reads what it shows as markup, and no tip does."""
    for label in window.findChildren(QWidget):
        text = label.text() if hasattr(label, "text") and callable(label.text) else ""
        if isinstance(text, str) and "<b>" in text and hasattr(label, "textFormat"):
            assert label.textFormat() == Qt.TextFormat.PlainText, (key, text)
        tip = label.toolTip()
        assert "<b>" not in tip, (key, tip)


@pytest.fixture(scope="module")
def late_window(
    contract_template: Path, tmp_path_factory: pytest.TempPathFactory, catalogue: Any, qapp: Any
) -> Iterator[Any]:
    """The window on a job under contract, with a variation of the worst of texts on top, in the
    language with the longest words."""
    path = tmp_path_factory.mktemp("late") / "record.db"
    shutil.copyfile(contract_template, path)
    language.use("de_DE")
    with closing(record_at(path, NOW)) as record:
        raise_worst(record, HOSTILE, LONG)
        with windows_on(record, catalogue) as make:
            made = make(MANAGER, "de_DE")
            made.resize(*SIZES[0])
            yield open_late(made)
    language.use("en")


@pytest.mark.parametrize("key", CONTRACT_PAGES)
def test_pages_of_a_contract_are_named_whole_and_gone_round_by_tab(
    late_window: Any, key: str
) -> None:
    for size in SIZES:
        late_window.resize(*size)
        go(late_window, key)
        for _time in range(3):
            QApplication.processEvents()  # what came last finds its room
        assert (late_window.width(), late_window.height()) == size
        assert clipped(late_window) + outside(late_window) == []
    page = late_window.page
    assert any(HOSTILE in text for text in shown_texts(page)) or key == "teardown"
    assert nameless(late_window) == []
    stays_text(late_window, key)
    goes_round(late_window, page)


def shown_texts(page: Any) -> Iterator[str]:
    """What labels and cells of a page say."""
    yield words_of(page)
    for grid in page.findChildren(Grid):
        index = grid.rows.index(0, 0)
        while index.isValid():
            for number in range(len(grid.rows.columns)):
                yield str(index.siblingAtColumn(number).data())
            index = grid.indexBelow(index)


def test_words_that_are_cut_are_noticed(qtbot: Any) -> None:
    """What the test of all pages rests on."""
    top = QWidget()
    qtbot.addWidget(top)
    top.resize(300, 200)
    label, wrapped = QLabel("Receive and strip", top), QLabel("one two " * 20, top)
    label.resize(40, 20)
    wrapped.setWordWrap(True)
    wrapped.setGeometry(0, 30, 100, 20)
    button = QPushButton("Put a row in", top)
    button.setGeometry(250, 60, 60, 24)
    columns = [
        Column("sum", "Sum", lambda row: row, 60, right=True),
        Column("margin", "Margin in per cent", lambda row: "", 50),
    ]
    grid = Grid(RowModel(columns, lambda row: row), "Sums", parent=top)
    grid.rows.set_rows(["1,234,567.89"])
    grid.setGeometry(0, 100, 300, 90)
    grid.set_widths(-1)
    grid.setColumnWidth(1, 50)
    top.show()
    assert [one.split(":")[0] for one in clipped(top)] == [
        "QLabel 'Receive and strip'",
        f"QLabel {wrapped.text()[:60]!r}",
        "QPushButton 'Put a row in'",
        "'1,234,567.89' in 'Sum' of Sums",
        "head 'Margin in per cent' of Sums",
    ]
    assert [one.split(" ends")[0] for one in outside(top)] == ["QPushButton 'Put a row in'"]


# Who may not change anything

ONE_LOCALE = pytest.mark.parametrize("window", ["en_GB"], indirect=True, scope="module")


def changeable(page: Any) -> list[str]:
    """Fields that take text and cells that can be edited, apart from filters."""
    found = []
    for widget in page.findChildren(QWidget):
        if not widget.isVisible() or not widget.isEnabled():
            continue
        open_text = isinstance(widget, QLineEdit | QPlainTextEdit) and not widget.isReadOnly()
        if open_text or isinstance(widget, QComboBox):
            found.append(widget.accessibleName())
        if isinstance(widget, Grid):
            found += [f"{widget.accessibleName()}: {cell}" for cell in editable_cells(widget)]
    return [name for name in found if name not in harmless(page)]


def editable_cells(grid: Grid) -> Iterator[str]:
    index = grid.rows.index(0, 0)
    while index.isValid():
        for number, column in enumerate(grid.rows.columns):
            if grid.rows.flags(index.siblingAtColumn(number)) & Qt.ItemFlag.ItemIsEditable:
                yield column.key
        index = grid.indexBelow(index)


def harmless(page: Any) -> set[str]:
    """What looks for something, or chooses how the paper of a draft is shown."""
    names = {"jobs": {page.search} if page.key == "jobs" else set()}.get(page.key, set())
    if page.key == "inspection":
        names = {page.machine.filter, page.chooser.line}
    elif page.key == "scope":
        names = {page.text}
    elif page.key == "price":
        names = {page.tools.text}
    elif page.key == "exposure":
        names = {page.parts.lower.unseen.filter}
    elif page.key == "catalogue":
        names = {page.rows.tools.text, page.rows.tools.machine, page.rows.tools.origin}
    elif page.key == "quote":
        names = {*page.parts.preview.choice.boxes, page.parts.preview.parts.find.field}
    return {one.accessibleName() for one in names}


def try_everything(hands: Hands, window: Any, key: str) -> None:
    """Keys that change something where it may be changed."""
    page = go(window, key)
    page.take_focus()
    for keys in (
        "Del",
        "Ctrl+Del",
        "Ins",
        "F2",
        "9",
        "Alt+4",
        "Ctrl+V",
        "Ctrl+D",
        "PgUp",
        "Ctrl+Z",
    ):
        hands.press(keys)
        assert QApplication.activeModalWidget() is None, (key, keys)


@pytest.fixture
def viewer(window: Any) -> Iterator[Any]:
    record = window.workshop.record
    window.resize(*SIZES[1])
    window.workshop.take_person(person_named(record, READER))
    yield window
    window.workshop.take_person(person_named(record, HOLT))
    window.messages.clear()


def words_of(page: Any) -> str:
    """All that a page says in labels."""
    return "\n".join(
        one.text()
        for one in page.findChildren(QWidget)
        if one.isVisible() and hasattr(one, "textFormat") and isinstance(one.text(), str)
    )


@ONE_LOCALE
@pytest.mark.parametrize("key", PAGES)
def test_a_viewer_changes_nothing_and_is_told_why(viewer: Any, key: str) -> None:
    before = open_draft(viewer.workshop.record, NUMBER)
    page = go(viewer, key)
    assert changeable(page) == []
    if key != "jobs":
        said = words_of(page)
        assert any(words in said for words in (READER, "service manager")), said
        assert " B " not in said, "nothing is issued yet"
    hands = Hands(viewer)
    if key in AREAS:
        try_everything(hands, viewer, key)
    settle(None, viewer)
    assert open_draft(viewer.workshop.record, NUMBER) == before


@ONE_LOCALE
def test_a_viewer_who_begins_a_job_is_told_why_not(viewer: Any) -> None:
    go(viewer, "jobs")
    hands = Hands(viewer)
    hands.press("Ctrl+N")
    wait_for(lambda: bool(viewer.messages.text))
    assert viewer.page_key == "jobs"
    assert "estimator" in viewer.messages.text


# What is issued


@pytest.fixture(scope="module")
def issued(window: Any, catalogue: Any) -> Any:
    """The window once the revision is issued; comes last, since it stays so."""
    record = window.workshop.record
    holt, manager = person_named(record, HOLT), person_named(record, MANAGER)
    issue_quote(record, NUMBER, catalogue, holt, manager, NOW, adopt_why="they fit what we see")
    window.desk.reread()
    wait_for(lambda: window.desk.issued)
    return window


@ONE_LOCALE
@pytest.mark.parametrize("key", AREAS)
def test_what_is_issued_is_locked_on_every_page(issued: Any, key: str) -> None:
    before = open_draft(issued.workshop.record, NUMBER)
    page = go(issued, key)
    assert changeable(page) == []
    assert " B " in words_of(page), "the way to go on is said"
    try_everything(Hands(issued), issued, key)
    settle(None, issued)
    assert open_draft(issued.workshop.record, NUMBER) == before
    assert not issued.undo_action.isEnabled()
