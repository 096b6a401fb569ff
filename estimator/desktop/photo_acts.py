"""What pages with photographs have in common: saying what was not taken, and full size."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtGui import QImage
from PySide6.QtWidgets import QWidget

from estimator.desktop.language import _, ngettext
from estimator.desktop.presenter import Presenter
from estimator.desktop.telling import told_fault
from estimator.desktop.widgets.full_size import FullSize
from estimator.desktop.widgets.photo_strip import LARGEST_FILE
from estimator.desktop.workshop import Workshop
from estimator.domain.record import Photograph
from estimator.services.errors import Refused
from estimator.services.photographs import picture_of


def tell_not_taken(presenter: Presenter, name: str, error: Exception) -> None:
    """Say why a photograph was not taken."""
    if not isinstance(error, Refused):
        presenter.error(error)
        return
    why = " ".join(told_fault(one) for one in error.problems)
    presenter.trouble(_("{name} was not taken: {why}").format(name=name, why=why.strip()))


def tell_unread(presenter: Presenter, names: Sequence[str]) -> None:
    """Say which files could not be read, or are too large to be."""
    presenter.trouble(
        ngettext(
            "{names} was not taken: it cannot be read, or is larger than {most} MB.",
            "{names} were not taken: they cannot be read, or are larger than {most} MB.",
            len(names),
        ).format(names=", ".join(names), most=LARGEST_FILE // 1024 // 1024)
    )


def open_full_size(workshop: Workshop, parent: QWidget, photograph: Photograph | None) -> None:
    """Open a photograph in full size; nothing where there is none."""
    if photograph is None:
        return
    record, words = workshop.record, photograph.caption or photograph.name
    workshop.runner.run(
        lambda _report: QImage.fromData(picture_of(record, photograph)),
        lambda image: FullSize(parent, words, image).open(),
        says=_("Opening the photograph"),
    )
