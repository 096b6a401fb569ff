"""The history page: reached by key and button, newest first, filtered, and over long logs."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtWidgets import QApplication, QLabel

from estimator.desktop.formats import Formats
from estimator.desktop.screens.history import words
from estimator.domain.contract import events
from estimator.domain.contract.changes import Changed
from estimator.domain.record import LogEntry
from estimator.services.history import HistoryEntry
from estimator.services.open_record import record_at
from estimator.services.show_history import CONTRACT, EDITS, EVERYTHING, ISSUE, PAGE
from tests.acts.long_log import add_entries
from tests.desktop.accessible import nameless
from tests.desktop.clipped import clipped, outside
from tests.desktop.conftest import HOLT, MANAGER, NOW, open_at, plain_pages, wait_for, windows_on
from tests.desktop.hands import Hands
from tests.desktop.under_contract import LATE, NUMBER, open_late, raise_worst

SAY = Formats("en_GB")


WORST = "<b>Bolt</b> & {0} %s =1+1 \u05e9\u05dc\u05d5\u05dd " * 3
LONGEST = "Gesellschaftsvertragsergaenzungsverordnung" * 4


@pytest.fixture(scope="module")
def window(
    contract_template: Path, tmp_path_factory: pytest.TempPathFactory, catalogue: Any, qapp: Any
) -> Iterator[Any]:
    """The window on the job under contract, with a variation of the worst of texts on top. Nothing
    here changes the record."""
    path = tmp_path_factory.mktemp("history") / "record.db"
    shutil.copyfile(contract_template, path)
    with closing(record_at(path, NOW)) as record:
        raise_worst(record, WORST, LONGEST)
        with windows_on(record, catalogue) as make:
            yield open_late(make(MANAGER))


def there(window: Any) -> Any:
    """Wait until the page is in front and shows what it looks for; the page."""
    wait_for(lambda: window.page_key == "history")
    page = window.page
    wait_for(lambda: page.of is not None and not page._reading and not page.tools._soon.isActive())
    return page


def acts(page: Any) -> list[str]:
    return [words.done_words(one) for one in page._rows]


def side_texts(page: Any) -> list[str]:
    return [label.text() for label in page.side.findChildren(QLabel) if label.isVisibleTo(page)]


def test_from_a_variation_its_history_and_back_again(window):
    hands = Hands(window)
    window.go("variations", "V04")
    hands.press("Ctrl+Shift+H")
    page = there(window)
    assert page.place() == "V04"
    assert acts(page) == ["Approved", "Issued", "Variation written anew", "Variation raised"]
    assert page.grid.hasFocus()
    assert page.side.entry.who == "R. Ostrey"
    assert {"Approved", "fleet manager, customer", "\u00a328,180 \u2192 \u00a324,701"} <= set(
        side_texts(page)
    )
    assert window.strip._page.text() == "History"
    assert window.path.history.isChecked()
    hands.press("Down")
    assert words.done_words(page.side.entry) == "Issued"
    hands.press("Return")  # to what the entry is about
    wait_for(lambda: window.page_key == "variations" and window.page.place() == "V04")
    hands.press("Alt+Left")
    assert there(window).place() == "V04"


def test_the_whole_history_filtered_by_kind_and_by_text(window):
    window.go("variations")
    window.path.history.click()
    page = there(window)
    page.go_to(EVERYTHING)
    page = there(window)
    assert page._rows[0].at >= page._rows[-1].at
    assert len(page._rows) == page.of.count
    hands = Hands(window)
    offered = [page.tools.what.itemData(n) for n in range(page.tools.what.count())]
    assert offered[:4] == [EVERYTHING, EDITS, ISSUE, CONTRACT]
    assert offered[4:] == [f"V{n:02d}" for n in range(1, 13)]
    hands.tab_to("What is shown")
    hands.press("Down", 2)
    page = there(window)
    assert (page.tools.key, acts(page)) == (ISSUE, ["Issued"])
    hands.press("Up", 2)
    hands.press("Ctrl+F")
    hands.type("marsh approved")
    page = there(window)
    assert acts(page)
    assert {one.who for one in page._rows} == {"L. Marsh"}
    hands.type(" of the moon")
    page = there(window)
    wait_for(page._nothing.isVisible)
    assert page._nothing.text() == "Nothing found."
    hands.press("Esc")
    page = there(window)
    wait_for(lambda: len(page._rows) == page.of.count)
    hands.press("Down")
    assert page.grid.hasFocus()


def test_from_a_case_on_the_desk_and_from_an_issued_quote(window):
    hands = Hands(window)
    window.go("waiting")
    wait_for(lambda: window.page.view is not None and window.page.grid.current_row() is not None)
    window.page.go_to(f"{NUMBER}/variation/V11")
    window.page.panel.history.click()
    page = there(window)
    assert (page.of.number, page.place()) == (NUMBER, "V11")
    assert acts(page) == ["Issued", "Variation raised"]
    window.go("quote")
    wait_for(window.page.parts.history.isVisible)
    hands.press("Ctrl+Shift+H")
    page = there(window)
    wait_for(lambda: page.side.entry is not None and page.side.entry.act == "issued")
    assert page.tools.key == ISSUE
    assert any(change.what == "net" for change in page.side.entry.changes)


def test_proving_the_record_from_the_history(window):
    window.go("variations")
    window.open_history()
    page = there(window)
    head = page.of.head[:12]
    assert any(head in text for text in side_texts(page))
    Hands(window).press("Ctrl+Return")
    wait_for(lambda: "The record holds together" in window.messages.text)
    assert head in window.messages.text


def test_a_history_is_of_a_job(make_window):
    window = make_window(HOLT)
    window.go("people")
    window.open_history()
    assert "Choose a job first" in window.messages.text
    assert window.page_key == "people"


def test_an_edit_made_meanwhile_comes_on_top(qtbot, make_window):
    window = plain_pages(make_window(HOLT))
    open_at(qtbot, window, "inspection")
    window.open_history()
    page = there(window)
    before = page.of.count
    finding = window.desk.job.findings[2]
    job = window.desk.job
    findings = tuple(
        replace(one, note="seen again") if one is finding else one for one in job.findings
    )
    window.desk.edit("note of I03", replace(job, findings=findings))
    wait_for(lambda: page.of.count == before + 1 and not page._reading)
    assert words.done_words(page._rows[0]) == "Note of I03"
    line = words.changes_lines(page._rows[0], SAY)[0]
    assert line.endswith("\u2013 \u2192 seen again")


def test_a_long_log_opens_at_once_and_goes_on_as_one_goes_down(qtbot, make_window):
    """20,000 entries: one page is read at first, as many again near the end of what is there, and a
    filter goes through all of them."""
    window = plain_pages(make_window(HOLT))
    add_entries(window.workshop.record, NUMBER, 20_000, LATE)
    page = open_at(qtbot, window, "history")
    there(window)
    assert len(page._rows) == PAGE
    assert page._rows[0].act == "note 19999"
    hands = Hands(window)
    page.take_focus()
    for _time in range(3):
        seen = len(page._rows)
        hands.press("End")
        wait_for(lambda least=seen: len(page._rows) > least)
        there(window)
    assert page.side.entry.act == page._rows[seen - 1].act
    assert len(page._rows) == 8 * PAGE
    hands.press("Ctrl+F")
    hands.type("note 1999")
    wait_for(lambda: len(page._rows) == 10)  # while older entries are still being looked through
    assert [page._rows[0].act, page._rows[-1].act] == ["note 19999", "note 19990"]


def test_the_worst_of_texts_is_shown_as_it_is(window):
    window.go("history", "V12")
    page = there(window)
    assert any("<b>Bolt</b> & {0} %s =1+1" in text for text in side_texts(page))
    assert nameless(window) == []
    for size in ((1280, 720), (900, 600)):
        window.resize(*size)
        for _time in range(3):
            QApplication.processEvents()
        wide = page.side.scroller.widget()
        assert wide.minimumSizeHint().width() <= page.side.scroller.viewport().width()
        assert clipped(page) + outside(page) == []
    window.resize(1440, 900)


# Words


def entry(kind: str, *changes: Changed, **more: Any) -> HistoryEntry:
    logged = LogEntry(7, NOW, HOLT, "tested", f"job/{NUMBER}", "", "", "0" * 64, "1" * 64)
    return HistoryEntry(logged, HOLT, kind=kind, changes=changes, **more)


@pytest.mark.parametrize(
    ("change", "locale", "line"),
    [
        (Changed("current sum", "275,946.00 GBP", "277,889.50 GBP"), "en_GB",
         "Current sum: \u00a3275,946 \u2192 \u00a3277,889.50"),
        (Changed("V04 sum", "", "1,400.00 GBP to 5,800.00 GBP, no price yet"), "de_DE",
         "Sum: \u2013 \u2192 1.400\u00a0\u00a3 to 5.800\u00a0\u00a3, no price yet"),
        (Changed("V04 state", "draft", "issued"), "en_GB", "State: To issue \u2192 Issued"),
        (Changed("V05 state", "issued", "lapsed"), "en_GB", "V05, State: Issued \u2192 Lapsed"),
        (Changed("V04 answer by", "", "2026-12-01"), "en_GB",
         "Answer by: \u2013 \u2192 1 Dec 2026"),
        (Changed("authority of J. Tarn", "", "2,500.00 GBP for one, no limit in all"), "en_GB",
         "Limits of J. Tarn: \u2013 \u2192 \u00a32,500 for one, no limit in all"),
        (Changed("measured of I03", "0.14", "0.2"), "de_DE", "Measured of I03: 0,14 \u2192 0,2"),
        (Changed("V04 end", "contingency", "contract sum"), "en_GB",
         "Funded by: Contingency \u2192 Contract sum"),
        (Changed("serial", "2041", "2026-13-45"), "en_GB", "Serial: 2041 \u2192 2026-13-45"),
    ],
)  # fmt: skip
def test_a_change_as_the_locale_writes_it(change, locale, line):
    assert words.change_line(change, Formats(locale), "V04") == line


def test_every_event_has_words():
    kinds = {
        name
        for name, one in vars(events).items()
        if isinstance(one, type) and issubclass(one, events.Event) and one is not events.Event
    }
    assert kinds - {"Moved", "Decided"} == set(words.event_words())


def test_what_a_decision_came_to_is_what_was_done():
    moved = entry("Moved", Changed("V04 state", "approved", "released"), variation="V04")
    assert words.done_words(moved) == "In work"
    assert words.done_words(entry("Moved", variation="V04")) == "Passed on"


def test_sums_stand_before_the_rest():
    one = entry(
        "Decided",
        Changed("V04 agreed by", "", "R. Ostrey"),
        Changed("V04 state", "issued", "approved"),
        Changed("contingency left", "2.00 GBP", "1.00 GBP"),
        variation="V04",
    )
    assert words.changes_lines(one, SAY) == (
        "State: Issued \u2192 Approved",
        "Contingency left: \u00a32 \u2192 \u00a31; and 1 more",
    )
