"""House style: how the workshop's paper looks, with a page of it beside the fields."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import (
    QFileDialog,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.desk import Desk
from estimator.desktop.key_names import key_names
from estimator.desktop.language import _
from estimator.desktop.page import Page
from estimator.desktop.screens.house_style.form import StyleForm, Take
from estimator.desktop.widgets.pdf_pages import PdfPages
from estimator.desktop.workshop import Workshop
from estimator.domain.house_style import HouseStyle, check_style
from estimator.domain.job import Party
from estimator.domain.people import STYLE
from estimator.services.house_style import (
    house_style,
    keep_house_style,
    sample_page,
    take_drawing_file,
)

WAIT_TO_LAY_OUT = 250  # ms after the last key


class HouseStylePage(Page):
    """A service manager changes the style; others look. What is typed is shown as paper at once,
    and is kept by Ctrl+Enter."""

    def __init__(self, workshop: Workshop, desk: Desk) -> None:
        super().__init__(workshop, desk)
        self.setAccessibleName(_("House style"))
        self._kept, self._version = HouseStyle(), 0
        self.form = StyleForm(workshop.formats)
        self.pages = PdfPages(_("working out"))
        self.pages.setAccessibleName(_("A page as it will be printed"))
        self.keep = QPushButton(_("Keep this style") + "   " + key_names("Ctrl+Enter"))
        self.keep.setProperty("primary", True)
        self._note = QLabel()
        self._note.setProperty("tone", "second")
        self._note.setWordWrap(True)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(WAIT_TO_LAY_OUT)
        self._soon.timeout.connect(self._lay_out)
        self._build()
        self.form.changed.connect(self._on_typed)
        self.form.drawing_asked.connect(self._ask_drawing)
        self.keep.clicked.connect(self.main_action)
        workshop.person_changed.connect(lambda _person: self._allow())
        workshop.record_changed.connect(
            lambda kinds: self.stale() if "house style" in kinds else None
        )

    def _build(self) -> None:
        title = QLabel(_("House style"))
        title.setProperty("tone", "title")
        side = QFrame()
        side.setProperty("look", "side")
        side.setMinimumWidth(380)
        side.setMaximumWidth(520)
        column = QVBoxLayout(side)
        column.setContentsMargins(20, 18, 8, 14)
        column.addWidget(title)
        column.addWidget(self.form, 1)
        column.addWidget(self._note)
        row = QHBoxLayout()
        row.addStretch()
        row.addWidget(self.keep)
        column.addLayout(row)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(side, 4)
        whole.addWidget(self.pages, 5)

    def keys(self) -> Sequence[tuple[str, str]]:
        """The keys that count here."""
        return (
            ("Tab", _("next field")),
            ("F6", _("next pane")),
            ("Ctrl+Enter", _("keep")),
            ("Alt+Home", _("Jobs")),
        )

    def panes(self) -> Sequence[QWidget]:
        """The fields, the paper."""
        return (self.form.phone, self.pages)

    def take_focus(self) -> None:
        """Into the first field."""
        self.form.phone.setFocus(Qt.FocusReason.OtherFocusReason)

    def refresh(self) -> None:
        """Read the style in force, unless another is being typed."""
        record = self.workshop.record
        self._allow()
        if self._is_changed():
            return
        self.workshop.runner.run(
            lambda _report: house_style(record),
            lambda kept: self._show(kept.style, kept.version),
            subject="house style",
        )

    def _show(self, style: HouseStyle, version: int) -> None:
        self._kept, self._version = style, version
        self.form.show_style(style)

    def _is_changed(self) -> bool:
        return self._version >= 0 and self.form.style_typed not in (self._kept, _UNTOUCHED)

    def _allow(self) -> None:
        may = self.workshop.person.may(STYLE)
        self.form.allow(may)
        self.keep.setEnabled(may and not check_style(self.form.style_typed))
        self._note.setText("" if may else _("Changing the house style is for a service manager."))
        self._note.setVisible(not may)

    def _on_typed(self) -> None:
        self._allow()
        self._soon.start()

    def _lay_out(self) -> None:
        style = self.form.style_typed
        if check_style(style):
            return
        defaults = self.workshop.defaults
        party = Party(_("The workshop")) if defaults is None else defaults.party
        day, locale = self.workshop.today(), self.workshop.formats.locale
        self.workshop.runner.run(
            lambda _report: sample_page(style, party, day, locale),
            self.pages.show_document,
            subject="style page",
        )

    def main_action(self) -> None:
        """Keep what is typed."""
        if not self.keep.isEnabled():
            return
        record, who, now = self.workshop.record, self.workshop.person, self.workshop.now()
        style, version = self.form.style_typed, self._version
        self.workshop.runner.run(
            lambda _report: keep_house_style(record, style, who, now, version),
            lambda kept: self._taken(kept.style, kept.version),
            subject="keep style",
        )

    def _taken(self, style: HouseStyle, version: int) -> None:
        self._kept, self._version = style, version
        self.workshop.presenter.done(_("The house style is kept; what was issued stays as it was."))
        self.workshop.changed("house style")

    def unfinished(self) -> str:
        """A style typed and not kept."""
        if not self.workshop.person.may(STYLE) or not self._is_changed():
            return ""
        return _("The house style that was typed is not kept yet.")

    def _ask_drawing(self, take: Take) -> None:
        dialog = QFileDialog(self, _("Choose a picture"))
        dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
        dialog.setNameFilter(_("Drawings (*.svg *.png)"))
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.fileSelected.connect(lambda name: self.read_drawing(Path(name), take))
        dialog.open()

    def read_drawing(self, path: Path, take: Take) -> None:
        """Look through a picture's file in the background, then hand it on."""
        self.workshop.runner.run(lambda _report: take_drawing_file(path), take, subject="drawing")


_UNTOUCHED = HouseStyle(rule_colour="", head_colour="")  # the fields before anything was read
