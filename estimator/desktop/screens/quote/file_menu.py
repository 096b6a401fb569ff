"""Files of a quote for other programs: which there are, where to, and writing them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QFileDialog, QMenu, QWidget

from estimator.desktop.desk import Desk
from estimator.desktop.language import _
from estimator.desktop.runner import RECKONING, Progress
from estimator.desktop.screens.quote.preview import Preview
from estimator.desktop.screens.quote.words import file_name, step_words
from estimator.desktop.workshop import Workshop
from estimator.domain.record import IssuedQuote
from estimator.services import export_files
from estimator.services.draft_quote_email import draft_quote_email
from estimator.services.file_source import Wanted
from estimator.services.seal_quote import CUSTOMER, WORKSHOP, seal_quote

XLSX, CSV, UBL, CALENDAR, EMAIL = "xlsx", "csv", "ubl", "calendar", "e-mail"
FOR_CUSTOMER, FOR_WORKSHOP = "sealed for the customer", "sealed for the workshop"


@dataclass(frozen=True, slots=True)
class FileKind:
    """A kind of file: `words` in the menu, `ending` of its name. Some are of issued quotes alone;
    some hold cost and margin."""

    key: str
    words: str
    ending: str
    issued_only: bool = False
    internal: bool = False


def file_kinds() -> tuple[FileKind, ...]:
    """Every kind, in the order of the menu."""
    return (
        FileKind(XLSX, _("Spreadsheet\u2026"), "xlsx"),
        FileKind(CSV, _("Table as CSV\u2026"), "csv"),
        FileKind(UBL, _("Order data (UBL)\u2026"), "xml"),
        FileKind(CALENDAR, _("Calendar\u2026"), "ics"),
        FileKind(EMAIL, _("E-mail draft with the files\u2026"), "eml", issued_only=True),
        FileKind(FOR_CUSTOMER, _("Sealed package for the customer\u2026"), "zip", issued_only=True),
        FileKind(
            FOR_WORKSHOP, _("Sealed package for the workshop\u2026"), "zip",
            issued_only=True, internal=True,
        ),
    )  # fmt: skip


class FileMenu(QObject):
    """Fills the menu; asks where to, and writes in the background. `shown` gives the issued
    revision that is shown, None of a draft."""

    def __init__(
        self,
        workshop: Workshop,
        desk: Desk,
        preview: Preview,
        window: QWidget,
        shown: Callable[[], IssuedQuote | None],
    ) -> None:
        super().__init__(window)
        self.workshop, self.desk, self._preview = workshop, desk, preview
        self._window, self._shown = window, shown
        self.dialog: QFileDialog | None = None
        menu: QMenu = preview.parts.menu
        menu.addSeparator()
        for kind in file_kinds():
            if kind.key == EMAIL:
                menu.addSeparator()
            action = menu.addAction(kind.words)
            action.triggered.connect(lambda _on=False, one=kind: self.ask(one))

    def ask(self, kind: FileKind) -> None:
        """Ask for a file, then write it."""
        job, issued = self.desk.job, self._shown()
        if job is None:
            return
        if kind.issued_only and issued is None:
            self.workshop.presenter.trouble(
                _("Such a file is of an issued quote, and this one is a draft."),
                _("Issue it, or choose a revision that is issued."),
            )
            return
        revision = issued.revision if issued is not None else job.revision
        name = file_name(job.number, revision).removesuffix(".pdf")
        if kind.internal:
            name = " ".join((name, _("for the workshop alone")))
        self.dialog = QFileDialog(self._window, kind.words.rstrip("\u2026"))
        self.dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        self.dialog.setNameFilter(f"{kind.ending.upper()} (*.{kind.ending})")
        self.dialog.setDefaultSuffix(kind.ending)
        self.dialog.selectFile(f"{name}.{kind.ending}")
        self.dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.dialog.fileSelected.connect(lambda chosen: self.save_to(kind, Path(chosen)))
        self.dialog.open()

    def save_to(self, kind: FileKind, path: Path) -> None:
        """Write a file: what was edited before is in the record first."""
        wanted = self._wanted()
        if wanted is None:
            return
        work = self._work(kind, wanted, path)

        def begin(_nothing: object) -> None:
            self.workshop.runner.run(
                work,
                lambda said: self.workshop.presenter.done(str(said)),
                lane=RECKONING,
                says=_("Writing the file"),
            )

        self.workshop.runner.run(lambda _report: None, begin)

    def _wanted(self) -> Wanted | None:
        job, issued, catalogue = self.desk.job, self._shown(), self.workshop.catalogue
        if job is None or catalogue is None:
            return None
        paper = self._preview.choice.paper
        return Wanted(
            number=job.number,
            catalogue=lambda: catalogue,
            revision=issued.revision if issued is not None else "",
            detail=self._preview.print_length,
            locale=paper.locale,
            paper=paper.size or "A4",
        )

    def _work(self, kind: FileKind, wanted: Wanted, path: Path) -> Callable[[Progress], str]:
        record, now = self.workshop.record, self.workshop.now()

        def work(report: Progress) -> str:
            def told(step: str) -> None:
                report(step_words(step))

            told("")
            if kind.key == EMAIL:
                made = draft_quote_email(record, wanted, path, now, replace=True, progress=told)
                if made.to:
                    said = _("Drafted to {who}: {path}. Nothing was sent.")
                    return said.format(who=made.to, path=made.path)
                said = _(
                    "Drafted without an address, for the customer's contact holds none: {path}"
                )
                return said.format(path=made.path)
            if kind.key in (FOR_CUSTOMER, FOR_WORKSHOP):
                who = WORKSHOP if kind.internal else CUSTOMER
                sealed = seal_quote(record, wanted, who, path, replace=True, progress=told)
                said = _("Saved as {path}. Its seal is {seal}.")
                return said.format(path=sealed.path, seal=sealed.seal[:16])
            acts = {
                XLSX: export_files.export_xlsx,
                CSV: export_files.export_csv,
                UBL: export_files.export_ubl,
                CALENDAR: export_files.export_calendar,
            }
            more = {"bom": True} if kind.key == CSV else {}
            written = acts[kind.key](record, wanted, path, replace=True, progress=told, **more)
            return _("Saved as {path}").format(path=written)

        return work
