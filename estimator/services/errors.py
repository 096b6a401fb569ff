"""What a service may answer instead of a result.

ServiceError
    Refused          the input has faults; `problems` lists every one, with its place
    NotFound         a figure, part or sample that is not there
    NotWritten       a file could not be written; nothing was left half-written
    NotReckoned      sound input that cannot be reckoned with (durations without end, findings
                     that contradict each other)
    NotOpened        the record cannot be opened: newer than the program, locked, another file
    Withheld         sound, but it does not go out before someone stands for what it rests on
    NotAllowed       the person may not do this, or the passphrase is wrong
    Busy             (a Conflict) another program kept the record locked for too long
    Conflict         it was changed, issued or taken meanwhile; nothing was overwritten
        Clash        one value was edited by two people; `clashes` holds theirs and mine

Each carries a stable `code`, a plain `message` and a `remedy`.
"""

from __future__ import annotations

from collections.abc import Sequence

from estimator.domain import job_edit
from estimator.domain.problem import Problem
from estimator.domain.wording import worded, worded_count


class ServiceError(Exception):
    """Base of everything a service may answer instead of a result."""

    code = "service-error"

    def __init__(self, message: str, remedy: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy


class Refused(ServiceError):
    """The input has faults; nothing was done."""

    code = "refused"

    def __init__(self, what: str, problems: Sequence[Problem]) -> None:
        said = worded_count(
            "{what}: {n} fault found.", "{what}: {n} faults found.", len(problems), what=what
        )
        super().__init__(said, worded("Mend them."))
        self.problems = tuple(problems)


class NotFound(ServiceError):
    """A figure, part or sample that is not there."""

    code = "not-found"


class NotWritten(ServiceError):
    """A file could not be written; nothing was left half-written."""

    code = "not-written"


class NotReckoned(ServiceError):
    """Sound input that cannot be reckoned with."""

    code = "not-reckoned"


class NotOpened(ServiceError):
    """The record cannot be opened; it was left as it is."""

    code = "not-opened"


class Withheld(ServiceError):
    """Sound, but it does not go out before someone stands for what it rests on."""

    code = "withheld"


class NotAllowed(ServiceError):
    """The person may not do this, or the passphrase is wrong."""

    code = "not-allowed"


class Conflict(ServiceError):
    """It was changed, issued or taken meanwhile; nothing was overwritten."""

    code = "conflict"


class Busy(Conflict):
    """Another program kept the record locked; the same act may succeed in a moment."""

    code = "busy"


class Clash(Conflict):
    """A value was edited by two people. Theirs stands; `clashes` holds theirs and mine, by key."""

    code = "clash"

    def __init__(self, message: str, clashes: Sequence[job_edit.Clash]) -> None:
        super().__init__(message, worded("Keep theirs, or write yours all the same."))
        self.clashes = tuple(clashes)
