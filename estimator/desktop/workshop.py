"""What every page stands on: the open record, who works with it, its catalogue, and the clock."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime

from PySide6.QtCore import QObject, Signal

from estimator.desktop.formats import Formats
from estimator.desktop.presenter import Presenter
from estimator.desktop.runner import Runner
from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.new_job import JobDefaults
from estimator.domain.people import Person
from estimator.services.keep_catalogue import working_catalogue
from estimator.services.learn import learnt
from estimator.services.open_record import Record

Clock = Callable[[], datetime]


class Workshop(QObject):
    """The workshop at work. Built once, in `app`, and handed to each page.

    Signals:
        person_changed(object): who works here now (Person)
        catalogue_read(object): the price catalogue, once it is there with the teardown outcomes of
            the record, and again when these have changed
        record_changed(object): the kinds of thing an act changed, as a frozenset of words: "jobs",
            "people", "outcomes", "photographs", "adoptions", "catalogue". A page that shows such
            things reads them again.
    """

    person_changed = Signal(object)
    catalogue_read = Signal(object)
    record_changed = Signal(object)

    def __init__(
        self,
        record: Record,
        person: Person,
        runner: Runner,
        presenter: Presenter,
        formats: Formats,
        clock: Clock,
    ) -> None:
        super().__init__()
        self.record = record
        self.person = person
        self.runner = runner
        self.presenter = presenter
        self.formats = formats
        self.now = clock
        self.catalogue: Catalogue | None = None
        self.edition: Catalogue | None = None  # the rows of the edition alone: what is edited
        self.read_catalogue: Callable[[], Catalogue] = lambda: working_catalogue(record)
        self.defaults: JobDefaults | None = None

    @property
    def name(self) -> str:
        """Whose workshop this is; "" until the catalogue has been read."""
        return self.defaults.party.name if self.defaults is not None else ""

    def today(self) -> date:
        """Today in the workshop's zone."""
        return self.now().astimezone().date()

    def take_person(self, person: Person) -> None:
        """Somebody else works here from now on."""
        self.person = person
        self.person_changed.emit(person)

    def take_catalogue(self, read: tuple[Catalogue, JobDefaults]) -> None:
        """The catalogue and the workshop's usual terms have been read; the teardown outcomes that
        jobs learn from are read to them."""
        catalogue, self.defaults = read
        self._take_edition(catalogue)

    def _take_edition(self, catalogue: Catalogue) -> None:
        self.edition = catalogue
        self._learn(catalogue)

    def _learn(self, catalogue: Catalogue) -> None:
        record = self.record
        self.runner.run(
            lambda _report: learnt(record, catalogue), self._take_learnt, subject="outcomes"
        )

    def _take_learnt(self, catalogue: Catalogue) -> None:
        self.catalogue = catalogue
        self.catalogue_read.emit(catalogue)

    def changed(self, *kinds: str) -> None:
        """Announce what an act changed."""
        self.record_changed.emit(frozenset(kinds))
        if "catalogue" in kinds:
            self.runner.run(
                lambda _report: self.read_catalogue(), self._take_edition, subject="catalogue"
            )
        elif "outcomes" in kinds and self.catalogue is not None:
            self._learn(self.catalogue)
