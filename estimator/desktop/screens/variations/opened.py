"""The variation that is opened: read, shown, its photographs fetched, and what each way does."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QObject
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QWidget

from estimator.desktop.contract_desk import ContractDesk
from estimator.desktop.language import _
from estimator.desktop.runner import WORK
from estimator.desktop.screens.variations import words
from estimator.desktop.screens.variations.columns import is_case
from estimator.desktop.screens.variations.side import CaseSide
from estimator.desktop.widgets.full_size import FullSize
from estimator.desktop.workshop import Workshop
from estimator.domain.record import Photograph
from estimator.services.case_acts import acts_for
from estimator.services.photographs import picture_of
from estimator.services.show_case import grounds_of, photographs_named, show_case
from estimator.services.show_variations import LedgerLine
from estimator.services.try_answer import WhatItDoes, what_it_does
from estimator.services.work_out_contract import ContractNow


class Opened(QObject):
    """Keeps the page's right side on one row of the ledger."""

    def __init__(
        self, workshop: Workshop, contract: ContractDesk, side: CaseSide, page: QWidget
    ) -> None:
        super().__init__(page)
        self.workshop, self.contract, self.side, self._page = workshop, contract, side, page
        self._number = ""
        self._view_of: ContractNow | None = None
        self._photos_of: tuple[str, tuple[str, ...]] = ("", ())
        self._photos: dict[str, Photograph] = {}
        side.way_chosen.connect(lambda _key: self._try_way())
        side.photograph_asked.connect(self._show_photograph)

    def show(self, row: LedgerLine | None, view_of: ContractNow | None) -> None:
        """Show a row of the ledger that `view_of` was made into."""
        here, side = self.contract.here, self.side
        self._view_of = view_of
        if here is None or row is None or not is_case(row) or row.number not in here.contract.cases:
            self._number = ""
            side.show_nothing(words.line_title(row) if row is not None else None)
            self._show_photos("", ())
            return
        self._number = row.number
        person, moment = self.workshop.person, self.workshop.now()
        case = here.contract.case(row.number)
        side.show_case(
            show_case(here, row.number, moment),
            acts_for(here, row.number, person, self.workshop.today()),
            grounds_of(here.contract, case, person.name),
            person.name,
        )
        self._show_photos(row.number, case.variation.photographs)
        self._try_way()

    def forget(self) -> None:
        """Another job is on the desk."""
        self._number, self._photos_of, self._view_of = "", ("", ()), None

    # What a way does

    def _try_way(self) -> None:
        """Work out what the way one is on comes to."""
        now, number, key = self.contract.now, self._number, self.side.way
        if now is None or not key or not self._is_open(number):
            self.side.show_effect(None)
            return
        if now is not self._view_of:
            return  # the newest forecast is on its way
        self.workshop.runner.run(
            lambda _report: what_it_does(now, number, key),
            lambda does: self._take_effect(number, key, does),
            lane=WORK,
            subject="what it does",
        )

    def _is_open(self, number: str) -> bool:
        here = self.contract.here
        case = here.contract.cases.get(number) if here is not None else None
        return case is not None and case.is_open

    def _take_effect(self, number: str, key: str, does: WhatItDoes | None) -> None:
        side = self.side
        if number != self._number or key != side.way:
            return
        side.show_effect(does, _("It has no price yet: what it does cannot be said."))

    # Photographs

    def _show_photos(self, number: str, names: tuple[str, ...]) -> None:
        if (number, names) == self._photos_of:
            return
        self._photos_of, self._photos = (number, names), {}
        self.side.show_photographs(())
        if names and self.contract.number:
            record, job = self.workshop.record, self.contract.number
            self.workshop.runner.run(
                lambda _report: photographs_named(record, job, names),
                partial(self._take_photos, number),
                subject="photographs of a variation",
            )

    def _take_photos(self, number: str, found: list[Photograph]) -> None:
        if number == self._photos_of[0]:
            self._photos = {one.name: one for one in found}
            self.side.show_photographs(found)

    def _show_photograph(self, name: object) -> None:
        photograph = self._photos.get(str(name))
        if photograph is None:
            return
        record, said = self.workshop.record, photograph.caption or photograph.name
        self.workshop.runner.run(
            lambda _report: QImage.fromData(picture_of(record, photograph)),
            lambda image: FullSize(self._page, said, image).open(),
            says=_("Opening the photograph"),
        )
