"""What the window's own keys and menu do: find, new job, people, look, language, proof, help."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from PySide6.QtCore import QObject, QPoint, Qt
from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import QApplication, QDialog, QGridLayout, QLabel, QMenu, QVBoxLayout

from estimator.desktop.areas import (
    CATALOGUE,
    CATALOGUE_KEY,
    ENQUIRY,
    HISTORY_KEY,
    PRICE_LISTS,
    PRICE_LISTS_KEY,
    WAITING_KEY,
    areas,
)
from estimator.desktop.find_panel import FindPanel
from estimator.desktop.key_names import key_names
from estimator.desktop.language import _, languages
from estimator.desktop.preferences import LOOKS, Preferences
from estimator.desktop.proving import prove
from estimator.desktop.theme import choose_theme, look_named
from estimator.desktop.window import Window
from estimator.services.begin_job import begin_job

LOCALES = {"en": "en_GB", "de": "de_DE", "fr": "fr_FR"}


class WindowActs(QObject):
    """Joins the window's wishes to what answers them."""

    def __init__(self, window: Window, preferences: Preferences) -> None:
        super().__init__(window)
        self._window, self._preferences = window, preferences
        self._workshop = window.workshop
        self.find_panel = FindPanel(window.workshop, window.desk, window)
        self.find_panel.go_asked.connect(self._go)
        window.find_asked.connect(self.find_panel.ask)
        window.menu_asked.connect(self._open_menu)
        window.new_job_asked.connect(self.new_job)
        window.help_asked.connect(self.show_keys)
        window.closing.connect(self._keep_geometry)
        if not preferences.geometry.isEmpty():
            window.restoreGeometry(preferences.geometry)

    def _go(self, number: str, area: str, place: str, figure: str) -> None:
        if number:
            self._window.open_job(number, area, place)
        else:
            self._window.go(area, place)
            self._window.explain(figure)

    def new_job(self) -> None:
        """Begin a job and go to its enquiry."""
        workshop = self._workshop
        record, who, now = workshop.record, workshop.person, workshop.now()
        catalogue = workshop.catalogue
        if catalogue is None:
            workshop.presenter.notice(_("The catalogue is still being read."))
            return

        def begun(number: str) -> None:
            workshop.changed("jobs")
            self._window.open_job(number, ENQUIRY)

        workshop.runner.run(lambda _report: begin_job(record, catalogue, who, now), begun)

    def menu(self) -> QMenu:
        """The menu under the user's name."""
        menu = QMenu(self._window)
        menu.aboutToHide.connect(menu.deleteLater)
        for text, act in (
            (_("People"), lambda: self._window.go("people")),
            (_("House style"), lambda: self._window.go("house style")),
            (_("Catalogue"), lambda: self._window.go(CATALOGUE)),
            (_("Price lists"), lambda: self._window.go(PRICE_LISTS)),
            (_("Past teardowns and closed jobs"), lambda: self._window.go("past work")),
            (_("History"), self._window.open_history),
            (_("Prove the record"), self.prove),
            (_("Keys"), self.show_keys),
        ):
            menu.addAction(text).triggered.connect(lambda _on=False, one=act: one())
        menu.addSeparator()
        looks = {"desktop": _("Like the desktop"), "light": _("Light"), "dark": _("Dark")}
        self._choices(menu, _("Look"), looks, self._preferences.look, self._take_look, LOOKS)
        names = {"en": "English", "de": "Deutsch", "fr": "Fran\u00e7ais"}
        here = self._preferences.locale.split("_")[0]
        self._choices(menu, _("Language"), names, here, self._take_language, tuple(names))
        return menu

    @staticmethod
    def _choices(
        menu: QMenu,
        title: str,
        names: Mapping[str, str],
        chosen: str,
        take: Callable[[str], None],
        order: Sequence[str],
    ) -> None:
        group = QActionGroup(menu)
        below = menu.addMenu(title)
        for key in order:
            action = QAction(names[key], group)
            action.setCheckable(True)
            action.setChecked(key == chosen)
            action.triggered.connect(lambda _on=False, one=key: take(one))
            below.addAction(action)

    def _open_menu(self) -> None:
        button = self._window.strip.person
        self.menu().popup(button.mapToGlobal(QPoint(0, button.height())))

    def _take_look(self, look: str) -> None:
        self._preferences.look = look
        application = QApplication.instance()
        assert isinstance(application, QApplication)
        choose_theme(application, look_named(look))

    def _take_language(self, key: str) -> None:
        self._preferences.locale = LOCALES[key]
        known = key in languages()
        self._workshop.presenter.notice(
            _("The window speaks and writes figures so from its next start.")
            if known
            else _("Figures are written so from the next start; the words stay English.")
        )

    def prove(self) -> None:
        """Verify the whole record and say what came of it."""
        prove(self._workshop)

    def show_keys(self) -> None:
        """Every key of the window."""
        dialog = QDialog(self._window)
        dialog.setWindowTitle(_("Keys"))
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        grid = QGridLayout()
        grid.setHorizontalSpacing(24)
        rows = [(area.shortcut, area.title) for area in areas()] + [
            ("Ctrl+K", _("Find a job, finding, part or figure")),
            ("Ctrl+F", _("Filter this page")),
            ("F6, Shift+F6", _("Next, previous pane")),
            ("F9, Shift+F9", _("Show or hide why, pin it")),
            ("Alt+Left, Alt+Right", _("Back, forward")),
            ("Alt+Home", _("Jobs")),
            (WAITING_KEY, _("What waits on whom")),
            (HISTORY_KEY, _("History of the job, or of what is chosen")),
            (CATALOGUE_KEY, _("Catalogue")),
            (PRICE_LISTS_KEY, _("Price lists")),
            ("Ctrl+N", _("New job")),
            ("Ctrl+Z, Ctrl+Y", _("Undo, redo")),
            ("Ctrl+S", _("Try again to save; all is saved as you type")),
            ("Ctrl+Enter", _("The page's main action")),
            ("Ctrl+P", _("Print: the quote")),
            ("F2, Esc", _("Edit a cell, leave it as it was")),
            ("Ins, Del", _("Add, remove a row")),
            ("Ctrl+D", _("Fill with what stands above")),
            ("Ctrl+C, X, V", _("Copy, cut, paste: also from and to spreadsheets")),
            ("Alt+1 \u2026 5", _("Reuse, recondition, exchange, replace, open")),
            ("F5", _("Read again")),
        ]
        half = (len(rows) + 1) // 2
        for place, (key, does) in enumerate(rows):
            cap, words = QLabel(key_names(key)), QLabel(does)
            cap.setProperty("look", "keycap")
            row, side = place % half, place // half
            grid.addWidget(cap, row, side * 2)
            grid.addWidget(words, row, side * 2 + 1)
        column = QVBoxLayout(dialog)
        column.setContentsMargins(24, 20, 24, 24)
        column.addLayout(grid)
        dialog.open()

    def _keep_geometry(self) -> None:
        self._preferences.geometry = self._window.saveGeometry()
