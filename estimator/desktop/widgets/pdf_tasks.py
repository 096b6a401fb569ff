"""Reading and drawing a document's pages in a worker thread.

The worker is a thread of Python's own, not of Qt's: Python waits for it before it unloads the
library behind the pages, so a program that ends while a page is being drawn ends cleanly.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from functools import lru_cache
from typing import Any

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QImage


class PdfAnswers(QObject):
    """Carries results from the worker to the window's thread.

    opened(turn, list of (width, height) in points); drawn(turn, page from 0, QImage); failed(turn)
    and undrawn(turn) where the bytes are no readable document.
    """

    opened = Signal(int, object)
    drawn = Signal(int, int, object)
    failed = Signal(int)
    undrawn = Signal(int)


@lru_cache(maxsize=1)
def _worker() -> ThreadPoolExecutor:
    """One thread for all views: the library serves one caller at a time."""
    return ThreadPoolExecutor(max_workers=1, thread_name_prefix="pages")


def start_opening(answers: PdfAnswers, turn: int, content: bytes) -> Future[None]:
    """Measure all pages; the answer carries `turn`. Cancel the future to take it back."""
    return _worker().submit(_open, answers, turn, content)


def start_drawing(
    answers: PdfAnswers, turn: int, content: bytes, place: int, scale: float
) -> Future[None]:
    """Draw one page, from 0, at so many device pixels a point; the answer carries `turn`."""
    return _worker().submit(_draw, answers, turn, content, place, scale)


def submit(work: Callable[[], None]) -> Future[None]:
    """Do something else with the library, in its turn."""
    return _worker().submit(lambda: None if _program_ends() else work())


def _program_ends() -> bool:
    return not threading.main_thread().is_alive()


def _open(answers: PdfAnswers, turn: int, content: bytes) -> None:
    if _program_ends():
        return
    try:
        sizes = _page_sizes(content)
    except Exception:
        # Whatever went wrong in here, the view must not wait for ever.
        answers.failed.emit(turn)
        raise
    answers.opened.emit(turn, sizes)


def _draw(answers: PdfAnswers, turn: int, content: bytes, place: int, scale: float) -> None:
    if _program_ends():
        return
    try:
        image = _page_image(content, place, scale)
    except Exception:
        answers.undrawn.emit(turn)
        raise
    answers.drawn.emit(turn, place, image)


def _page_sizes(content: bytes) -> list[tuple[float, float]]:
    document = opened(content)
    try:
        sizes = []
        for page in document:
            wide, high = page.get_size()
            sizes.append((float(wide), float(high)))
        return sizes
    finally:
        document.close()


def _page_image(content: bytes, place: int, scale: float) -> QImage:
    """The page in memory of its own, independent of the library's."""
    document = opened(content)
    try:
        bitmap = document[place].render(scale=scale)
        shape = QImage.Format.Format_BGR888
        image = QImage(bitmap.buffer, bitmap.width, bitmap.height, bitmap.stride, shape)
        return image.copy()
    finally:
        document.close()


def opened(content: bytes) -> Any:
    """The library's document, which is to be closed again; only in the worker."""
    # Imported here, in the worker, for it takes longer than the window's thread may be held.
    import pypdfium2  # type: ignore[import-untyped]

    return pypdfium2.PdfDocument(content)
