"""The window's beginning: everything is built here and handed on; nothing else knows the whole.

`estimator` without a verb opens the workshop's record; without one of its own it opens the sample
workshop, which is built the first time.
"""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QLibraryInfo, QTimer, QTranslator
from PySide6.QtWidgets import QApplication

from estimator.desktop import language
from estimator.desktop.areas import (
    CATALOGUE,
    ENQUIRY,
    EXPOSURE,
    HISTORY,
    INSPECTION,
    JOBS,
    PRICE,
    PRICE_LISTS,
    PROGRAMME,
    QUOTE,
    SCOPE,
    TEARDOWN,
    VARIATIONS,
    WAITING,
)
from estimator.desktop.beginning import Beginning
from estimator.desktop.desk import Desk
from estimator.desktop.formats import Formats, known
from estimator.desktop.page import Page
from estimator.desktop.preferences import Preferences
from estimator.desktop.presenter import Presenter
from estimator.desktop.runner import WORK, Runner
from estimator.desktop.theme import choose_theme, look_named
from estimator.desktop.window import PageMaker, Window
from estimator.desktop.window_acts import WindowActs
from estimator.desktop.workshop import Workshop
from estimator.domain.people import Person
from estimator.services.keep_catalogue import working_catalogue
from estimator.services.note_unexpected import note_unexpected
from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_record import Record
from estimator.services.open_workshop import open_workshop

SWITCH_SECONDS = (
    0.002  # how long a thread may keep the interpreter: short, so that keys get through
)


def clock() -> datetime:
    """Now, in UTC."""
    return datetime.now(UTC)


def main(arguments: Sequence[str] | None = None) -> int:
    """Open the window; returns the exit code."""
    options = _options().parse_args(arguments)
    sys.setswitchinterval(SWITCH_SECONDS)
    application = _application()
    preferences = Preferences()
    locale = known(options.locale or preferences.locale)
    language.use(locale)
    _speak_qt(application, locale)
    choose_theme(application, look_named(options.look or preferences.look))
    beginning = Beginning(options.record, Formats(locale), clock)
    windows: list[Window] = []

    def go_on(record: Record, person: Person) -> None:
        window = compose(record, person, Formats(locale), preferences)
        windows.append(window)
        window.show()
        beginning.close()
        gc.freeze()
        gc.enable()

    beginning.ready.connect(go_on)
    beginning.begin(options.who)
    code = application.exec()
    for window in windows:
        window.workshop.runner.wait()
        window.workshop.record.close()
    return code


def compose(
    record: Record, person: Person, formats: Formats, preferences: Preferences | None = None
) -> Window:
    """Build the window for an open record, on its Jobs list. The catalogue is read beside it."""
    presenter = Presenter()
    runner = Runner(presenter.error)
    workshop = Workshop(record, person, runner, presenter, formats, clock)
    desk = Desk(workshop)
    window = Window(workshop, desk, page_makers(workshop, desk))
    window.acts = WindowActs(window, preferences or Preferences())
    window.go(JOBS)
    # The first picture comes before the catalogue: reading it takes a third of a second.
    workshop.read_catalogue = lambda: working_catalogue(record, supplied=open_catalogue)
    QTimer.singleShot(
        0,
        lambda: runner.run(
            lambda _report: (workshop.read_catalogue(), open_workshop()), workshop.take_catalogue,
            lane=WORK,
        ),
    )  # fmt: skip
    _catch_unexpected(presenter)
    return window


def page_makers(workshop: Workshop, desk: Desk) -> dict[str, PageMaker]:
    """How each page is made, by its key; a page's code is read when it is first gone to."""

    def jobs() -> Page:
        from estimator.desktop.screens.jobs.page import JobsPage

        return JobsPage(workshop, desk)

    def enquiry() -> Page:
        from estimator.desktop.screens.enquiry.page import EnquiryPage

        return EnquiryPage(workshop, desk)

    def inspection() -> Page:
        from estimator.desktop.screens.inspection.page import InspectionPage

        return InspectionPage(workshop, desk)

    def scope() -> Page:
        from estimator.desktop.screens.scope.page import ScopePage

        return ScopePage(workshop, desk)

    def price() -> Page:
        from estimator.desktop.screens.price.page import PricePage

        return PricePage(workshop, desk)

    def exposure() -> Page:
        from estimator.desktop.screens.exposure.page import ExposurePage

        return ExposurePage(workshop, desk)

    def programme() -> Page:
        from estimator.desktop.screens.programme.page import ProgrammePage

        return ProgrammePage(workshop, desk)

    def quote() -> Page:
        from estimator.desktop.screens.quote.page import QuotePage

        return QuotePage(workshop, desk)

    def teardown() -> Page:
        from estimator.desktop.screens.teardown.page import TeardownPage

        return TeardownPage(workshop, desk)

    def variations() -> Page:
        from estimator.desktop.screens.variations.page import VariationsPage

        return VariationsPage(workshop, desk)

    def waiting() -> Page:
        from estimator.desktop.screens.waiting.page import WaitingPage

        return WaitingPage(workshop, desk)

    def history() -> Page:
        from estimator.desktop.screens.history.page import JobHistoryPage

        return JobHistoryPage(workshop, desk)

    def past_work() -> Page:
        from estimator.desktop.screens.past_work.page import PastWorkPage

        return PastWorkPage(workshop, desk)

    def house_style() -> Page:
        from estimator.desktop.screens.house_style.page import HouseStylePage

        return HouseStylePage(workshop, desk)

    def catalogue() -> Page:
        from estimator.desktop.screens.catalogue.page import CataloguePage

        return CataloguePage(workshop, desk)

    def price_lists() -> Page:
        from estimator.desktop.screens.price_lists.page import PriceListsPage

        return PriceListsPage(workshop, desk)

    def people() -> Page:
        from estimator.desktop.screens.people.page import PeoplePage

        return PeoplePage(workshop, desk)

    return {
        JOBS: jobs,
        ENQUIRY: enquiry,
        INSPECTION: inspection,
        SCOPE: scope,
        PRICE: price,
        EXPOSURE: exposure,
        PROGRAMME: programme,
        QUOTE: quote,
        TEARDOWN: teardown,
        VARIATIONS: variations,
        WAITING: waiting,
        HISTORY: history,
        "past work": past_work,
        "people": people,
        "house style": house_style,
        CATALOGUE: catalogue,
        PRICE_LISTS: price_lists,
    }


def _options() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m estimator window")
    parser.add_argument("--record", type=Path, help="the record's file (default: the sample)")
    parser.add_argument("--as", dest="who", help="who works here; asked for where it is not said")
    parser.add_argument("--locale", help="formats and words, such as de_DE")
    parser.add_argument("--look", choices=("desktop", "light", "dark"))
    return parser


def _application() -> QApplication:
    os.environ.setdefault("QT_ENABLE_HIGHDPI_SCALING", "1")
    existing = QApplication.instance()
    application = existing if isinstance(existing, QApplication) else QApplication(["shimwright"])
    application.setApplicationName("shimwright")
    application.setApplicationDisplayName("Shimwright")
    application.setStyle("Fusion")
    return application


def _speak_qt(application: QApplication, locale: str) -> None:
    """Qt's own words (of its dialogs and menus) in the user's language."""
    translator = QTranslator(application)
    folder = QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)
    if translator.load(f"qtbase_{locale.partition('_')[0]}", folder):
        application.installTranslator(translator)


def _catch_unexpected(presenter: Presenter) -> None:
    """An error in the window itself is logged and told in plain words; work goes on."""

    def told(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if isinstance(error, Exception):
            presenter.error(RuntimeError(note_unexpected(error)))
        else:
            sys.__excepthook__(kind, error, trace)

    sys.excepthook = told
