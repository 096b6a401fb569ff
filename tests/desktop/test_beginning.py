"""Before the window: every way a record may fail to open, in plain words, and who works here."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from estimator.desktop import beginning as module
from estimator.desktop.beginning import FIRST_PERSON, OPENING, SIGNING_IN, TROUBLE, Beginning
from estimator.desktop.formats import Formats
from estimator.domain.people import SERVICE_MANAGER
from estimator.services.enrol_person import list_people
from estimator.services.errors import NotOpened
from estimator.services.open_record import open_record, record_at
from estimator.storage import database
from estimator.storage.schema import NEWEST
from tests.desktop.accessible import nameless
from tests.desktop.conftest import HOLT, MANAGER, NOW, PASSPHRASE, wait_for

SETTINGS = 100  # bytes of SQLite's own head, https://www.sqlite.org/fileformat.html


@pytest.fixture
def begin(qapp):
    """Begins on a path; the dialog, and whoever came through."""
    begun = []

    def make(path, who=None):
        dialog = Beginning(path, Formats("en_GB"), lambda: NOW)
        through = []
        dialog.ready.connect(lambda record, person: through.append((record, person)))
        begun.append((dialog, through))
        dialog.begin(who)
        wait_for(lambda: not dialog._runner.busy)
        return dialog, through

    yield make
    for dialog, through in begun:
        dialog._runner.wait()
        for record, _person in through:
            record.close()
        if dialog._record is not None:
            dialog._record.close()
        dialog.hide()
        dialog.deleteLater()


@pytest.fixture
def path(template, tmp_path):
    """A record of its own, closed."""
    copy = tmp_path / "record.db"
    shutil.copyfile(template, copy)
    return copy


def said(dialog):
    return f"{dialog._words.text()} {dialog._more.text()}"


def face(dialog):
    return dialog._stack.currentIndex()


def enter(dialog, field):
    QTest.keyClick(field, Qt.Key.Key_Return)
    wait_for(lambda: not dialog._runner.busy)


# What may be wrong with a record; each gives the words, and what mends it


def newer(path):
    with closing(sqlite3.connect(path)) as record:
        record.execute("UPDATE alembic_version SET version_num = '9999'")
        record.commit()

    def mend():
        with closing(sqlite3.connect(path)) as record:
            record.execute("UPDATE alembic_version SET version_num = ?", (NEWEST,))
            record.commit()

    return "newer version of this program", mend


def no_record(path):
    whole = path.read_bytes()
    path.write_text("a shopping list, which is no record at all\n" * 100)
    return "is no record", lambda: path.write_bytes(whole)


def another_program(path):
    whole = path.read_bytes()
    path.unlink()
    with closing(sqlite3.connect(path)) as record:
        record.execute("CREATE TABLE birds (name TEXT)")
        record.commit()

    def mend():
        path.write_bytes(whole)

    return "tables of another program", mend


def flipped(path):
    whole = path.read_bytes()
    with closing(sqlite3.connect(path)) as record:
        page = record.execute("SELECT rootpage FROM sqlite_master WHERE name = 'person'").fetchone()
        size = record.execute("PRAGMA page_size").fetchone()[0]
    at = (page[0] - 1) * size
    path.write_bytes(
        whole[:at] + bytes(b ^ 0xFF for b in whole[at : at + size]) + whole[at + size :]
    )
    return "damaged", lambda: path.write_bytes(whole)


@pytest.mark.parametrize("spoil", [newer, no_record, another_program, flipped])
def test_a_record_that_cannot_be_opened_says_why_and_is_tried_again(begin, path, spoil):
    words, mend = spoil(path)
    before = path.read_bytes()[SETTINGS:]
    dialog, through = begin(path, HOLT)
    assert face(dialog) == TROUBLE
    assert dialog.isVisible()
    assert "cannot be opened" in dialog._words.text()
    assert words in said(dialog)
    assert "Traceback" not in said(dialog)
    assert path.read_bytes()[SETTINGS:] == before  # what it holds was left as it was
    assert nameless(dialog) == []
    mend()
    again = dialog._buttons[TROUBLE]
    assert again.isDefault()
    QTest.keyClick(again, Qt.Key.Key_Return)
    wait_for(lambda: not dialog._runner.busy)
    assert face(dialog) == SIGNING_IN
    assert dialog._who.currentText() == HOLT  # asked for before the trouble
    assert not through


def test_a_folder_that_may_not_be_written_to_says_so(begin, tmp_path, monkeypatch):
    real = module.record_at

    def refused(path, now):
        raise NotOpened(f"{path} cannot be opened for writing: the file or its folder is "
                        "read-only.", "Ask for the right to write there.")  # fmt: skip

    monkeypatch.setattr(module, "record_at", refused)
    dialog, _through = begin(tmp_path / "new.db")
    assert "read-only" in said(dialog)
    assert "Ask for the right" in said(dialog)
    monkeypatch.setattr(module, "record_at", real)
    dialog._buttons[TROUBLE].click()
    wait_for(lambda: not dialog._runner.busy)
    assert face(dialog) == FIRST_PERSON


def test_a_place_that_is_no_folder_says_so(begin, tmp_path):
    (tmp_path / "file").write_text("no folder")
    dialog, _through = begin(tmp_path / "file" / "record.db")
    assert face(dialog) == TROUBLE
    assert "cannot be made" in said(dialog)


def test_a_lock_of_another_program_is_waited_for_beside_the_window(begin, path, monkeypatch):
    monkeypatch.setattr(database, "WAIT_SECONDS", 0.5)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("PRAGMA journal_mode = DELETE")
        other.execute("PRAGMA locking_mode = EXCLUSIVE")
        other.execute("BEGIN EXCLUSIVE")
        dialog = Beginning(path, Formats("en_GB"), lambda: NOW)
        dialog.begin(None)
        wait_for(dialog.isVisible)  # it waits, and says so meanwhile
        assert face(dialog) == OPENING
        assert "Opening the record" in said(dialog)
        wait_for(lambda: not dialog._runner.busy)
        assert face(dialog) == TROUBLE
        assert "Another program" in said(dialog)
        other.execute("ROLLBACK")
    dialog._buttons[TROUBLE].click()
    wait_for(lambda: not dialog._runner.busy)
    assert face(dialog) == SIGNING_IN
    dialog.reject()


def test_an_empty_record_asks_for_its_service_manager(begin, tmp_path):
    path = tmp_path / "new.db"
    dialog, through = begin(path)
    assert face(dialog) == FIRST_PERSON
    assert nameless(dialog) == []
    name, secret, again = dialog._first_name, dialog._first_secret, dialog._again
    enter(dialog, name)
    assert "Nobody is named" in said(dialog)
    name.setText("J. Tarn")
    secret.setText("a long enough one")
    again.setText("a long enough two")
    enter(dialog, again)
    assert "differ" in said(dialog)
    for field in (secret, again):
        field.setText("short")
    enter(dialog, again)
    assert "at least 10" in said(dialog)
    assert not through
    for field in (secret, again):
        field.setText("a long enough one")
    enter(dialog, again)
    assert [(person.name, person.role) for _record, person in through] == [
        ("J. Tarn", SERVICE_MANAGER)
    ]
    with open_record(path, NOW) as record:
        assert [one.name for one in list_people(record)] == ["J. Tarn"]


def test_signing_in_needs_ones_own_passphrase_and_happens_once(begin, path):
    dialog, through = begin(path, MANAGER)
    assert face(dialog) == SIGNING_IN
    assert dialog._who.currentText() == MANAGER
    assert nameless(dialog) == []
    dialog._secret.setText("not this one at all")
    enter(dialog, dialog._secret)
    assert said(dialog).endswith("Name and passphrase do not belong together. Try again.")
    assert not through
    dialog._secret.setText(PASSPHRASE)
    QTest.keyClick(dialog._secret, Qt.Key.Key_Return)
    QTest.keyClick(dialog._secret, Qt.Key.Key_Return)  # an impatient finger opens one window
    wait_for(lambda: not dialog._runner.busy)
    assert [person.name for _record, person in through] == [MANAGER]


def test_the_sample_workshop_is_built_with_progress_and_opened(
    begin, template, tmp_path, monkeypatch
):
    place, told = tmp_path / "data" / "sample.db", []
    monkeypatch.setattr(module, "sample_record", lambda: place)

    def build(path, now, report):
        for word in ("Enrolling people", "Building jobs"):
            report(word)
        path.parent.mkdir(parents=True)
        shutil.copyfile(template, path)

    monkeypatch.setattr(module, "build_sample_workshop", build)
    real = Beginning._on_busy

    def noted(self, task, what):
        real(self, task, what)
        told.append((self._words.text(), self._more.text(), self.isVisible()))

    monkeypatch.setattr(Beginning, "_on_busy", noted)
    dialog, through = begin(None)
    assert ("Building the sample workshop", "Building jobs", True) in told
    assert [person.name for _record, person in through] == [HOLT]
    dialog, through = begin(None)  # it is there now
    assert [person.name for _record, person in through] == [HOLT]
    assert not dialog.isVisible()


def test_nobody_of_that_name_in_the_sample_is_said(begin, path, monkeypatch):
    monkeypatch.setattr(module, "sample_record", lambda: path)
    dialog, through = begin(None, "N. Obody")
    assert face(dialog) == TROUBLE
    assert "N. Obody" in said(dialog)
    assert not through


def test_leaving_while_the_sample_is_built_leaves_nothing(begin, tmp_path, monkeypatch):
    place = tmp_path / "sample.db"
    monkeypatch.setattr(module, "sample_record", lambda: place)
    reached = []

    def build(path, now, report):
        import time

        while True:
            reached.append(1)
            report("Building jobs")
            time.sleep(0.01)

    monkeypatch.setattr(module, "build_sample_workshop", build)
    dialog = Beginning(None, Formats("en_GB"), lambda: NOW)
    dialog.begin(None)
    wait_for(lambda: bool(reached))
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    wait_for(lambda: not dialog._runner.busy)
    assert not dialog.isVisible()
    assert not place.exists()


def test_the_record_stays_open_for_the_window(begin, path):
    dialog, through = begin(path, HOLT)
    dialog._secret.setText(PASSPHRASE)
    enter(dialog, dialog._secret)
    dialog.close()
    record, _person = through[0]
    assert len(list_people(record)) == 2
    other = record_at(path, NOW)
    other.close()
