"""Past teardowns and closed jobs: pasted in bulk, every fault in its cell, nothing half-taken."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QGuiApplication, QImage, QPainter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from estimator.desktop.drawing.calibration_chart import (
    ReliabilityPoint,
    ReliabilityWords,
    paint_reliability,
    reliability_plot,
)
from estimator.desktop.formats import Formats
from estimator.desktop.questions import Question
from estimator.desktop.screens.past_work.calibration_words import flat_words, verdict_words
from estimator.desktop.screens.past_work.page import HELD, _blank
from estimator.desktop.theme import load_theme
from estimator.desktop.widgets.row_model import KEPT
from estimator.services.enrol_person import enrol_person, person_named
from estimator.services.past_work import (
    add_closed_jobs,
    closed_jobs,
    export_outcomes,
    outcomes,
    remove_closed_job,
    remove_outcome,
)
from estimator.services.show_calibration import (
    calibration_of,
    flat_sentence,
    sentence,
    show_calibration,
)
from estimator.services.type_past_work import CLOSED, OUTCOMES
from tests.acts.closed_jobs import closed, quoted
from tests.desktop.accessible import nameless
from tests.desktop.clipped import clipped, outside
from tests.desktop.conftest import HOLT, MANAGER, NOW, plain_pages, settle, wait_for

CONTROL = Qt.KeyboardModifier.ControlModifier
HEAD = (
    "pool,machine_class,component,hours,duty,life_basis,disposition,worn,cost,currency,days,"
    "found_on\n"
)
GOOD = "hub bearing seat,WL28,C09A,{hours},1.0,since new,replace,yes,1250.50,GBP,1.5,{day}"
CLOSED_ROW = "{number},WL28,12000,GBP,18000,2500,19400,2025-03-04"


@pytest.fixture(scope="module")
def window(make_shared_window):
    made = plain_pages(make_shared_window())
    made.resize(1440, 900)
    return made


@pytest.fixture
def page(window, shared_record):
    """The page with nothing typed, over a record without past work."""
    holt = person_named(shared_record, HOLT)
    window.workshop.take_person(holt)
    for kept in outcomes(shared_record):
        remove_outcome(shared_record, kept, holt, NOW)
    for kept in closed_jobs(shared_record):
        remove_closed_job(shared_record, kept, holt, NOW)
    window.go("past work")
    window.activateWindow()
    window.messages.clear()
    page = window.page
    page.kind_row.choose(OUTCOMES)
    for kind in (OUTCOMES, CLOSED):
        page._typed[kind] = _blank(kind)
        page._kept[kind].clear()
        page._marks[kind].clear()
    page.refresh()
    settle(None, window)
    page.entry.setFocus()
    page.entry.go_to("0", page.entry_model.columns[0].key)
    return page


def paste(page, *lines):
    table = "\n".join(line.replace(",", "\t") for line in lines)
    QGuiApplication.clipboard().setText(table)
    QTest.keyClick(page.entry, Qt.Key.Key_V, CONTROL)


def good(hours=9400, day="2025-03-04"):
    return GOOD.format(hours=hours, day=day)


def take(window, page):
    QTest.keyClick(page.entry, Qt.Key.Key_Return, CONTROL)
    settle(None, window)


def faults(page):
    """(row, column, reason) of every marked cell."""
    model, found = page.entry_model, []
    for row in range(model.rowCount()):
        for at, column in enumerate(model.columns):
            kept = model.index(row, at).data(KEPT)
            if kept is not None:
                found.append((row, column.key, kept.reason))
    return found


def correct(page, row, key, text):
    model = page.entry_model
    model.setData(model.index_of(str(row), model.column_of(key)), text)


def typed(page, row, key):
    model = page.entry_model
    return model.index(row, model.column_of(key)).data(Qt.ItemDataRole.EditRole)


def test_a_table_is_pasted_and_taken(window, page, shared_record):
    paste(page, good(), good(10100))
    assert faults(page) == []
    assert "2 rows" in page.unfinished()
    take(window, page)
    assert sorted(one.row.hours for one in outcomes(shared_record)) == [9400, 10100]
    assert "2 rows taken" in window.messages.text
    assert page.unfinished() == ""
    wait_for(lambda: page.list_model.rowCount() == 2)
    assert nameless(window) == []


def test_a_paste_longer_than_the_blank_rows_loses_none(window, page, shared_record):
    paste(page, *(good(1000 + n) for n in range(130)))
    assert page.entry.current_row().number == 0  # the cursor stays where it was
    take(window, page)
    assert len(outcomes(shared_record)) == 130


def test_a_paste_that_is_too_large_is_said(window, page):
    paste(page, *(good(n) for n in range(2000)))
    assert "nothing was pasted" in window.messages.text
    assert page.unfinished() == ""


def test_cells_that_cannot_be_read_are_kept_and_marked(window, page, shared_record):
    paste(page, good(), good("many", "soon"), good(10100).replace("yes", "perhaps"))
    assert [one[:2] for one in faults(page)] == [(1, "hours"), (1, "found_on"), (2, "worn")]
    assert typed(page, 1, "hours") == "many"
    take(window, page)
    assert outcomes(shared_record) == []
    assert "Some cells cannot be taken" in window.messages.text
    assert (page.entry.current_row().number, page.entry.current_key()) == (1, "hours")


def test_what_the_record_refuses_is_marked_and_tried_again(window, page, shared_record):
    paste(page, good())
    take(window, page)
    page.entry.go_to("2", "pool")
    paste(
        page,
        good(10100),
        good(11000, "2031-01-01"),
        good(),
        good(12000).replace("1250.50", "1.005"),
    )
    take(window, page)
    assert len(outcomes(shared_record)) == 1  # nothing is half-taken
    assert [one[:2] for one in faults(page)] == [(3, "found_on"), (5, "cost")]
    assert "row 4" in window.messages.text  # as the rows are counted here
    assert "typed rows" not in window.messages.text
    correct(page, 3, "found_on", "2025-05-05")
    correct(page, 5, "hours", "12001")
    assert faults(page) == []  # a row that was changed is looked at anew, all of it
    correct(page, 5, "cost", "1")
    take(window, page)
    assert faults(page) == [(4, "pool", "is in the record already. Leave it out.")]
    assert len(outcomes(shared_record)) == 1
    correct(page, 4, "hours", "9500")
    take(window, page)
    assert len(outcomes(shared_record)) == 5


def test_closed_jobs_have_a_table_of_their_own(window, page, shared_record):
    paste(page, good())
    take(window, page)
    paste(page, good(9999))
    page.kind_row.choose(CLOSED)
    window.grab()  # paints whatever is there now
    settle(None, window)
    page.entry.go_to("0", "number")
    paste(page, CLOSED_ROW.format(number="Q-1502"), CLOSED_ROW.format(number="Q-1503"))
    take(window, page)
    assert {one.row.number for one in closed_jobs(shared_record)} == {"Q-1502", "Q-1503"}
    wait_for(lambda: page.list_model.rowCount() == 2)
    page.kind_row.choose(OUTCOMES)
    window.grab()
    settle(None, window)
    assert typed(page, 0, "hours") == "9999"  # what was typed before is there again
    assert page.list_model.rowCount() == 1


def test_a_row_is_removed_only_when_that_is_meant(window, page, shared_record):
    paste(page, good(), good(10100))
    take(window, page)
    wait_for(lambda: page.list_model.rowCount() == 2)
    page.list.setFocus()
    for answer, left in ((0, 2), (1, 1)):
        QTest.keyClick(page.list, Qt.Key.Key_Delete)
        asked = next(one for one in page.findChildren(Question) if one.isVisible())
        asked.buttons[answer].click()
        settle(None, window)
        assert len(outcomes(shared_record)) == left


def test_a_file_is_taken_or_refused_whole(window, page, shared_record, tmp_path):
    path = tmp_path / "outcomes.csv"
    path.write_text(HEAD + good() + "\n" + good("many") + "\n", encoding="utf-8")
    page.take_file(path)
    settle(None, window)
    assert outcomes(shared_record) == []
    for part in (path.name, "row 3", "hours"):
        assert part in window.messages.text
    path.write_text(HEAD + good() + "\n", encoding="utf-8")
    page.take_file(path)
    settle(None, window)
    assert len(outcomes(shared_record)) == 1
    again = export_outcomes(shared_record, tmp_path / "again.csv")
    assert "hub bearing seat" in again.read_text(encoding="utf-8")
    page.take_file(tmp_path / "not there.csv")
    settle(None, window)
    assert "not there.csv" in window.messages.text


def test_a_person_who_may_not_changes_nothing(window, page, shared_record):
    manager = person_named(shared_record, MANAGER)
    enrol_person(shared_record, "A. Rowe", "inspector", "a long enough one", manager, NOW)
    window.workshop.take_person(person_named(shared_record, "A. Rowe"))
    settle(None, window)
    page.refresh()
    paste(page, good())
    assert page.unfinished() == ""
    take(window, page)
    assert outcomes(shared_record) == []


def test_a_cell_left_without_picking_picks_nothing(window, page):
    page.entry.edit_at("0", "disposition")
    editor = page.entry.indexWidget(page.entry.currentIndex()) or page.entry.focusWidget()
    QTest.keyClick(editor, Qt.Key.Key_Tab)
    assert typed(page, 0, "disposition") == ""


def test_closing_asks_about_rows_not_taken(window, page):
    paste(page, good())
    window.close()
    assert window.isVisible()
    asked = next(one for one in window.findChildren(Question) if one.isVisible())
    QTest.keyClick(asked, Qt.Key.Key_Escape)
    assert window.isVisible()


def test_how_quotes_held_is_shown_and_reached_by_key(window, page, shared_record):
    holt = person_named(shared_record, HOLT)
    finals = [116_000] * 2 + [131_000] * 4 + [110_000] * 6 + [104_000] * 12
    rows = [quoted(n, final) for n, final in enumerate(finals)]
    add_closed_jobs(shared_record, [*rows, closed("Q-9")], holt, NOW)
    page.kind_row.choose(HELD)
    settle(None, window)
    view = page.calibration
    assert verdict_words(show_calibration(shared_record), Formats("en_GB")) == view.verdict.text()
    assert "8 in 10" in view.verdict.text()
    assert "1 of them was quoted with a flat percentage" in view.held.text()
    spoken = view.diagram.accessibleDescription()
    assert "quoted as 8 in 10: 18 of 24 held" in spoken
    assert [view.inside_model.rowCount(), view.score_model.rowCount()] == [4, 3]
    assert (nameless(window), clipped(window), outside(window)) == ([], [], [])
    page.take_focus()
    assert view.inside.hasFocus()
    QTest.keyClick(view.inside, Qt.Key.Key_F6)
    assert view.scores.hasFocus()
    QTest.keyClick(view.scores, Qt.Key.Key_Return, CONTROL)  # nothing can be taken here
    page.kind_row.choose(CLOSED)
    settle(None, window)
    assert page.list_model.rowCount() == 25
    assert page.entry.isVisible()
    page.kind_row.choose(OUTCOMES)


def test_without_quoted_distributions_no_figures_stand_there(window, page):
    page.kind_row.choose(HELD)
    settle(None, window)
    view = page.calibration
    assert view.verdict.text() == "No closed job was quoted with a distribution yet."
    assert not view.inside.isVisible()
    page.take_focus()
    assert page.kind_row.isAncestorOf(QApplication.focusWidget())
    page.kind_row.choose(OUTCOMES)


@pytest.mark.parametrize("finals", [[], [104], [104] * 12, [104, 104, 131] * 8, [140] * 30,
                                    [104] * 60])  # fmt: skip
def test_screen_and_script_say_the_same(finals):
    shown = calibration_of([quoted(n, 1000 * one) for n, one in enumerate(finals)])
    plain = verdict_words(shown, Formats("en_GB")).replace("\u202f", "")
    assert plain == sentence(shown)
    assert flat_words(shown) in ("", flat_sentence(shown))


def test_the_shape_tells_the_side():
    sides = [ReliabilityPoint(0.8, share, share - 0.05, share + 0.05).side
             for share in (0.5, 0.78, 0.95)]  # fmt: skip
    assert sides == [-1, 0, 1]


@pytest.mark.parametrize("name", ["light", "dark"])
def test_a_point_that_held_too_seldom_is_a_triangle_in_its_own_colour(name, qapp):
    theme = load_theme(name)
    words = ReliabilityWords("quoted", "held", str)
    counted = []
    for share in (0.4, 0.75):
        image = QImage(300, 300, QImage.Format.Format_RGB32)
        image.fill(theme.colours.surface)
        painter = QPainter(image)
        point = ReliabilityPoint(0.8, share, share - 0.1, share + 0.1)
        paint_reliability(painter, QRectF(0, 0, 300, 300), [point], words, theme)
        painter.end()
        plot = reliability_plot(QRectF(0, 0, 300, 300))
        here = QPointF(plot.left() + 0.8 * plot.width(), plot.bottom() - share * plot.height())
        attn = theme.colours.attn.name()
        counted.append(sum(
            image.pixelColor(x, y).name() == attn
            for x in range(round(here.x()) - 9, round(here.x()) + 10)
            for y in range(round(here.y()) - 9, round(here.y()) + 10)
        ))  # fmt: skip
    assert counted[0] > 60
    assert counted[1] == 0
