"""Photographs of the finding one is on: shown, added, captioned, looked at in full size."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QImage
from PySide6.QtWidgets import (
    QFileDialog,
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.language import _
from estimator.desktop.photo_acts import open_full_size, tell_not_taken, tell_unread
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.widgets.photo_strip import LARGEST_FILE, Photo, PhotoStrip
from estimator.desktop.workshop import Workshop
from estimator.domain.record import Photograph
from estimator.services.photographs import (
    add_photograph,
    photographs_of,
    write_caption,
)

PICTURES = "*.jpg *.jpeg *.png *.JPG *.JPEG *.PNG"
SUBJECT = "photographs"


class PhotoPanel(QFrame):
    """The strip under the grid. All reading and writing is done in the record's lane.

    Signals: added(): the record holds another photograph; removal_asked(str): its name.
    """

    added = Signal()
    removal_asked = Signal(str)

    def __init__(self, workshop: Workshop, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("look", "below")
        self._workshop = workshop
        self._number = self._finding = ""
        self._shown: tuple[str, ...] = ()
        self._photographs: dict[str, Photograph] = {}
        self._locked = False
        self._title = QLabel()
        self._title.setProperty("tone", "section")
        self.caption = QLineEdit()
        self.caption.setAccessibleName(_("What the photograph shows"))
        self.caption.setPlaceholderText(_("What the photograph shows"))
        self.caption.editingFinished.connect(self._write_caption)
        self.add_button = CommandButton(_("Add photograph"), tool=True)
        self.add_button.clicked.connect(self.choose_files)
        self.strip = PhotoStrip(_("Drop photos here"), _("or Ctrl+V"))
        self.strip.photographs_given.connect(self.give)
        self.strip.photographs_refused.connect(self._tell_unread)
        self.strip.full_size_asked.connect(self.show_full_size)
        self.strip.removal_asked.connect(lambda name: self.removal_asked.emit(str(name)))
        self.strip.photo_chosen.connect(lambda _name: self._show_caption())
        row = QHBoxLayout()
        row.setSpacing(12)
        row.addWidget(self._title)
        row.addWidget(self.caption, 1)
        row.addStretch()
        row.addWidget(self.add_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 8, 20, 8)
        column.setSpacing(6)
        column.addLayout(row)
        column.addWidget(self.strip)

    def show_finding(
        self, number: str, finding: str, names: tuple[str, ...], *, locked: bool
    ) -> None:
        """Show the photographs of a finding; "" shows none."""
        self._locked = locked or not finding
        self.strip.set_locked(self._locked)
        self.add_button.setEnabled(not self._locked)
        if (number, finding, names) == (self._number, self._finding, self._shown):
            return
        self._number, self._finding, self._shown = number, finding, names
        words = _("Photos of {finding}").format(finding=finding) if finding else _("Photos")
        self._title.setText(words)
        self.strip.setAccessibleName(words)
        self._take([])
        if names:
            record = self._workshop.record
            self._workshop.runner.run(
                lambda _report: photographs_of(record, number, finding), self._take, subject=SUBJECT
            )

    def _take(self, found: list[Photograph]) -> None:
        here = {one.name: one for one in found if one.finding == self._finding}
        self._photographs = here
        self.strip.set_photos(
            [
                Photo(name, one.caption or name, QImage.fromData(one.thumbnail))
                for name, one in here.items()
            ]
        )
        self._show_caption()

    # Adding

    def choose_files(self) -> None:
        """Ask for files; what is chosen is added."""
        dialog = QFileDialog(self, _("Add photographs"))
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.setFileMode(QFileDialog.FileMode.ExistingFiles)
        dialog.setNameFilter(_("Pictures") + f" ({PICTURES})")
        dialog.filesSelected.connect(self.give_files)
        dialog.open()

    def give_files(self, paths: list[str]) -> None:
        """Add the files of these paths."""
        self._add([(Path(path).name, Path(path)) for path in paths])

    def give(self, given: list[tuple[str, bytes]]) -> None:
        """Add pictures that were dropped or pasted: names and contents."""
        self._add(given)

    def _add(self, given: list[tuple[str, bytes]] | list[tuple[str, Path]]) -> None:
        if self._locked:
            return
        workshop, number, finding = self._workshop, self._number, self._finding
        record, who, now = workshop.record, workshop.person, workshop.now()

        def add(name: str, source: bytes | Path) -> None:
            content = source if isinstance(source, bytes) else _content(source)
            add_photograph(record, number, finding, name, content, who, now)

        for name, source in given:
            workshop.runner.run(
                lambda _report, one=name, what=source: add(one, what),  # type: ignore[misc]
                lambda _done: self._on_added(),
                failed=lambda error, one=name: self._not_taken(one, error),  # type: ignore[misc]
            )

    def _on_added(self) -> None:
        self._workshop.changed("photographs")
        self.added.emit()

    def _not_taken(self, name: str, error: Exception) -> None:
        tell_not_taken(self._workshop.presenter, name, error)

    def _tell_unread(self, names: list[str]) -> None:
        tell_unread(self._workshop.presenter, names)

    # Looking

    def show_full_size(self, name: object) -> None:
        """Open a photograph in full size."""
        open_full_size(self._workshop, self, self._photographs.get(str(name)))

    # Captions

    def _chosen(self) -> Photograph | None:
        return self._photographs.get(str(self.strip.chosen))

    def _show_caption(self) -> None:
        photograph = self._chosen()
        self.caption.setText(photograph.caption if photograph else "")
        self.caption.setVisible(photograph is not None)
        self.caption.setReadOnly(self._locked)

    def _write_caption(self) -> None:
        photograph = self._chosen()
        text = " ".join(self.caption.text().split())
        if photograph is None or text == photograph.caption or self._locked:
            return
        workshop, number = self._workshop, self._number
        record, who, now = workshop.record, workshop.person, workshop.now()

        def written(changed: Photograph) -> None:
            if changed.finding == self._finding:
                self._take(
                    [changed if p.name == changed.name else p for p in self._photographs.values()]
                )

        workshop.runner.run(
            lambda _report: write_caption(
                record, number, photograph.finding, photograph.name, text, who, now
            ),
            written,
            failed=lambda error: self._not_taken(photograph.name, error),
        )


def _content(path: Path) -> bytes:
    """A file's content; one that cannot be read, or is far too large, comes as nothing, which the
    record refuses in words."""
    try:
        return path.read_bytes() if path.stat().st_size <= LARGEST_FILE else b""
    except OSError:
        return b""
