"""What there are pictures of, and how each is brought about in the open window."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

from PySide6.QtWidgets import QApplication, QLabel

from estimator.desktop.beginning import Beginning
from estimator.desktop.questions import ask_passphrase
from estimator.domain.price_list.linked import PartLink
from estimator.services.link_parts import link_part
from estimator.services.preview_price_list import ListFile, ListWish, preview_price_list
from estimator.services.take_price_list import price_lists, take_price_list
from tests.desktop.conftest import HOLT, MANAGER, NOW, settle, wait_for
from tests.desktop.pictures import grabbed
from tests.desktop.under_contract import NUMBER


@dataclass(frozen=True)
class Scene:
    """A picture's name, and what brings its widget about (`window` is the open one)."""

    name: str
    show: Callable[[Any], Any]


FIRST_LIST = b"""Part number;Description;Price;Currency;Unit;Lead weeks
001-17;Water pump;410,00;GBP;EA;1
002-20;Seal ring, cab;12,50;GBP;EA;1
003-30;Gasket set, cylinder head;90,00;GBP;SET;2
004-40;Hose, return line;35,10;GBP;EA;1
005-50;Main bearing;210,00;GBP;EA;3
006-60;Cover plate;18,40;GBP;EA;1
"""
SECOND_LIST = b"""Part number;Description;Price;Currency;Unit;Lead weeks;Superseded by
001-17;Water pump;422,30;GBP;EA;1;
002-20;Seal ring, cab;12,88;GBP;EA;1;002-21
002-21;Seal ring, cab, new kind;13,10;GBP;EA;1;
003-30;Gasket set, cylinder head;92,70;GBP;SET;2;
004-40;Hose, return line;351,00;GBP;EA;1;
005-50;Main bearing;640,00;GBP;EA;3;
007-70;Oil filter;22,00;GBP;EA;1;
008-80;Fuel filter;on request;GBP;EA;1;
"""
HASH = re.compile(r"[0-9a-f]{12,16}")  # as it is told, or a group of it


def quiet(window: Any) -> None:
    """Wait until nothing moves any more, and take the caret away."""
    settle(None, window)
    for _time in range(3):
        QApplication.processEvents()
    settle(None, window)
    focus = QApplication.focusWidget()
    if focus is not None:
        focus.clearFocus()
    QApplication.processEvents()


def area(key: str, place: str = "") -> Scene:
    """A page of the job, with everything on it that comes late."""

    def show(window: Any) -> Any:
        window.go(key, place)
        wait_for(lambda: _all_there(window, key))
        quiet(window)
        if key == "history":
            _with_one_hash(window)
        return window

    return Scene(key, show)


def page_alone(key: str, place: str = "") -> Scene:
    """The same without what is around the page: with all of it there is more than a picture that
    is kept small can hold."""
    whole = area(key, place)

    def show(window: Any) -> Any:
        whole.show(window)
        return window.page

    return Scene(key, show)


def _all_there(window: Any, key: str) -> bool:
    """What a page works out for itself, after the figures."""
    page = window.page
    if key == "enquiry":
        return page.range.found is not None
    if key == "scope":
        return page.options._levels_of is window.desk.priced and bool(page.side.ways.heads)
    if key == "exposure":
        looks = page.parts.lower.open_first
        return page._view is not None and page.parts.bars.whiskered and looks.found is not None
    if key == "quote":
        preview = page.parts.preview
        made = bool(preview.content) and preview._is_made()
        return made and preview.pages.page_image(0) is not None
    if key == "variations":
        return page._view_of is window.desk.contract.now and page.parts.side.body.effect.isVisible()
    if key == "waiting":
        return page.panel.view is not None
    if key == "history":
        return bool(page._rows) and not page._reading
    return True


def _with_one_hash(window: Any) -> None:
    """Hashes are of the day and the machine: every picture shows the same."""
    for label in window.page.findChildren(QLabel):
        label.setText(HASH.sub(lambda found: "0123456789abcdef"[: len(found[0])], label.text()))


def frame_page(key: str) -> Scene:
    """A page that is of no job."""

    def show(window: Any) -> Any:
        window.go(key)
        quiet(window)
        return window

    return Scene(key.replace(" ", "-"), show)


def _catalogue(window: Any) -> Any:
    """Rows that were found, one of them being changed: its form, and what is being changed."""
    window.go("catalogue")
    wait_for(lambda: window.page.editing.view is not None)
    page = window.page
    page.rows.tools.text.setText("function test before")
    wait_for(lambda: not page.rows.tools._soon.isActive())
    quiet(window)
    field = page.rows.form.frames["name"].field
    field.setText("Function test before strip, on the test bay")
    field.textEdited.emit(field.text())
    wait_for(lambda: not page.editing._soon.isActive())
    quiet(window)
    return window


def _find(window: Any) -> Any:
    window.go("jobs")
    quiet(window)
    panel = window.acts.find_panel
    panel.ask()
    panel.line.setText("ostrey")
    quiet_panel(window, panel)
    return window


def quiet_panel(window: Any, panel: Any) -> None:
    """Wait until it has found; it stays open only while it has the focus."""
    wait_for(lambda: not panel._soon.isActive() and panel._looking is None)
    settle(None, window)
    for _time in range(3):
        QApplication.processEvents()


def _price_list(window: Any) -> Any:
    """A supplier's second list beside the first: what is out of line, changed, new and gone."""
    workshop = window.workshop
    if not price_lists(workshop.record):
        first = preview_price_list(
            workshop.record, workshop.edition, ListFile("first.csv", FIRST_LIST), ListWish("S1"),
            NOW.date(),
        )  # fmt: skip
        take_price_list(workshop.record, first, None, workshop.person, NOW)
        pump = PartLink("P-WPM", (), "S1", "00117", Decimal(1))
        link_part(workshop.record, pump, workshop.person, NOW)
    window.go("price lists")
    settle(None, window)
    window.page.view.choose("new list")
    window.page.new.opened(ListFile("spring.csv", SECOND_LIST))
    quiet(window)
    return window


def _why(window: Any) -> Any:
    """A figure with numbers, a rule, and more that it rests on than there is room for."""
    window.go("price")
    quiet(window)
    window.why.ask("contingency")
    window.why._show_all()
    QApplication.processEvents()
    return window


def _question(window: Any) -> Any:
    question = ask_passphrase(
        window,
        "Issue Q-2041 rev A",
        "Q-2041 rev A goes out at \u00a3275,946 before tax and changes no more. Whoever releases "
        "it gives their own name and passphrase.",
        "J. Tarn",
        lambda _who, _secret: None,
    )
    QApplication.processEvents()
    question.buttons[0].setFocus()
    QApplication.processEvents()
    return question


def beginning(name: str, face: int, words: str, more: str) -> Scene:
    """A face of what comes before the window."""

    def show(window: Any) -> Any:
        begun = Beginning(Path("workshop.db"), window.workshop.formats, lambda: NOW)
        begun._who.addItems([HOLT, MANAGER])
        begun._show(face, words, more)
        begun._bar.setRange(0, 100)  # one that runs to and fro is never the same twice
        begun._bar.setValue(40)
        begun.resize(480, begun.sizeHint().height())
        return begun

    return Scene(f"beginning-{name}", show)


def contract_scenes() -> Sequence[Scene]:
    """What there is a picture of in a window on a job under contract."""
    return (
        area("teardown", "C04B"),
        page_alone("variations", "V11"),
        area("waiting", f"{NUMBER}/variation/V11"),
        area("history"),
    )


def scenes() -> Sequence[Scene]:
    """What there is a picture of in a window on a job that is being priced."""
    return (
        frame_page("jobs"),
        area("enquiry"),
        area("inspection", "I03"),
        area("scope", "part/P-CRK"),
        area("price"),
        area("exposure"),
        area("programme"),
        area("quote"),
        frame_page("past work"),
        frame_page("people"),
        Scene("catalogue", _catalogue),
        Scene("price-lists", _price_list),
        Scene("find", _find),
        Scene("why", _why),
        Scene("question", _question),
        beginning("opening", 0, "Opening the record", "workshop.db"),
        beginning("who", 1, "Who works here?", "workshop.db"),
        beginning("first", 2, "Nobody is enrolled yet",
                  "The first person is a service manager, who enrols everyone else."),
        beginning("trouble", 3, "The record cannot be opened",
                  "workshop.db is of a newer version of Shimwright. Open it with that one."),
    )  # fmt: skip


def taken(window: Any, scene: Scene) -> bytes:
    """Bring a scene about and take its picture."""
    widget = scene.show(window)
    try:
        return grabbed(widget)
    finally:
        window.acts.find_panel.hide()
        if widget is not window and not window.isAncestorOf(widget):
            widget.deleteLater()
