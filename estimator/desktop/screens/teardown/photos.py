"""Photographs of the component on the bench: shown, dropped, pasted, chosen from files."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QFileDialog, QFrame, QHBoxLayout, QVBoxLayout, QWidget

from estimator.desktop.language import _, ngettext
from estimator.desktop.photo_acts import open_full_size, tell_not_taken, tell_unread
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.desktop.widgets.photo_strip import LARGEST_FILE, Photo, PhotoStrip
from estimator.desktop.workshop import Workshop
from estimator.domain.record import Photograph
from estimator.services.teardown_photographs import add_teardown_photograph, teardown_photographs

PICTURES = "*.jpg *.jpeg *.png *.JPG *.JPEG *.PNG"


class BenchPhotos(QFrame):
    """What is taken goes to the record at once, under the component.

    Signals: taken(str, str): component and name of a photograph that the record holds now
    """

    taken = Signal(str, str)

    def __init__(self, workshop: Workshop) -> None:
        super().__init__()
        self._workshop = workshop
        self._number = self._component = ""
        self._photographs: dict[str, Photograph] = {}
        self._locked = False
        self.title = ElidedLabel(tone="strong")
        self.add_button = CommandButton(_("Add photograph"), "F8", tool=True)
        self.add_button.clicked.connect(self.choose_files)
        self.strip = PhotoStrip(_("Scale in the picture"), _("drop, Ctrl+V or F8"))
        self.strip.setAccessibleName(_("Photographs of the component"))
        self.strip.photographs_given.connect(self.give)
        self.strip.photographs_refused.connect(self._tell_unread)
        self.strip.full_size_asked.connect(self._show_full_size)
        self._beside = QWidget()
        column = QVBoxLayout(self._beside)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        column.addWidget(self.title)
        column.addWidget(self.add_button)
        column.addStretch()
        row = QHBoxLayout(self)
        row.setContentsMargins(20, 6, 20, 6)
        row.setSpacing(12)
        row.addWidget(self.strip, 1)
        row.addWidget(self._beside)

    def set_narrow(self, narrow: bool) -> None:
        """Leave the room to the pictures; F8 does what the button does."""
        self._beside.setVisible(not narrow)

    def show_component(self, number: str, component: str, *, locked: bool) -> None:
        """Show the photographs of a component."""
        self._locked = locked
        self.strip.set_locked(locked)
        self.add_button.setEnabled(not locked)
        if (number, component) == (self._number, self._component):
            return
        self._number, self._component = number, component
        self._take([])
        self._read()

    def _read(self) -> None:
        record, number, component = self._workshop.record, self._number, self._component
        self._workshop.runner.run(
            lambda _report: teardown_photographs(record, number, component),
            lambda found: self._take_of(component, found),
            subject="teardown photographs",
        )

    def _take_of(self, component: str, found: Sequence[Photograph]) -> None:
        if component == self._component:
            self._take(found)

    def _take(self, found: Sequence[Photograph]) -> None:
        self._photographs = {one.name: one for one in found}
        self.strip.set_photos(
            [
                Photo(one.name, one.caption or one.name, QImage.fromData(one.thumbnail))
                for one in found
            ]
        )
        count = len(found)
        words = ngettext("{n} photograph", "{n} photographs", count).format(n=count)
        self.title.set_text(words if count else _("Photographs: none yet"))

    # Taking

    def choose_files(self) -> None:
        """F8: ask for files."""
        if self._locked:
            return
        dialog = QFileDialog(self, _("Add photographs"))
        dialog.setFileMode(QFileDialog.FileMode.ExistingFiles)
        dialog.setNameFilter(_("Pictures") + f" ({PICTURES})")
        dialog.filesSelected.connect(self._give_files)
        dialog.finished.connect(dialog.deleteLater)
        dialog.open()

    def _give_files(self, paths: list[str]) -> None:
        given, unread = [], []
        for path in paths:
            content = _content(Path(path))
            if content:
                given.append((Path(path).name, content))
            else:
                unread.append(Path(path).name)
        self.give(given)
        if unread:
            self._tell_unread(unread)

    def give(self, given: list[tuple[str, bytes]]) -> None:
        """Keep pictures: names and contents."""
        if self._locked:
            return
        workshop, number, component = self._workshop, self._number, self._component
        record, who, now = workshop.record, workshop.person, workshop.now()
        for one in given:
            workshop.runner.run(
                lambda _report, what=one: add_teardown_photograph(  # type: ignore[misc]
                    record, number, component, what, who, now
                ),
                self._on_kept,
                failed=lambda error, name=one[0]: self._not_taken(name, error),  # type: ignore[misc]
            )

    def _on_kept(self, photograph: Photograph) -> None:
        self._workshop.changed("photographs")
        self.taken.emit(photograph.finding, photograph.name)
        if photograph.finding == self._component:
            self._read()

    def _not_taken(self, name: str, error: Exception) -> None:
        tell_not_taken(self._workshop.presenter, name, error)

    def _tell_unread(self, names: list[str]) -> None:
        tell_unread(self._workshop.presenter, names)

    def _show_full_size(self, name: object) -> None:
        open_full_size(self._workshop, self, self._photographs.get(str(name)))


def _content(path: Path) -> bytes:
    """A file's content; nothing of one that cannot be read, or is far too large."""
    try:
        return path.read_bytes() if path.stat().st_size <= LARGEST_FILE else b""
    except OSError:
        return b""
