"""Words looked for in a document's pages, in the worker thread of the pages."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from concurrent.futures import Future
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QObject, Signal

from estimator.desktop.widgets.pdf_pages import PdfPages
from estimator.desktop.widgets.pdf_tasks import opened, submit

MOST_FOUND = 2_000  # beyond that nobody steps from one to the next

Area = tuple[float, float, float, float]  # left, top, right, bottom in points from the top left


@dataclass(frozen=True, slots=True)
class Occurrence:
    """Where a text stands: its page, from 0, and its areas there, one to a line."""

    page: int
    areas: tuple[Area, ...]


class PdfSearch(QObject):
    """Finds a text in what a view of pages shows, marks it there, and steps through it.

    Signals: changed(): other places were found, or another of them is shown.
    """

    changed = Signal()
    _found = Signal(int, object)

    def __init__(self, pages: PdfPages) -> None:
        super().__init__(pages)
        self._pages = pages
        self._turn = 0
        self._stopping = threading.Event()
        self._running: Future[None] | None = None
        self.text = ""
        self.found: tuple[Occurrence, ...] = ()
        self.here = -1  # which of them is shown, from 0
        self.looking = False
        self._found.connect(self._take)
        pages.opened.connect(self.again)

    def look_for(self, text: str) -> None:
        """Look for another text; "" takes the marks away."""
        self.text = text.strip()
        self.again()

    def again(self) -> None:
        """Look for the same in what is shown now."""
        self._turn += 1
        self._stopping.set()
        self._stopping = threading.Event()
        if self._running is not None:
            self._running.cancel()
        self.looking = bool(self.text and self._pages.content)
        if not self.looking:
            self._show((), -1)
            return
        turn, content, text, stopping = self._turn, self._pages.content, self.text, self._stopping

        def look() -> None:
            found: tuple[Occurrence, ...] = ()
            try:
                found = found_in(content, text, stopping)
            finally:
                if not stopping.is_set():
                    self._found.emit(turn, found)

        self._running = submit(look)

    def step(self, by: int) -> None:
        """Go to the next, or to the one before; round and round."""
        if self.found:
            self._go_to((self.here + by) % len(self.found))

    def _take(self, turn: int, found: tuple[Occurrence, ...]) -> None:
        if turn != self._turn:
            return
        self.looking = False
        from_page = self._pages.page_here
        first = next((n for n, one in enumerate(found) if one.page >= from_page), 0)
        self._show(found, first if found else -1)
        if found:
            self._go_to(first)

    def _show(self, found: tuple[Occurrence, ...], here: int) -> None:
        self.found, self.here = found, here
        self._pages.mark([(one.page, one.areas) for one in found], here)
        self.changed.emit()

    def _go_to(self, place: int) -> None:
        self.here = place
        self._pages.mark([(one.page, one.areas) for one in self.found], place)
        one = self.found[place]
        self._pages.bring(one.page, one.areas[0])
        self.changed.emit()


def found_in(
    content: bytes, text: str, stopping: threading.Event | None = None
) -> tuple[Occurrence, ...]:
    """Where a text stands in a document, whatever its case, at most MOST_FOUND times; nothing once
    `stopping` is set."""
    document = opened(content)
    try:
        found: list[Occurrence] = []
        for place in range(len(document)):
            if stopping is not None and stopping.is_set():
                return ()
            found += _on_page(document[place], place, text)
            if len(found) >= MOST_FOUND:
                break
        return tuple(found[:MOST_FOUND])
    finally:
        document.close()


def _on_page(page: Any, place: int, text: str) -> Iterator[Occurrence]:
    high = page.get_height()
    words = page.get_textpage()
    searcher = words.search(text)
    while (hit := searcher.get_next()) is not None:
        count = words.count_rects(*hit)
        boxes = [words.get_rect(one) for one in range(count)]
        if boxes:
            areas = ((left, high - top, right, high - low) for left, low, right, top in boxes)
            yield Occurrence(place, tuple(areas))
