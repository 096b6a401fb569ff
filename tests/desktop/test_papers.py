"""The papers in the window, by keyboard: which, in which language, searched, printed, as files."""

from __future__ import annotations

import zipfile
from io import BytesIO
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QTest

from estimator.desktop.screens.quote import file_menu, paper_making
from estimator.desktop.screens.quote.file_menu import (
    CALENDAR,
    CSV,
    EMAIL,
    FOR_CUSTOMER,
    FOR_WORKSHOP,
    UBL,
    XLSX,
    file_kinds,
)
from estimator.desktop.widgets.pdf_search import found_in
from estimator.desktop.widgets.pdf_sheets import GAP, Sheets
from estimator.domain.wording import worded
from estimator.services.compare_revisions import issued_revisions
from estimator.services.enrol_person import person_named
from estimator.services.errors import NotWritten
from estimator.services.export_files import export_csv
from estimator.services.file_source import Wanted
from estimator.services.issue_quote import issue_quote, revise_job
from estimator.services.print_papers import PAPERS, paper_of
from tests.desktop.clipped import clipped, outside
from tests.desktop.conftest import HOLT, LONGEST, MANAGER, NOW, open_at, settle, wait_for
from tests.desktop.hands import Hands

MOST_APART = 12  # of 255, on average, between a page as it was and as it was printed


@pytest.fixture
def window(make_window: Any) -> Any:
    return make_window()


@pytest.fixture
def page(qtbot: Any, window: Any) -> Any:
    found = open_at(qtbot, window, "quote")
    shown(found)
    return found


def shown(page: Any) -> bytes:
    """The bytes of the paper, once they are there and it is known how many pages they are."""
    preview = page.parts.preview
    wait_for(lambda: page.desk.fresh and preview._is_made() and preview.pages.page_count > 0)
    return bytes(preview.content)


def words_of(content: bytes) -> str:
    return "\n".join(one.extract_text() for one in PdfReader(BytesIO(content)).pages)


def test_every_paper_is_chosen_by_keyboard_and_is_what_the_service_makes(
    qtbot: Any, window: Any, page: Any, record: Any, catalogue: Any
) -> None:
    preview, hands = page.parts.preview, Hands(window)
    page.take_focus()
    hands.tab_to("Document")
    model = preview.choice.kind_box.model()
    heads = [n for n in range(model.rowCount()) if not model.item(n).isEnabled()]
    assert [model.item(n).text() for n in heads] == ["For the customer", "Not for the customer"]
    keys = {model.item(n).data(int(Qt.ItemDataRole.UserRole)) for n in range(model.rowCount())}
    assert keys - {None} == {one.key for one in PAPERS}
    # down over the head in between, to what stays in the workshop
    while preview.choice.paper.kind != "parts-store":
        hands.press("Down")
    assert preview.parts.band.isVisible()
    assert preview.parts.band.whole_text == "Stays in the workshop: not for the customer"
    assert shown(page) == paper_of(record, "Q-2041", "parts-store", catalogue=lambda: catalogue)
    # one of several: the first until another is chosen
    hands.press("Down")
    assert preview.parts.band.whole_text == "For the supplier: not for the customer"
    first = shown(page)
    box = preview.choice.which_box
    assert box.isVisible() and box.count() > 1
    codes = [box.itemData(n) for n in range(box.count())]
    assert first == paper_of(
        record, "Q-2041", "outwork", catalogue=lambda: catalogue, which=codes[0]
    )
    hands.tab_to("Which of them")
    hands.press("Down")
    wait_for(lambda: preview._is_made() and preview.shown_as.which == codes[1])
    assert preview.content == paper_of(
        record, "Q-2041", "outwork", catalogue=lambda: catalogue, which=codes[1]
    )
    # the document's language and paper are its own, not the window's
    preview.choice.choose("parts")
    shown(page)
    assert not preview.parts.band.isVisible()
    assert not box.isVisible()
    preview.locale_box.setCurrentIndex(preview.locale_box.findData("de_DE"))
    preview.choice.size_box.setCurrentIndex(preview.choice.size_box.findData("Letter"))
    content = shown(page)
    assert "Teile" in words_of(content)
    assert tuple(map(round, PdfReader(BytesIO(content)).pages[0].mediabox[2:])) == (612, 792)
    assert preview.pages.accessibleName() == "The paper as it will be printed"


def test_what_cannot_be_made_says_why_in_its_place(
    qtbot: Any, window: Any, page: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    preview = page.parts.preview
    preview.choice.choose("revision")
    wait_for(preview.parts.again.isVisible)
    said = preview.parts.reason.text()
    assert "No revision was issued before it." in said
    assert "It needs a revision that was issued before." in said
    assert preview.content == b""
    assert not preview.parts.print.isEnabled()
    # it is not tried again by itself, and is when that is asked for
    settle(qtbot, window)
    page.refresh()
    assert not preview.making.busy
    preview.parts.again.click()
    assert preview.making.busy
    wait_for(lambda: not preview.making.busy)

    # a paper on its way can be stopped, and made after all
    def never(report: Any) -> Any:
        while True:
            report("print")

    made = paper_making.PaperMaking._work
    monkeypatch.setattr(paper_making.PaperMaking, "_work", lambda _self, _wanted: never)
    preview.choice.choose("options")
    wait_for(lambda: preview.making._task is not None)
    assert preview.parts.stop.isVisible()
    qtbot.keyClick(preview.parts.stop, Qt.Key.Key_Space)
    assert preview.parts.reason.text() == "Stopped: the paper was not made."
    assert preview.parts.again.hasFocus() or not window.isActiveWindow()
    settle(qtbot, window)
    page.refresh()
    assert not preview.making.busy
    monkeypatch.setattr(paper_making.PaperMaking, "_work", made)
    qtbot.keyClick(preview.parts.again, Qt.Key.Key_Space)
    assert "Options" in words_of(shown(page))


def test_words_are_searched(qtbot: Any, window: Any, page: Any) -> None:
    preview, hands = page.parts.preview, Hands(window)
    pages, find = preview.pages, preview.parts.find
    content = shown(page)
    expected = [
        n
        for n, one in enumerate(pypdfium2.PdfDocument(content))
        for _hit in range(one.get_textpage().get_text_bounded().lower().count("contingency"))
    ]
    assert len(expected) > 3
    page.take_focus()
    hands.press("Ctrl+F")
    assert hands.place == "Search in the paper"
    hands.type("contingency")
    wait_for(lambda: find.count.text().startswith("1 of "))
    assert [one.page for one in preview.search.found] == expected
    hands.press("Return")
    assert find.count.text() == f"2 of {len(expected)}"
    hands.press("F3")
    hands.press("Shift+F3")
    hands.press("Shift+Return", 2)
    assert find.count.text() == f"{len(expected)} of {len(expected)}"
    # what is stepped to is in view and in a frame of ink
    last = preview.search.found[-1]
    assert abs(pages.page_here - last.page) <= 1
    box = pages._sheets.box(last.page, last.areas[0]).translated(
        pages.page_rect(last.page).topLeft()
    )
    assert pages.viewport().rect().contains(box.toRect())
    wait_for(lambda: pages.page_image(last.page) is not None)
    dots = pages.viewport().grab().toImage()
    ratio = dots.width() / pages.viewport().width()
    at = (box.center().x() * ratio, (box.top() - 3.5) * ratio)
    assert dots.pixelColor(*map(round, at)).lightness() < 40
    hands.press("Ctrl+A")
    hands.type("no such word (")
    wait_for(lambda: find.count.text() == "not found")
    assert not find.after.isEnabled()
    hands.press("Escape")
    assert not find.isVisible()
    assert pages._marks == []
    assert hands.focus is pages


def test_pages_are_turned_and_shown_at_true_size(qtbot: Any, window: Any, page: Any) -> None:
    preview, hands = page.parts.preview, Hands(window)
    pages = preview.pages
    pages.setFocus()
    count = pages.page_count
    hands.press("Home")
    assert preview.parts.note.whole_text == f"Page 1 of {count}"
    hands.press("PgDown")
    assert pages.page_rect(1).top() == GAP
    assert preview.parts.note.whole_text == f"Page 2 of {count}"
    hands.press("PgUp")
    assert pages.verticalScrollBar().value() == 0
    hands.press("End")
    assert preview.parts.note.whole_text == f"Page {count} of {count}"
    # true size: A4 is 210 mm wide on this screen
    hands.press("Ctrl+0")
    assert pages.zoom == 1.0
    inches = pages.page_rect(0).width() / pages._sheets.dpi
    assert inches * 25.4 == pytest.approx(210, abs=0.5)
    assert preview.parts.zoom.text() == "100\u202f%"
    hands.press("Ctrl++")
    assert preview.parts.zoom.text() == "125\u202f%"
    hands.press("Ctrl+0")
    assert pages.fits
    assert pages.page_rect(0).width() == pages.viewport().width() - 48


def test_text_found_is_told_by_its_lines() -> None:
    content = two_lines()
    (one,) = found_in(content, "DOWN THE")
    assert (one.page, len(one.areas)) == (1, 1)
    left, top, right, bottom = one.areas[0]
    assert 49 <= left < right < 200
    assert 842 - 715 < top < bottom < 842 - 690
    assert found_in(content, "nowhere") == ()


def two_lines() -> bytes:
    from reportlab.pdfgen.canvas import Canvas

    out = BytesIO()
    canvas = Canvas(out, pagesize=(595, 842))
    canvas.drawString(50, 800, "nothing here")
    canvas.showPage()
    canvas.drawString(50, 700, "Down the hill")
    canvas.showPage()
    canvas.save()
    return out.getvalue()


def test_sheets_know_where_pages_stand() -> None:
    sheets = Sheets()
    sheets.sizes, sheets.room = [(595.0, 842.0), (842.0, 595.0), (595.0, 842.0)], 643
    assert [sheets.page_size(n).width() for n in range(3)] == [595, 595, 595]
    assert sheets.zoom == pytest.approx(72 / 96, abs=0.01)
    assert (sheets.step(1), sheets.step(-1)) == (1.0, 0.5)
    assert sheets.turned(0, 1) == 1
    assert sheets.turned(sheets.stop(2), -1) == 1
    assert sheets.turned(sheets.stop(1) + 5, -1) == 1
    assert sheets.turned(sheets.stop(2), 1) == 2
    sheets.set_zoom(2.0)
    assert sheets.page_size(1).width() == round(842 * 96 / 72 * 2)
    sheets.set_dpi(0.0)
    assert sheets.dpi == 96


@pytest.mark.qt_log_ignore("QPainter::begin")
def test_it_is_printed_as_it_is(
    qtbot: Any, window: Any, page: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    content, printing = shown(page), page.printing
    # the dialogue, without any printer here
    Hands(window)
    page.parts.preview.pages.setFocus()
    QTest.keyClick(
        page.parts.preview.pages,
        Qt.Key.Key_P,
        Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier,
    )
    assert printing.dialog is not None and printing.dialog.isVisible()
    assert printing.dialog.maxPage() == page.parts.preview.pages.page_count
    printing.dialog.reject()
    assert printing.dialog is None
    # pages 2 to 3, backwards, into a file
    target = tmp_path / "printed.pdf"
    printer = to_file(target)
    printer.setPrintRange(QPrinter.PrintRange.PageRange)
    printer.setFromTo(2, 3)
    printer.setPageOrder(QPrinter.PageOrder.LastPageFirst)
    with qtbot.waitSignal(printing.ended, timeout=LONGEST) as ended:
        printing.print_on(printer, content)
        assert page.parts.preview.parts.print.text() == "Stop"
    assert ended.args == [True]
    assert "2 pages were printed." in window.messages.text
    assert page.parts.preview.parts.print.text() == "Print\u2026"
    was, printed = pypdfium2.PdfDocument(content), pypdfium2.PdfDocument(target.read_bytes())
    assert len(printed) == 2
    for at, of in ((0, 2), (1, 1)):
        assert printed[at].get_size() == pytest.approx(was[of].get_size(), abs=1)
        assert apart(printed[at], was[of]) < MOST_APART
        assert apart(printed[at], was[0]) > apart(printed[at], was[of]) + 2
    # no place to write to is told, and printing stops when that is asked
    with qtbot.waitSignal(printing.ended, timeout=LONGEST) as ended:
        printing.print_on(to_file(tmp_path / "none" / "such" / "x.pdf"), content)
    assert ended.args == [False]
    assert "could not be printed" in window.messages.text
    with qtbot.waitSignal(printing.ended, timeout=LONGEST) as ended:
        printing.print_on(to_file(tmp_path / "stopped.pdf"), content)
        printing.ask()
    assert ended.args == [False]
    assert "Printing was stopped after 0 pages." in window.messages.text
    assert printing.run is None


def to_file(path: Path) -> QPrinter:
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(path))
    return printer


def apart(one: Any, two: Any) -> float:
    import numpy as np

    dots = [
        np.asarray(page.render(scale=0.5).to_pil().convert("L").resize((298, 421)), dtype=float)
        for page in (one, two)
    ]
    return float(np.abs(dots[0] - dots[1]).mean())


def kind_of(key: str) -> Any:
    return next(one for one in file_kinds() if one.key == key)


def write(window: Any, page: Any, key: str, path: Path) -> bytes:
    page.more_files.save_to(kind_of(key), path)
    wait_for(lambda: str(path) in window.messages.text)
    return path.read_bytes()


def test_files_of_a_draft(
    qtbot: Any, window: Any, page: Any, record: Any, catalogue: Any, tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    preview, hands = page.parts.preview, Hands(window)
    words = [one.text() for one in preview.parts.menu.actions() if one.text()]
    assert words[1:] == [one.words for one in file_kinds()]
    page.take_focus()
    hands.tab_to("Files of this quote")
    assert hands.focus.menu() is preview.parts.menu
    for key, start in ((XLSX, b"PK"), (UBL, b"<?xml"), (CALENDAR, b"BEGIN:VCALENDAR")):
        assert write(window, page, key, tmp_path / key).startswith(start)
    table = write(window, page, CSV, tmp_path / "q.csv")
    wanted = Wanted(number="Q-2041", catalogue=lambda: catalogue)
    assert table == export_csv(record, wanted, tmp_path / "own.csv", bom=True).read_bytes()
    # what is of issued quotes alone says so, before anybody is asked for a place
    page.more_files.ask(kind_of(FOR_CUSTOMER))
    assert page.more_files.dialog is None
    assert "this one is a draft" in window.messages.text
    page.more_files.ask(kind_of(XLSX))
    assert page.more_files.dialog.selectedFiles()[0].endswith("Q-2041 rev A.xlsx")
    page.more_files.dialog.reject()

    # a full disk is told in words
    def full(*_words: Any, **_more: Any) -> Path:
        raise NotWritten(worded("It cannot be written (No space left on device)."), worded("Go."))

    monkeypatch.setattr(file_menu.export_files, "export_xlsx", full)
    page.more_files.save_to(kind_of(XLSX), tmp_path / "full.xlsx")
    wait_for(lambda: "No space left" in window.messages.text)
    assert not (tmp_path / "full.xlsx").exists()


@pytest.fixture
def issued_page(qtbot: Any, record: Any, catalogue: Any, make_window: Any) -> Any:
    """Issued short, as in the United States."""
    holt, manager = person_named(record, HOLT), person_named(record, MANAGER)
    issue_quote(record, "Q-2041", catalogue, holt, manager, NOW, locale="en_US", length="short",
                adopt_why="as ever")  # fmt: skip
    window = make_window()
    found = open_at(qtbot, window, "quote")
    wait_for(lambda: bool(found.issued) and found.desk.fresh)
    return found


def test_papers_and_files_of_an_issued_quote(
    qtbot: Any, issued_page: Any, record: Any, catalogue: Any, tmp_path: Path
) -> None:
    page, preview, window = issued_page, issued_page.parts.preview, issued_page.window()
    (issued,) = issued_revisions(record, "Q-2041")
    # as it went out, byte for byte, in its own language
    preview.choice.choose("quote-short")
    assert preview.content == issued.pdf
    assert preview.print_locale == "en_US"
    assert not preview.locale_box.isEnabled()
    # another of its papers, from what was frozen
    preview.choice.choose("parts")
    assert preview.locale_box.isEnabled()
    own = paper_of(record, "Q-2041", "parts", "en_US", catalogue=lambda: catalogue)
    assert shown(page) == own
    # draft and package; the workshop's own is called so
    draft = write(window, page, EMAIL, tmp_path / "q.eml")
    assert b"Subject: Quote Q-2041 rev A" in draft
    write(window, page, FOR_CUSTOMER, tmp_path / "c.zip")
    with zipfile.ZipFile(tmp_path / "c.zip") as package:
        names = package.namelist()
        assert issued.pdf in [package.read(one) for one in names]
        assert not any("workshop" in one for one in names)
    page.more_files.ask(kind_of(FOR_WORKSHOP))
    assert "for the workshop alone" in page.more_files.dialog.selectedFiles()[0]
    page.more_files.dialog.reject()
    # of a revision that another followed, only the quote is kept
    revise_job(record, "Q-2041", person_named(record, HOLT), NOW)
    window.desk.reread()
    wait_for(lambda: window.desk.job.revision == "B" and window.desk.fresh)
    settle(qtbot, window)
    page.go_to("A")
    assert "Choose Quote, short." in preview.parts.reason.text()
    assert preview.content == b""
    preview.choice.choose("quote-short")
    assert preview.content == issued.pdf


def test_it_is_issued_as_the_quote_that_was_looked_at(
    qtbot: Any, window: Any, page: Any, record: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[tuple[str, str, str]] = []
    monkeypatch.setattr(page.releasing, "ask_to_issue", lambda *words: asked.append(words))
    preview = page.parts.preview
    for kind in ("quote-short", "cost-sheet", "quote"):
        preview.choice.choose(kind)
        page._ask_to_issue()
    assert [one[2] for one in asked] == ["short", "short", "standard"]


@pytest.mark.parametrize("kind", ["job-card", "revision"])
def test_nothing_is_clipped_where_there_is_little_room(
    qtbot: Any, window: Any, page: Any, kind: str
) -> None:
    window.resize(1280, 720)
    preview = page.parts.preview
    preview.choice.choose(kind)
    preview.ask_to_find()
    wait_for(lambda: preview._is_made() or preview.parts.again.isVisible())
    settle(qtbot, window)
    assert clipped(window) == []
    assert outside(window) == []
