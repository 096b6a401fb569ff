"""Who may do what. Releasing is the service manager's; evidence is the inspector's, never price."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.domain.fixed_words import fixed
from estimator.domain.wording import worded

INSPECTOR, ESTIMATOR, FOREMAN = "inspector", "estimator", "foreman"
SERVICE_MANAGER, VIEWER = "service manager", "viewer"
ROLES = (INSPECTOR, ESTIMATOR, FOREMAN, SERVICE_MANAGER, VIEWER)

(
    TAKE_IN, FIND, EDIT, ISSUE, PAST, RELEASE, ENROL, ACCEPT, VARY, ANSWER, WORK, SETTLE,
    TAKE_BACK, STYLE, CATALOGUE,
) = (
    "take in a job",
    "record findings",
    "edit more than findings and photographs",
    "issue a quote",
    "keep past work",
    "release a quote",
    "enrol people",
    "record an acceptance",
    "raise a variation",
    "record an answer",
    "release work",
    "settle the account",
    "take a safety matter back",
    "change the house style",
    "change the catalogue",
)  # fmt: skip
MAY: dict[str, frozenset[str]] = {
    TAKE_IN: frozenset({ESTIMATOR, SERVICE_MANAGER}),
    FIND: frozenset({INSPECTOR, ESTIMATOR, FOREMAN, SERVICE_MANAGER}),
    EDIT: frozenset({ESTIMATOR, SERVICE_MANAGER}),
    PAST: frozenset({ESTIMATOR, SERVICE_MANAGER}),
    ISSUE: frozenset({ESTIMATOR, SERVICE_MANAGER}),
    RELEASE: frozenset({SERVICE_MANAGER}),
    ENROL: frozenset({SERVICE_MANAGER}),
    ACCEPT: frozenset({ESTIMATOR, SERVICE_MANAGER}),
    VARY: frozenset({ESTIMATOR, FOREMAN, SERVICE_MANAGER}),
    ANSWER: frozenset({ESTIMATOR, SERVICE_MANAGER}),
    WORK: frozenset({FOREMAN, SERVICE_MANAGER}),
    SETTLE: frozenset({SERVICE_MANAGER}),
    TAKE_BACK: frozenset({SERVICE_MANAGER}),
    STYLE: frozenset({SERVICE_MANAGER}),
    CATALOGUE: frozenset({ESTIMATOR, SERVICE_MANAGER}),
}


@dataclass(frozen=True, slots=True)
class Person:
    """Someone who works with the record."""

    id: str
    name: str
    role: str
    active: bool

    def may(self, act: str) -> bool:
        """Whether this person's role allows an act."""
        return self.active and self.role in MAY[act]


def roles_for(act: str) -> str:
    """The roles that may do an act, in words."""
    first, *others = (fixed(role) for role in ROLES if role in MAY[act])
    for other in others:
        first = worded("{first} or {second}", first=first, second=other)
    return first
