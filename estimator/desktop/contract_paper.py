"""Papers of a contract, made in the background or fetched as they went out, and opened in whatever
shows PDF documents here."""

from __future__ import annotations

import re
import tempfile
from datetime import date
from pathlib import Path

from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices

from estimator.desktop.language import _
from estimator.desktop.workshop import Workshop
from estimator.services.issued_papers import order_as_issued
from estimator.services.print_contract import VARIATION, Print, print_paper
from estimator.services.write_file import write_whole

FOLDER = Path(tempfile.gettempdir()) / "shimwright"  # of copies that are looked at
_UNFIT = re.compile(r"[^\w.\- ]+")


def open_paper(
    workshop: Workshop, number: str, kind: str, name: str, variation: str = "", *,
    anew: bool = False,
) -> None:  # fmt: skip
    """Open a paper of a job's contract (a kind of `services.print_contract`). `name` says what it
    is, for the file and while it is made. A variation whose newest revision was issued is shown as
    it went out, byte for byte, unless `anew`; everything else is made as it stands."""
    record = workshop.record
    what = Print(
        kind=kind, day=workshop.today(), variation=variation, locale=workshop.formats.locale
    )
    of = variation or number
    path = FOLDER / (_UNFIT.sub("_", f"{number} {variation} {name}").replace("  ", " ") + ".pdf")

    def make() -> tuple[Path, date | None]:
        """Where it is, and the day it was issued on where it is what went out."""
        kept = None
        if kind == VARIATION and not anew:
            kept = order_as_issued(record, number, variation)
        if kept is not None:
            return write_whole(path, kept.pdf), kept.day
        return print_paper(record, number, what, path, replace=True), None

    def show(made: tuple[Path, date | None]) -> None:
        written, day = made
        if day is not None:
            said = workshop.formats.day(day)
            workshop.presenter.notice(_("{name}: as issued on {day}").format(name=of, day=said))
        if not QDesktopServices.openUrl(QUrl.fromLocalFile(str(written))):
            workshop.presenter.trouble(
                _("No program here opens PDF documents."),
                _("The document is at {path}").format(path=written),
            )

    workshop.runner.run(
        lambda _report: make(),
        show,
        says=_("Making the paper: {name}").format(name=name),
    )
