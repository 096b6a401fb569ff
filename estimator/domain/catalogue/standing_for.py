"""Changes for which somebody stands who may release: that a translated clause is confirmed, and
that a chance of wear is a starting value no more. A quote is withheld over either until then."""

from __future__ import annotations

from collections.abc import Iterable

from estimator.domain.catalogue.changes import CLAUSES, RowChange
from estimator.domain.catalogue.own_values import STARTING
from estimator.domain.catalogue.rows import Clause
from estimator.domain.catalogue.work_rows import WearOut
from estimator.domain.language import ENGLISH


def needs_release(changes: Iterable[RowChange]) -> tuple[RowChange, ...]:
    """Those of the changes that only who may release can make."""
    return tuple(one for one in changes if _confirms(one) or _adopts(one))


def _confirms(change: RowChange) -> bool:
    """Whether a translation is said to be confirmed that was not, or in other words than those."""
    before, after = change.before, change.after
    if not isinstance(after, Clause) or not after.confirmed_by:
        return False
    if change.table == f"{CLAUSES}{ENGLISH}":
        return False
    if not isinstance(before, Clause):
        return True
    return (before.confirmed_by, before.text) != (after.confirmed_by, after.text)


def _adopts(change: RowChange) -> bool:
    """Whether a chance rests on something else than a starting value from now on."""
    before, after = change.before, change.after
    if not isinstance(after, WearOut) or after.rests_on == STARTING:
        return False
    return not isinstance(before, WearOut) or before.rests_on == STARTING
