"""The very bytes shown, as a file: saved where the user says, or opened in the system's viewer."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QFileDialog, QWidget

from estimator.desktop.language import _
from estimator.desktop.screens.quote.preview import Preview
from estimator.desktop.workshop import Workshop
from estimator.services.write_file import write_whole


class PaperFiles:
    """Writes what a preview shows, in the background, whole or not at all."""

    def __init__(
        self, workshop: Workshop, preview: Preview, window: QWidget, name: Callable[[], str]
    ) -> None:
        self.workshop, self._preview, self._window, self._name = workshop, preview, window, name
        self.folder = Path(tempfile.gettempdir()) / "shimwright"  # of copies that are looked at

    def ask_where(self) -> None:
        """Ask for a file, then save."""
        if not self._preview.content:
            return
        dialog = QFileDialog(self._window, _("Save the quote as PDF"))
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.setNameFilter(_("PDF documents (*.pdf)"))
        dialog.setDefaultSuffix("pdf")
        dialog.selectFile(self._name())
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.fileSelected.connect(lambda name: self.save_to(Path(name)))
        dialog.open()

    def save_to(self, path: Path) -> None:
        """Save to a file."""
        if content := self._preview.content:
            self.workshop.runner.run(
                lambda _report: write_whole(path, content),
                lambda written: self.workshop.presenter.done(
                    _("Saved as {path}").format(path=written)
                ),
            )

    def open(self) -> None:
        """Open a copy in whatever shows PDF documents here."""
        if content := self._preview.content:
            path = self.folder / self._name()
            self.workshop.runner.run(lambda _report: write_whole(path, content), self._show)

    def _show(self, path: Path) -> None:
        if not QDesktopServices.openUrl(QUrl.fromLocalFile(str(path))):
            self.workshop.presenter.trouble(
                _("No program here opens PDF documents."),
                _("The document is at {path}").format(path=path),
            )
