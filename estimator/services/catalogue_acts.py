"""Acts on many rows of the catalogue at once: adopt, adjust by a factor, a class by scaling."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from estimator.domain.catalogue.catalogue import Catalogue, UnknownClass, fits
from estimator.domain.catalogue.changes import RowChange, rows_of, table_names
from estimator.domain.catalogue.edition import ADJUSTED, SCALED, Edition
from estimator.domain.catalogue.new_class import WantedClass, class_from
from estimator.domain.catalogue.own_values import (
    COSTS,
    HIGHEST,
    HOURS,
    LOWEST,
    adjusted,
    adopted,
)
from estimator.domain.catalogue.rows import Row
from estimator.domain.catalogue.setting_rows import SETTINGS
from estimator.domain.people import Person
from estimator.domain.problem import Place, Problem
from estimator.domain.wording import worded
from estimator.services.catalogue_search import searched_text
from estimator.services.errors import NotFound, Refused
from estimator.services.keep_catalogue import checked_reason, keep_edition, standing
from estimator.services.open_record import Record

Rows = Sequence[tuple[str, Row]]


@dataclass(frozen=True, slots=True)
class Choice:
    """Which rows an act is for. Blank fields do not restrict."""

    table: str = ""
    words: str = ""  # every one stands somewhere in the row
    class_id: str = ""  # rows that this class sees
    origin: str = ""


def chosen_rows(catalogue: Catalogue, choice: Choice) -> tuple[tuple[str, Row], ...]:
    """The rows of a choice, with their tables. Raises NotFound for a table or class unknown."""
    tables = table_names(catalogue)
    if choice.table and choice.table not in tables:
        raise NotFound(
            worded("The catalogue has no table {table!r}.", table=choice.table),
            worded("Tables are: {tables}.", tables=", ".join(tables)),
        )
    words = choice.words.casefold().split()
    traits = _traits(catalogue, choice.class_id)
    return tuple(
        (table, row)
        for table in ([choice.table] if choice.table else tables)
        if table != SETTINGS or choice.table
        for row in rows_of(catalogue, table)
        if (not choice.origin or row.origin == choice.origin)
        and (traits is None or fits(row, traits))
        and (not words or all(word in searched_text(row) for word in words))
    )


def _traits(catalogue: Catalogue, class_id: str) -> frozenset[str] | None:
    if not class_id:
        return None
    try:
        return catalogue.machine_class(class_id).all_traits
    except UnknownClass:
        raise NotFound(
            worded("The catalogue has no class {id!r}.", id=class_id),
            worded("Classes are: {classes}.", classes=", ".join(sorted(catalogue.classes))),
        ) from None


def adjustment(
    rows: Rows, what: str, factor: Decimal, why: str, who: Person, now: datetime
) -> tuple[RowChange, ...]:
    """What multiplying hours or costs by a factor would change. Raises Refused for a factor out of
    bounds, a blank reason, or where no row has such."""
    reason = checked_reason(why)
    if what not in (HOURS, COSTS) or not LOWEST <= factor <= HIGHEST:
        fault = Problem(
            "bad-factor", Place(column="factor"),
            worded("{factor} does not lie between {low} and {high}.",
                   factor=factor, low=LOWEST, high=HIGHEST),
            worded("Check the point."),
        )  # fmt: skip
        raise Refused(worded("Adjusting"), [fault])
    return _some(adjusted(rows, what, factor, who.name, now.date(), reason))


def adoption(rows: Rows, why: str, who: Person, now: datetime) -> tuple[RowChange, ...]:
    """What adopting rows as they stand would change. Raises Refused."""
    return _some(adopted(rows, who.name, now.date(), checked_reason(why)))


def _some(changes: tuple[RowChange, ...]) -> tuple[RowChange, ...]:
    if not changes:
        fault = Problem("no-rows", Place(), worded("None of these rows has such a value."))
        raise Refused(worded("Adjusting"), [fault])
    return changes


def adjust_catalogue(
    record: Record, choice: Choice, what: str, factor: Decimal, why: str, who: Person, now: datetime
) -> Edition:
    """Multiply hours or costs of the chosen rows, as an edition. Raises NotFound, NotAllowed,
    Refused, Conflict."""
    catalogue = standing(record).catalogue
    changes = adjustment(chosen_rows(catalogue, choice), what, factor, why, who, now)
    return keep_edition(record, changes, why, who, now, catalogue.fingerprint, ADJUSTED)


def adopt_rows(record: Record, choice: Choice, why: str, who: Person, now: datetime) -> Edition:
    """Take the chosen rows on as they stand, as an edition. Raises as `adjust_catalogue`."""
    catalogue = standing(record).catalogue
    changes = adoption(chosen_rows(catalogue, choice), why, who, now)
    return keep_edition(record, changes, why, who, now, catalogue.fingerprint, ADJUSTED)


def new_class(catalogue: Catalogue, like: str, wanted: WantedClass) -> tuple[RowChange, ...]:
    """The rows of a class scaled from a like one. Raises NotFound, Refused where its code is taken
    or a figure is not above nothing."""
    _traits(catalogue, like or "-")
    problems = [
        Problem("not-positive", Place("classes.csv", None, name), worded("must be above zero."))
        for name in ("operating_mass_kg", "net_power_kw", "new_price_low")
        if getattr(wanted, name) <= 0
    ]
    if wanted.id in catalogue.classes:
        taken = worded("{id} is a class already.", id=wanted.id)
        problems.append(Problem("code-twice", Place("classes.csv", None, "id"), taken))
    if problems:
        raise Refused(worded("New class"), problems)
    return class_from(catalogue, like, wanted)


def scale_class(
    record: Record, like: str, wanted: WantedClass, why: str, who: Person, now: datetime
) -> Edition:
    """A class scaled from a like one, as an edition. Raises NotFound, NotAllowed, Refused,
    Conflict."""
    catalogue = standing(record).catalogue
    changes = new_class(catalogue, like, wanted)
    return keep_edition(record, changes, why, who, now, catalogue.fingerprint, SCALED)
