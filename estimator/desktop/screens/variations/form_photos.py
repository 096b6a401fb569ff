"""Photographs of a variation, in its form: dropped, pasted, chosen from files, taken out again.

What is given is kept in the record at once, under the component; the variation names it.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtGui import QImage
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QWidget

from estimator.desktop.language import _
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.widgets.photo_strip import LARGEST_FILE, Photo, PhotoStrip
from estimator.desktop.workshop import Workshop
from estimator.domain.record import Photograph
from estimator.services.show_case import photographs_named
from estimator.services.teardown_photographs import add_teardown_photograph

PICTURES = "*.jpg *.jpeg *.png *.JPG *.JPEG *.PNG"


class FormPhotos(QWidget):
    """The names are in `names`, in their order."""

    def __init__(self, workshop: Workshop, job: str, kept_under: Callable[[], str]) -> None:
        super().__init__()
        self._workshop, self._job, self._kept_under = workshop, job, kept_under
        self.names: tuple[str, ...] = ()
        self._found: dict[str, Photograph] = {}
        self.strip = PhotoStrip(_("Drop photos here"), _("or Ctrl+V; with a scale"))
        self.strip.setAccessibleName(_("Photographs"))
        self.add = CommandButton(_("Add photograph"), tool=True)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(12)
        row.addWidget(self.strip, 1)
        row.addWidget(self.add)
        self.strip.photographs_given.connect(self.give)
        self.strip.photographs_refused.connect(self._tell_unread)
        self.strip.removal_asked.connect(self._take_out)
        self.add.clicked.connect(self.choose_files)

    def set_names(self, names: tuple[str, ...]) -> None:
        """Show the photographs of these names."""
        self.names = names
        record, job = self._workshop.record, self._job
        if not names:
            self._show([])
            return
        self._workshop.runner.run(
            lambda _report: photographs_named(record, job, names), self._show, subject="form photos"
        )

    def _show(self, found: list[Photograph]) -> None:
        self._found = {one.name: one for one in found}
        self.strip.set_photos(
            [Photo(p.name, p.caption or p.name, QImage.fromData(p.thumbnail)) for p in found]
        )

    def choose_files(self) -> None:
        """Ask for files."""
        dialog = QFileDialog(self, _("Add photographs"))
        dialog.setFileMode(QFileDialog.FileMode.ExistingFiles)
        dialog.setNameFilter(_("Pictures") + f" ({PICTURES})")
        dialog.filesSelected.connect(self._give_files)
        dialog.finished.connect(dialog.deleteLater)
        dialog.open()

    def _give_files(self, paths: list[str]) -> None:
        given, unread = [], []
        for path in map(Path, paths):
            try:
                if path.stat().st_size > LARGEST_FILE:
                    raise OSError
                given.append((path.name, path.read_bytes()))
            except OSError:
                unread.append(path.name)
        self.give(given)
        if unread:
            self._tell_unread(unread)

    def give(self, given: list[tuple[str, bytes]]) -> None:
        """Keep pictures: names and contents."""
        workshop, job, under = self._workshop, self._job, self._kept_under()
        record, who, now = workshop.record, workshop.person, workshop.now()
        for picture in given:
            workshop.runner.run(
                lambda _report, one=picture: add_teardown_photograph(  # type: ignore[misc]
                    record, job, under, one, who, now
                ),
                self._taken,
            )

    def _taken(self, photograph: Photograph) -> None:
        self.names = (*self.names, photograph.name)
        self._show([*self._found.values(), photograph])
        self._workshop.changed("photographs")

    def _take_out(self, name: object) -> None:
        self.names = tuple(one for one in self.names if one != str(name))
        self._show([one for key, one in self._found.items() if key != str(name)])

    def _tell_unread(self, names: list[str]) -> None:
        self._workshop.presenter.trouble(
            _("Not taken, since they cannot be read or are too large: {names}.").format(
                names=", ".join(names)
            )
        )
