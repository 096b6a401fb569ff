"""Papers of a contract, made in the background and opened in whatever shows PDF documents here."""

from __future__ import annotations

import re
import tempfile
from pathlib import Path

from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices

from estimator.desktop.language import _
from estimator.desktop.workshop import Workshop
from estimator.services.print_contract import Print, print_paper

FOLDER = Path(tempfile.gettempdir()) / "shimwright"  # of copies that are looked at
_UNFIT = re.compile(r"[^\w.\- ]+")


def open_paper(workshop: Workshop, number: str, kind: str, name: str, variation: str = "") -> None:
    """Make a paper of a job's contract (a kind of `services.print_contract`) and open it. `name`
    says what it is, for the file and while it is made."""
    record = workshop.record
    what = Print(
        kind=kind, day=workshop.today(), variation=variation, locale=workshop.formats.locale
    )
    path = FOLDER / (_UNFIT.sub("_", f"{number} {variation} {name}").replace("  ", " ") + ".pdf")

    def show(written: Path) -> None:
        if not QDesktopServices.openUrl(QUrl.fromLocalFile(str(written))):
            workshop.presenter.trouble(
                _("No program here opens PDF documents."),
                _("The document is at {path}").format(path=written),
            )

    workshop.runner.run(
        lambda _report: print_paper(record, number, what, path, replace=True),
        show,
        says=_("Making the paper: {name}").format(name=name),
    )
