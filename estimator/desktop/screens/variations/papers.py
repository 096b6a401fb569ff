"""The page's papers: the variation for the customer, an e-mail draft with it, the ledger, what was
declined."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices

from estimator.desktop.contract_paper import FOLDER, open_paper
from estimator.desktop.language import _
from estimator.desktop.workshop import Workshop
from estimator.services.draft_email import draft_email
from estimator.services.print_contract import DECLINED, LEDGER, VARIATION, Print

EMAIL, TODAY = "e-mail", "as it stands"


def paper_names() -> dict[str, str]:
    """Papers by their keys, in the menu's order."""
    return {
        VARIATION: _("Print for the customer"),
        TODAY: _("Print with what was answered since"),
        EMAIL: _("E-mail draft with the paper"),
        LEDGER: _("Print the ledger"),
        DECLINED: _("Print the list of declined work"),
    }


def make_paper(workshop: Workshop, job: str, key: str, variation: str) -> None:
    """Make a paper in the background, and open it."""
    if key == EMAIL:
        _draft(workshop, job, variation)
        return
    names = {
        VARIATION: _("variation"), TODAY: _("variation"), LEDGER: _("ledger"),
        DECLINED: _("declined work"),
    }  # fmt: skip
    of, kind = (variation, VARIATION) if key in (VARIATION, TODAY) else ("", key)
    open_paper(workshop, job, kind, names[key], of, anew=key == TODAY)


def _draft(workshop: Workshop, job: str, variation: str) -> None:
    record, now = workshop.record, workshop.now()
    what = Print(
        kind=VARIATION, day=workshop.today(), variation=variation, locale=workshop.formats.locale
    )
    path = FOLDER / f"{job} {variation}.eml"

    def written(at: Path) -> None:
        QDesktopServices.openUrl(QUrl.fromLocalFile(str(at)))
        workshop.presenter.done(_("The draft is at {path}").format(path=at))

    workshop.runner.run(
        lambda _report: draft_email(record, job, what, path, now, replace=True).path,
        written,
        says=_("Writing an e-mail draft"),
    )
