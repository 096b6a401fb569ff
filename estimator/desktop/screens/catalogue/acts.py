"""What the page does off the window's thread: keep, files, effect, take back, a folder's news."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QFileDialog, QWidget

from estimator.desktop.language import _, ngettext
from estimator.desktop.questions import ask, ask_words
from estimator.desktop.runner import RECKONING, Task
from estimator.desktop.screens.catalogue.editing import RowEditing
from estimator.desktop.screens.catalogue.editions_face import EditionsFace
from estimator.desktop.screens.catalogue.many import ADOPT, OurOwn, ask_new_class, ask_our_own
from estimator.desktop.workshop import Workshop
from estimator.domain.catalogue.changes import applied
from estimator.domain.catalogue.edition import ADJUSTED, IMPORTED, SCALED, Edition
from estimator.domain.catalogue.new_class import WantedClass
from estimator.domain.catalogue.rows import Row
from estimator.services.catalogue_acts import adjustment, adoption, new_class
from estimator.services.catalogue_editions import (
    FolderNews,
    edition,
    folder_news,
    take_back,
    take_folder,
)
from estimator.services.catalogue_effect import JobEffect, effect_on_open_quotes
from estimator.services.catalogue_exchange import Incoming, export_catalogue, import_catalogue
from estimator.services.errors import ServiceError
from estimator.services.keep_catalogue import keep_edition
from estimator.services.show_catalogue import EditionLine


class CatalogueActs(QObject):
    """Signals: kept(): another edition is there; proposed(): the draft took changes in."""

    kept = Signal()
    proposed = Signal()

    def __init__(
        self, page: QWidget, workshop: Workshop, editing: RowEditing, editions: EditionsFace
    ) -> None:
        super().__init__(page)
        self._page, self._workshop = page, workshop
        self._editing, self._editions = editing, editions
        self._effect: Task | None = None

    # Keeping

    def keep(self) -> None:
        """Ask why, then keep what is being changed."""
        draft, presenter = self._editing.draft, self._workshop.presenter
        if draft.typed:
            presenter.trouble(
                _("Some fields cannot be taken yet."), _("They are marked, with what they want.")
            )
            return
        if not draft.changes:
            presenter.notice(_("Nothing is being changed."))
            return
        count = ngettext(
            "{n} row becomes an edition of the catalogue. What was issued keeps its own.",
            "{n} rows become an edition of the catalogue. What was issued keeps its own.",
            len(draft.changes),
        ).format(n=self._workshop.formats.number(len(draft.changes)))
        if draft.why:
            ask(self._page, _("Keep the changes"), f"{count}\n\n{draft.why}",
                [_("Leave as it is"), _("Keep")],
                lambda place: self.keep_for(draft.why) if place else None)  # fmt: skip
        else:
            ask_words(self._page, _("Keep the changes"), count, _("Why"), self.keep_for)

    def keep_for(self, why: str) -> None:
        """Keep what is being changed, for this reason."""
        workshop, editing = self._workshop, self._editing
        view = editing.view
        if view is None:
            return
        record, who, now = workshop.record, workshop.person, workshop.now()
        changes, kind = editing.draft.changes, editing.draft.kind
        based_on = view.catalogue.fingerprint
        workshop.runner.run(
            lambda _report: keep_edition(record, changes, why, who, now, based_on, kind),
            self._kept, subject="keep catalogue",
        )  # fmt: skip

    def _kept(self, made: Edition) -> None:
        self._editing.draft.clear()
        said = _("Edition {number} is kept. What was issued keeps its own.")
        self._workshop.presenter.done(said.format(number=made.number))
        self.kept.emit()
        self._workshop.changed("catalogue")

    def take_back(self) -> None:
        """Ask why, then undo the edition that is chosen."""
        line = self._editions.line
        if line is None or not self._editing.may:
            return
        text = _("Every row that edition {number} changed goes back to what it was before.")
        ask_words(self._page, _("Take the edition back"), text.format(number=line.number), _("Why"),
                  lambda why: self.take_back_for(line.number, why))  # fmt: skip

    def take_back_for(self, number: int, why: str) -> None:
        """Undo an edition, for this reason."""
        workshop = self._workshop
        record, who, now = workshop.record, workshop.person, workshop.now()
        workshop.runner.run(
            lambda _report: take_back(record, number, why, who, now), self._kept,
            subject="keep catalogue",
        )  # fmt: skip

    # Many rows at once

    def _propose(self, make: Callable[[], object], kind: str, why: str) -> None:
        """Lay what an act would change over the rows, to be looked at before it is kept."""
        try:
            changes = make()
        except ServiceError as error:
            self._workshop.presenter.error(error)
            return
        self._editing.draft.take(changes, kind, why)  # type: ignore[arg-type]
        self.proposed.emit()

    def our_own(self, rows: tuple[tuple[str, Row], ...]) -> None:
        """Ask how the rows are made our own."""
        ask_our_own(
            self._page, len(rows), self._workshop.formats,
            lambda wanted: self.make_our_own(rows, wanted),
        )  # fmt: skip

    def make_our_own(self, rows: tuple[tuple[str, Row], ...], wanted: OurOwn) -> None:
        """Lay over the rows what makes them our own."""
        who, now = self._workshop.person, self._workshop.now()
        if wanted.what == ADOPT:
            self._propose(lambda: adoption(rows, wanted.why, who, now), ADJUSTED, wanted.why)
        else:
            self._propose(
                lambda: adjustment(rows, wanted.what, wanted.factor, wanted.why, who, now),
                ADJUSTED, wanted.why,
            )  # fmt: skip

    def new_class(self) -> None:
        """Ask for a new class."""
        view = self._editing.view
        if view is None:
            return
        classes = [(one.id, one.type) for one in view.catalogue.classes.values()]
        ask_new_class(self._page, classes, self._workshop.today(), self._workshop.formats,
                      self.scale)  # fmt: skip

    def scale(self, like: str, wanted: WantedClass) -> None:
        """Lay the rows of a class scaled from a like one over the others."""
        view = self._editing.view
        if view is not None:
            self._propose(lambda: new_class(view.catalogue, like, wanted), SCALED, "")

    # Files

    def ask_import(self, *, folder: bool) -> None:
        """Ask for a catalogue folder, or the file of one table."""
        dialog = QFileDialog(self._page, _("Take in from files"))
        modes = QFileDialog.FileMode
        dialog.setFileMode(modes.Directory if folder else modes.ExistingFile)
        if not folder:
            dialog.setNameFilter(_("Tables (*.csv)"))
        self._open(dialog, self.import_from)

    def _open(self, dialog: QFileDialog, then: Callable[[Path], object]) -> None:
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.fileSelected.connect(lambda name: then(Path(name)))
        dialog.open()

    def import_from(self, path: Path) -> None:
        """Read files; what they change is laid over the rows."""
        record = self._workshop.record
        self._workshop.runner.run(
            lambda _report: import_catalogue(record, path), self._read, subject="import catalogue"
        )

    def _read(self, found: Incoming) -> None:
        if not found.changes:
            self._workshop.presenter.notice(_("The files say what the catalogue says already."))
            return
        self._propose(lambda: found.changes, IMPORTED, "")

    def ask_export(self) -> None:
        """Ask for the folder to write to."""
        dialog = QFileDialog(self._page, _("Write to files"))
        dialog.setFileMode(QFileDialog.FileMode.Directory)
        self._open(dialog, self.export_to)

    def export_to(self, folder: Path) -> None:
        """Write the edition that is kept to a folder."""
        record = self._workshop.record
        self._workshop.runner.run(
            lambda _report: export_catalogue(record, folder),
            lambda made: self._workshop.presenter.done(
                ngettext("{n} file is written.", "{n} files are written.", len(made)).format(
                    n=len(made)
                )
            ),
            subject="export catalogue",
        )

    # The folder that comes with the program

    def look_at_folder(self, then: Callable[[FolderNews | None], None]) -> None:
        """Whether the folder was changed since the workshop took it in."""
        record = self._workshop.record
        self._workshop.runner.run(
            lambda _report: folder_news(record), then, subject="catalogue folder"
        )

    def ask_folder(self, news: FolderNews) -> None:
        """Ask whether the folder's changes are taken in, and what of rows we changed too."""
        number = self._workshop.formats.number
        text = _("{free} rows can be taken in as they are. {met} were changed here too.").format(
            free=number(len(news.changes)), met=number(len(news.clashes))
        )
        answers = [_("Leave as it is"), _("Take in, keep ours")]
        if news.clashes:
            answers.append(_("Take in, theirs too"))
        ask(self._page, _("The supplied catalogue was changed"), text, answers,
            lambda place: self.take_folder(news, theirs=place > 1) if place else None)  # fmt: skip

    def take_folder(self, news: FolderNews, *, theirs: bool) -> None:
        """Take a folder's changes in as an edition."""
        workshop = self._workshop
        record, who, now = workshop.record, workshop.person, workshop.now()
        chosen = news.clashes if theirs else ()
        why = _("changes of the supplied catalogue")
        workshop.runner.run(
            lambda _report: take_folder(record, news, chosen, who, now, why), self._kept,
            subject="keep catalogue",
        )  # fmt: skip

    # Effect

    def work_effect_out(self, line: EditionLine) -> None:
        """What an edition, or what is being typed, does to open quotes."""
        workshop, view = self._workshop, self._editing.view
        record, today = workshop.record, workshop.today()
        changes = self._editing.draft.changes
        if view is None:
            return
        base = view.catalogue

        def work(report: Callable[[str], None]) -> tuple[JobEffect, ...]:
            if line.number:
                made, after = edition(record, line.number)
                before = edition(record, made.based_on)[1]
            else:
                before, after = base, applied(base, changes)
            return effect_on_open_quotes(record, before, after, today, report)

        self._editions.show_working(_("open quotes"))
        self._effect = workshop.runner.run(
            work, self._effect_done, lane=RECKONING, subject="catalogue effect",
            says=_("Effect on open quotes"), failed=self._effect_failed,
        )  # fmt: skip

    def stop_effect(self) -> None:
        """Leave it."""
        if self._effect is not None:
            self._effect.stop()
        self._editions.show_effect(None)

    def look_at_effect(self) -> None:
        """An edit of a job stops all reckoning: what was stopped is no longer waited for."""
        if self._effect is not None and self._effect.stopping.is_set():
            self._effect = None
            self._editions.show_effect(None)

    def _effect_done(self, effects: tuple[JobEffect, ...]) -> None:
        self._effect = None
        self._editions.show_effect(effects)

    def _effect_failed(self, error: Exception) -> None:
        self._effect = None
        self._editions.show_effect(None)
        self._workshop.presenter.error(error)
