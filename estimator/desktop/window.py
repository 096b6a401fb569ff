"""The window: strip, job path, header, pages, why panel, key line, and the ways between them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction, QCloseEvent, QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QMainWindow,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.areas import (
    AFTER_ACCEPTANCE,
    CATALOGUE,
    CATALOGUE_KEY,
    HISTORY,
    HISTORY_KEY,
    JOBS,
    PRICE_LISTS,
    PRICE_LISTS_KEY,
    QUOTE,
    WAITING,
    WAITING_KEY,
    areas,
)
from estimator.desktop.desk import Desk
from estimator.desktop.history import History, Where
from estimator.desktop.job_header import JobHeader
from estimator.desktop.job_path_bar import JobPathBar
from estimator.desktop.key_line import KeyLine
from estimator.desktop.language import _
from estimator.desktop.message_bar import MessageBar
from estimator.desktop.page import Page
from estimator.desktop.panes import step_to_pane
from estimator.desktop.path_states import path_states
from estimator.desktop.questions import ask
from estimator.desktop.saving_state import SavingState
from estimator.desktop.text_undo import TextUndo
from estimator.desktop.top_strip import TopStrip
from estimator.desktop.trade_words import job_title, role_word
from estimator.desktop.why_panel import WhyPanel
from estimator.desktop.work_area import WorkArea
from estimator.desktop.workshop import Workshop

OVERLAY_BELOW, NARROW_BELOW = 1280, 1100
FIRST_SIZE = (1440, 900)

NEW_JOB = "new job"  # a place that is not there yet

PageMaker = Callable[[], Page]


class Window(QMainWindow):
    """The one window. Pages are made when first gone to.

    Signals: find_asked(), menu_asked(), new_job_asked(): what `app` answers with its panels.
    """

    find_asked = Signal()
    menu_asked = Signal()
    new_job_asked = Signal()
    help_asked = Signal()
    closing = Signal()

    def __init__(self, workshop: Workshop, desk: Desk, pages: Mapping[str, PageMaker]) -> None:
        super().__init__()
        self.workshop, self.desk = workshop, desk
        self._makers = dict(pages)
        self._history = History()
        self._going_to = self._going_place = ""
        self._revisiting = False
        self._sought: tuple[str, str] | None = None  # page and place still to be reached
        self._lose = False  # closing loses what cannot be saved: the user said so
        self.acts: object = None  # whatever answers the window's wishes, kept alive with it
        self._why_wanted = True
        self._by_desk = False  # one came into the job from what waits on whom
        self._own_swapped = False  # why in place of the side a page draws itself
        self._pages: dict[str, Page] = {}
        self.strip, self.path, self.header = TopStrip(), JobPathBar(), JobHeader(desk)
        self.messages, self.key_line = MessageBar(), KeyLine()
        self.why = WhyPanel(workshop.formats)
        self.saving = SavingState(desk, self.key_line, self)
        self.stack = QStackedWidget()
        self._build()
        self._bind_keys()
        self._join()
        self.setWindowTitle("Shimwright")
        self.resize(*FIRST_SIZE)
        self.setMinimumSize(900, 600)

    def _build(self) -> None:
        middle = QVBoxLayout()
        middle.setSpacing(0)
        middle.setContentsMargins(0, 0, 0, 0)
        for widget in (self.header, self.messages):
            middle.addWidget(widget)
        self.work_area = WorkArea(self.stack, self.key_line, self.why)
        middle.addWidget(self.work_area, 1)
        body = QHBoxLayout()
        body.setSpacing(0)
        body.addWidget(self.path)
        body.addLayout(middle, 1)
        whole = QWidget()
        column = QVBoxLayout(whole)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.strip)
        column.addLayout(body, 1)
        self._whole = whole
        self.setCentralWidget(whole)

    def _join(self) -> None:
        presenter, desk = self.workshop.presenter, self.desk
        presenter.told.connect(self.messages.tell)
        presenter.cleared.connect(self.messages.clear)
        self.key_line.focus_lost.connect(self._focus_page)
        self.messages.left.connect(self._focus_page)
        self.strip.jobs_asked.connect(lambda: self.go(JOBS))
        self.strip.waiting_asked.connect(lambda: self.go(WAITING))
        self.strip.job_asked.connect(lambda: self.go(self.page_key))
        self.strip.find_asked.connect(self.find_asked)
        self.strip.menu_asked.connect(self.menu_asked)
        self.strip.back_asked.connect(self.back)
        self.strip.forward_asked.connect(self.forward)
        self.path.area_asked.connect(self.go)
        self.path.history_asked.connect(self.open_history)
        self.workshop.person_changed.connect(self._show_person)
        self.workshop.catalogue_read.connect(self._on_catalogue)
        desk.opened.connect(self._on_opened)
        desk.reckoned.connect(self._on_reckoned)
        desk.job_changed.connect(lambda _job: self._show_path())
        desk.worked.connect(lambda _work: self._show_path())
        desk.worked.connect(lambda _work: self._seek())
        desk.job_changed.connect(lambda _job: self._stop_seeking())
        desk.faults_changed.connect(lambda _faults: self._show_path())
        desk.names_changed.connect(self._show_names)
        desk.contract.changed.connect(lambda _here: self._show_path())
        desk.contract.worked_out.connect(lambda _now: self._show_path())
        self._show_person(self.workshop.person)
        self.strip.set_workshop(self.workshop.name)

    # Keys

    def _bind_keys(self) -> None:
        for area in areas():
            if area.key in self._makers:
                self._key(area.shortcut, partial(self.go_to_area, area.key))
        for keys, act in (
            (("Ctrl+K",), self.find_asked.emit),
            (("Ctrl+F",), self._filter),
            (("F6",), lambda: self._next_pane(1)),
            (("Shift+F6",), lambda: self._next_pane(-1)),
            (("F9",), self._toggle_why),
            (("Shift+F9",), lambda: self.why.pin(not self.why.pinned)),
            (("Ctrl+S",), self.desk.retry),
            (("Ctrl+P",), self._print),
            (("Ctrl+N",), self._new),
            (("Ctrl+Return", "Ctrl+Enter"), self._main_action),
            (("F5",), self._reload),
            (("F1",), self.help_asked.emit),
            (("Alt+Left",), self.back),
            (("Alt+Right",), self.forward),
            (("Alt+Home",), lambda: self.go(JOBS)),
            ((WAITING_KEY,), lambda: self.go(WAITING)),
            ((CATALOGUE_KEY,), lambda: self.go(CATALOGUE)),
            ((PRICE_LISTS_KEY,), lambda: self.go(PRICE_LISTS)),
            ((HISTORY_KEY,), self.open_history),
        ):
            for key in keys:
                self._key(key, act)
        self.undo_action = self._key("Ctrl+Z", self.desk.undo)
        self.redo_action = self._key("Ctrl+Y", self.desk.redo)
        redo_keys = [QKeySequence("Ctrl+Y"), QKeySequence("Ctrl+Shift+Z")]
        self.redo_action.setShortcuts(redo_keys)
        application = QApplication.instance()
        if isinstance(application, QApplication):
            self._text_undo = TextUndo(application, self)

    def _key(self, sequence: str, act: Callable[[], object]) -> QAction:
        action = QAction(self)
        action.setShortcut(QKeySequence(sequence))
        action.setShortcutContext(Qt.ShortcutContext.WindowShortcut)
        action.triggered.connect(lambda _on=False: act())
        self.addAction(action)
        return action

    def _new(self) -> None:
        if self.page is None or not self.page.new_asked():
            self.new_job_asked.emit()

    def _filter(self) -> None:
        if self.page is not None:
            self.page.filter_asked()

    def _main_action(self) -> None:
        if self.page is not None:
            self.page.main_action()

    def _reload(self) -> None:
        self.desk.reread()
        self.desk.reckon_again()
        if self.page is not None:
            self.page.refresh()

    def _next_pane(self, by: int) -> None:
        panes = self.page.panes() if self.page is not None else ()
        step_to_pane((*panes, self.why.body_scroll), by)

    # Places

    @property
    def page(self) -> Page | None:
        """The page in front."""
        widget = self.stack.currentWidget()
        return widget if isinstance(widget, Page) else None

    @property
    def page_key(self) -> str:
        """Key of the page in front."""
        return self.page.key if self.page is not None else ""

    def go_to_area(self, key: str) -> None:
        """Go to an area of the open job, if one is open."""
        if self.desk.job is None:
            return
        if key in AFTER_ACCEPTANCE and not self.desk.contracted:
            self.workshop.presenter.notice(_("Nothing was accepted yet: record it on the quote."))
            return
        self.go(key)

    def open_job(self, number: str, area: str, place: str = "") -> None:
        """Open a job and go to one of its areas."""
        if self.desk.job is not None and self.desk.job.number == number:
            self.go(area, place)
            return
        self._going_to, self._going_place = area, place
        self._revisiting = False
        self.desk.open(number)

    def open_history(self) -> None:
        """The history of what is chosen on the page in front, else of the job that is open."""
        if self.page is None or self.page_key == HISTORY:
            return
        number, place = self.page.history_of()
        if not number and self.desk.job is not None:
            number = self.desk.job.number
        if number:
            self.open_job(number, HISTORY, place)
        else:
            self.workshop.presenter.notice(_("Choose a job first: a history is of a job."))

    def _on_opened(self, _job: object) -> None:
        self.why.set_priced(None)
        for page in self._pages.values():
            page.outdate()
        area, self._going_to = self._going_to, ""
        revisiting, self._revisiting = self._revisiting, False
        if area:
            self.go(area, self._going_place, remember=not revisiting)
        self._show_names()
        self._show_path()
        self.saving.show()

    def go(self, key: str, place: str = "", *, remember: bool = True) -> None:
        """Bring a page to the front."""
        if key not in self._makers or (key in _OF_A_JOB and not self.desk.job):
            return
        if key in AFTER_ACCEPTANCE and not self.desk.contracted:
            key = QUOTE  # what leads there
        page = self._pages.get(key) or self._make(key)
        if key in (JOBS, WAITING):
            self._by_desk = key == WAITING
        if remember:
            self._note_place()
        self.stack.setCurrentWidget(page)
        self._dress(page)
        page.shown()
        self._sought = None
        if place:
            page.go_to(place)
            if page.place() != place and key in _AREA_KEYS:
                self._sought = (key, place)  # its row comes with the figures
        page.explain_here()
        if remember:
            number = self.desk.job.number if self.desk.job and key in _OF_A_JOB else ""
            self._history.visit(Where(key, number, place))
        self._show_history()

    def _note_place(self) -> None:
        if self.page is not None:
            self._history.note_place(self.page.place())

    def _seek(self) -> None:
        """Go on looking for a place that was not there yet when its page came to the front."""
        if self._sought is None or self.page is None or self.page_key != self._sought[0]:
            return
        place = self._sought[1]
        self.page.go_to(place)
        if self.page.place() == place or self.desk.fresh:
            self._sought = None

    def _stop_seeking(self) -> None:
        self._sought = None

    def _make(self, key: str) -> Page:
        page = self._makers[key]()
        page.key = key
        page.why_asked.connect(self.why.ask)
        page.go_asked.connect(self._on_go_asked)
        page.keys_changed.connect(lambda: self.key_line.set_keys(page.keys()))
        self.stack.addWidget(page)
        self._pages[key] = page
        return page

    def _on_go_asked(self, where: str, place: str) -> None:
        """`where` is an area, or NUMBER/area of another job."""
        number, slash, area = where.rpartition("/")
        if where == NEW_JOB:
            self.new_job_asked.emit()
        elif slash:
            self.open_job(number, area, place)
        else:
            self.go(area, place)

    def _dress(self, page: Page) -> None:
        in_job = page.key in _OF_A_JOB
        self.path.setVisible(in_job)
        self.header.setVisible(in_job)
        self.header.set_low(page.short_header)
        self.key_line.set_keys(page.keys())
        self.path.set_here(page.key)
        self._fit_why()
        self._show_names()

    def back(self) -> None:
        """Go where one was before."""
        self._note_place()
        self._revisit(self._history.back())

    def forward(self) -> None:
        """Go where one came back from."""
        self._note_place()
        self._revisit(self._history.forward())

    def _revisit(self, where: Where | None) -> None:
        if where is None:
            return
        here = self.desk.job.number if self.desk.job is not None else ""
        if where.number and where.number != here:
            self._going_to, self._going_place = where.page, where.place
            self._revisiting = True
            self.desk.open(where.number)
            return
        self.go(where.page, where.place, remember=False)

    def _show_history(self) -> None:
        self.strip.back.setEnabled(self._history.at > 0)
        self.strip.forward.setEnabled(self._history.at < len(self._history.places) - 1)

    # What is shown around the page

    def _show_person(self, _person: object) -> None:
        person = self.workshop.person
        self.strip.set_person(person.name, role_word(person.role))
        self._show_names()

    def _on_catalogue(self, _catalogue: object) -> None:
        self.strip.set_workshop(self.workshop.name)
        self._show_path()

    def _show_names(self) -> None:
        job, page = self.desk.job, self.page
        in_job = page is not None and page.key in _OF_A_JOB and job is not None
        titles = {area.key: area.title for area in areas()}
        here = titles.get(self.page_key, page.accessibleName() if page is not None else "")
        self.strip.set_where(
            job_title(job) if in_job and job is not None else "",
            "" if self.page_key == JOBS else here,
            by_desk=self._by_desk,
        )
        undo, redo = self.desk.undo_name, self.desk.redo_name
        self.undo_action.setText(_("Undo {what}").format(what=undo) if undo else _("Undo"))
        self.redo_action.setText(_("Redo {what}").format(what=redo) if redo else _("Redo"))
        # Only where its effect can be seen: not from the Jobs list.
        self.undo_action.setEnabled(in_job and bool(undo) and not self.desk.locked)
        self.redo_action.setEnabled(in_job and bool(redo) and not self.desk.locked)
        self.saving.undo_offered = self.undo_action.isEnabled()
        self.saving.show()

    def _show_path(self) -> None:
        self.path.set_accepted(self.desk.contracted)
        self.path.set_states(path_states(self.desk))

    def _on_reckoned(self, _priced: object) -> None:
        self.why.set_priced(self.desk.priced)
        self._show_path()

    def _focus_page(self) -> None:
        if self.page is not None:
            self.page.take_focus()

    # Why panel and width

    def explain(self, figure: str) -> None:
        """Show why a figure is what it is."""
        if self.page is not None and not self.why.isVisible():
            self._toggle_why()
        self.why.ask(figure)

    def _print(self) -> None:
        if self.page is None or not self.page.print_asked():
            self.go_to_area(QUOTE)

    def _toggle_why(self) -> None:
        if self.page is not None and self.page.own_side:
            self._own_swapped = not self._own_swapped
        else:
            self._why_wanted = not self._why_wanted
        self._fit_why()

    def _fit_why(self) -> None:
        page = self.page
        in_job = page is not None and page.key in _OF_A_JOB
        swapped = page is not None and page.own_side
        wanted = self._own_swapped if swapped else self._why_wanted
        self.why.setVisible(in_job and wanted)
        if page is not None and swapped:
            page.show_side(not self._own_swapped)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Narrow windows show marks alone; why floats over the page, and is hidden at first."""
        super().resizeEvent(event)
        width = event.size().width()
        before = event.oldSize().width()
        self.path.set_narrow(width < NARROW_BELOW)
        self.strip.set_narrow(width < OVERLAY_BELOW)
        if (width < OVERLAY_BELOW) != (before < OVERLAY_BELOW):
            self.work_area.set_overlay(width < OVERLAY_BELOW)
            self._why_wanted = width >= OVERLAY_BELOW
            self._fit_why()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc, where nothing nearer the focus wants it: away with the message, then with a why
        panel that lies over the page."""
        if event.key() == Qt.Key.Key_Escape:
            if self.messages.text:
                self.messages.clear()
            elif self.work_area.overlay and self.why.isVisible():
                self._toggle_why()
            self._focus_lost()
            event.accept()
            return
        super().keyPressEvent(event)

    def _focus_lost(self) -> None:
        focus = QApplication.focusWidget()
        if focus is None or not focus.isVisible() or focus is self:
            self._focus_page()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Let what is on its way to the record arrive; ask where it cannot, and where something
        typed was never taken."""
        self.closing.emit()
        focus = QApplication.focusWidget()
        if focus is not None and self.isAncestorOf(focus):
            focus.clearFocus()  # a cell being edited hands on its text
        self.saving.let_saves_arrive()
        lost = self._would_be_lost()
        if self._lose or not lost:
            self.workshop.runner.wait()
            event.accept()
            return
        event.ignore()
        ask(
            self,
            _("Not everything is saved"),
            lost,
            [_("Stay"), _("Close and lose it")],
            self._answered_close,
        )

    def _would_be_lost(self) -> str:
        """What closing now would lose, in words; "" for nothing."""
        if self.desk.unsaved:
            return _("The record cannot be written. What you typed last would be lost.")
        return next((words for one in self._pages.values() if (words := one.unfinished())), "")

    def _answered_close(self, answer: int) -> None:
        if answer == 1:
            self._lose = True
            self.close()
        else:
            self._focus_page()


_AREA_KEYS = frozenset(area.key for area in areas())
_OF_A_JOB = _AREA_KEYS | {HISTORY}
