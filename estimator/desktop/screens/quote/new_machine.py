"""Laying the rebuild beside a new machine: the form, keeping its inputs, and the page as a file."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QObject, Qt, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QFileDialog, QWidget

from estimator.desktop.desk import Desk
from estimator.desktop.language import _
from estimator.desktop.screens.quote.new_machine_form import NewMachineForm
from estimator.desktop.screens.quote.preview import Preview
from estimator.desktop.screens.quote.words import file_name
from estimator.desktop.workshop import Workshop
from estimator.domain.new_machine import NewMachine
from estimator.domain.people import EDIT
from estimator.domain.priced_job import PricedJob
from estimator.services.compare_with_new import comparison_page
from estimator.services.write_file import write_whole


class BesideNew(QObject):
    """Opens the form; what it gives is an edit of the job like any other."""

    def __init__(self, workshop: Workshop, desk: Desk, preview: Preview, window: QWidget) -> None:
        super().__init__(window)
        self.workshop, self.desk, self._window, self._preview = workshop, desk, window, preview
        self.form: NewMachineForm | None = None
        self.folder = Path(tempfile.gettempdir()) / "shimwright"  # of copies that are looked at

    def ask(self) -> None:
        """Open the form on the job as it is reckoned now."""
        priced = self.desk.priced
        if priced is None or not self.desk.fresh or self.form is not None:
            return
        self.form = NewMachineForm(
            self._window, self.workshop.formats, priced, self.desk.why_not(EDIT)
        )
        self.form.given.connect(self._keep)
        self.form.open_asked.connect(lambda given: self.open_page(priced, given))
        self.form.save_asked.connect(lambda given: self._ask_where(priced, given))
        self.form.finished.connect(self._forget)
        self.form.open()

    def _forget(self, _code: int) -> None:
        self.form = None

    def _keep(self, given: NewMachine | None) -> None:
        job = self.desk.job
        if self.form is not None:
            self.form.accept()
        if job is not None:
            self.desk.edit(
                _("the new machine it is compared with"), replace(job, new_machine=given)
            )

    # The page

    def open_page(self, priced: PricedJob, given: NewMachine) -> None:
        """Write a copy of the page and open it in whatever shows PDF documents here."""
        self._write(priced, given, self.folder / self._name(priced), self._show)

    def save_page(self, priced: PricedJob, given: NewMachine, path: Path) -> None:
        """Write the page to a file."""
        self._write(priced, given, path, self._saved)

    def _ask_where(self, priced: PricedJob, given: NewMachine) -> None:
        dialog = QFileDialog(self._window, _("Save the page as PDF"))
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.setNameFilter(_("PDF documents (*.pdf)"))
        dialog.setDefaultSuffix("pdf")
        dialog.selectFile(self._name(priced))
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.fileSelected.connect(lambda name: self.save_page(priced, given, Path(name)))
        dialog.open()

    def _name(self, priced: PricedJob) -> str:
        name = file_name(priced.job.number, priced.job.revision).removesuffix(".pdf")
        words = _("rebuild or new")
        return f"{name} {words}.pdf"

    def _write(
        self, priced: PricedJob, given: NewMachine, path: Path, done: Callable[[Path], None]
    ) -> None:
        record, locale = self.workshop.record, self._preview.print_locale
        self.workshop.runner.run(
            lambda _report: write_whole(path, comparison_page(record, priced, given, locale)),
            done,
            subject="comparison",
            says=_("Laying out the page"),
        )

    def _saved(self, path: Path) -> None:
        self.workshop.presenter.done(_("Saved as {path}").format(path=path))

    def _show(self, path: Path) -> None:
        if not QDesktopServices.openUrl(QUrl.fromLocalFile(str(path))):
            self.workshop.presenter.trouble(
                _("No program here opens PDF documents."),
                _("The document is at {path}").format(path=path),
            )
