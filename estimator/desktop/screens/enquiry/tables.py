"""Small tables of the enquiry as data: a list of the job, a row a value. No Qt but the columns."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.enquiry import reading
from estimator.desktop.screens.enquiry.reading import Between
from estimator.desktop.widgets.columns import NotValid
from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.job import Event, Job, ScopeChange
from estimator.domain.repair import repairable


@dataclass(frozen=True, slots=True)
class TableColumn:
    """A field of the rows. `read` gets the job and the row's place in it."""

    key: str
    title: str
    width: int
    shown: Callable[[Any], str]
    read: Callable[[Job, int, str], Any]
    right: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """A list of the job that is typed into a grid. A row begins with the cell named `first`."""

    key: tuple[str, ...]
    title: str
    hint: str
    name: str
    columns: tuple[TableColumn, ...]
    rows: Callable[[Job], Sequence[Any]]
    write: Callable[[Job, Sequence[Any]], Job]
    blank: Callable[[Job], Any]
    first: str
    says: str  # column in which the last row says that it begins another

    def place(self, row: int, key: str) -> str:
        """Where a text that is not valid is kept."""
        return "/".join((*self.key, str(row), key))

    def read(self, job: Job, row: int, key: str, typed: str) -> Any:
        """The value of a typed cell. Raises NotValid."""
        column = next(one for one in self.columns if one.key == key)
        if row >= len(self.rows(job)) and key != self.first:
            title = next(one.title for one in self.columns if one.key == self.first)
            raise NotValid(_("Begin the row with: {title}.").format(title=title))
        return column.read(job, row, typed)

    def with_cells(self, job: Job, cells: Sequence[tuple[int, str, Any]]) -> Job:
        """The job with cells typed; a cell after the last row begins a row."""
        rows = list(self.rows(job))
        for place, key, value in cells:
            if place >= len(rows):
                rows.append(self.blank(job))
            at = min(place, len(rows) - 1)
            rows[at] = replace(rows[at], **{key: value})
        return self.write(job, rows)

    def without(self, job: Job, places: Sequence[int]) -> Job:
        """The job without these rows."""
        gone = set(places)
        return self.write(job, [one for at, one in enumerate(self.rows(job)) if at not in gone])


def history_table(formats: Formats, cat: ClassCatalogue | None) -> Table:
    """What was done to the machine before: from there its parts count their hours."""
    components = _known({} if cat is None else {c: r.name for c, r in cat.components.items()})
    parts = _known({} if cat is None else {c: r.name for c, r in cat.parts.items()})

    def hours(job: Job, _place: int, typed: str) -> Decimal:
        value = reading.number(formats, typed, Between(low=0))
        if value > job.machine.hours:
            raise NotValid(
                _("After the {hours} h on the meter now. Check both.").format(
                    hours=formats.number(job.machine.hours)
                )
            )
        return value

    def codes(known: Callable[[str], str | None], what: str) -> Callable[[Job, int, str], Any]:
        return lambda _job, _place, typed: reading.codes(typed, known, what)

    return Table(
        key=("machine", "history"),
        title=_("Machine history"),
        hint=_("Parts renewed or overhauled count their hours from there. Names or codes, parted "
               "by semicolons"),
        name=_("machine history"),
        columns=(
            TableColumn("hours", _("At, h"), 72, formats.number, hours, right=True),
            TableColumn("what", _("What"), 124, str,
                        lambda _job, _place, t: reading.needed_text(t)),
            TableColumn("components", _("Components"), 104, "; ".join,
                        codes(components, _("component"))),
            TableColumn("renewed", _("Renewed"), 104, "; ".join, codes(parts, _("part"))),
            TableColumn("seen_sound", _("Seen sound"), 100, "; ".join, codes(parts, _("part"))),
        ),
        rows=lambda job: job.machine.history,
        write=lambda job, rows: replace(
            job, machine=replace(job.machine, history=tuple(rows))
        ),
        blank=lambda _job: Event(Decimal(0), _("overhaul"), (), (), ()),
        first="hours",
        says="what",
    )  # fmt: skip


def repair_table(cat: ClassCatalogue | None) -> Table:
    """Components that a repair puts right; shown where the job is one."""
    names = {} if cat is None else {code: cat.components[code].name for code in repairable(cat)}
    known = _known(names)

    def component(job: Job, place: int, typed: str) -> str:
        (code, *others) = reading.codes(typed, known, _("component")) or ("",)
        if not code or others:
            raise NotValid(_("Name one component: its name or its code."))
        if any(one.row_id == code for at, one in enumerate(job.repaired) if at != place):
            raise NotValid(_("{component} is there already.").format(component=names[code]))
        return code

    return Table(
        key=("repaired",),
        title=_("Components of the repair"),
        hint=_("Everything a full rebuild would do to them is done; the rest of the machine is "
               "neither priced nor held for. Name or code, one a row"),
        name=_("components of the repair"),
        columns=(
            TableColumn("row_id", _("Component"), 200, lambda code: names.get(code, code),
                        component),
            TableColumn("reason", _("Why"), 220, str,
                        lambda _job, _place, t: reading.needed_text(t)),
        ),
        rows=lambda job: job.repaired,
        write=lambda job, rows: replace(job, repaired=tuple(rows)),
        blank=lambda job: ScopeChange("", _("asked for"), job.estimator),
        first="row_id",
        says="row_id",
    )  # fmt: skip


def _known(names: Mapping[str, str]) -> Callable[[str], str | None]:
    found = {name.casefold(): code for code, name in names.items()}
    found |= {code.casefold(): code for code in names}
    return lambda typed: found.get(typed.casefold())
