"""People of the workshop: enrolling them, and knowing them by their passphrase."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from estimator.domain.fixed_words import fixed
from estimator.domain.people import ENROL, ROLES, SERVICE_MANAGER, Person, roles_for
from estimator.domain.wording import joined, worded
from estimator.services.errors import Conflict, NotAllowed, NotFound
from estimator.services.open_record import Record
from estimator.storage.change_log import append
from estimator.storage.people_record import add_person, all_people, find_person

if TYPE_CHECKING:
    from argon2 import PasswordHasher

SHORTEST_PASSPHRASE = 10


def enrol_person(
    record: Record, name: str, role: str, passphrase: str, by: Person | None, now: datetime
) -> Person:
    """Enrol someone. The first one in an empty record must be a service manager and needs nobody
    before them; everyone after is enrolled by a service manager.

    Raises NotAllowed, Conflict where the name is taken.
    """
    if role not in ROLES:
        raise NotAllowed(
            worded("There is no role {role!r}.", role=role),
            worded("Roles are: {roles}.", roles=joined(map(fixed, ROLES))),
        )
    if len(passphrase) < SHORTEST_PASSPHRASE:
        raise NotAllowed(
            worded(
                "A passphrase has at least {least} characters.",
                least=SHORTEST_PASSPHRASE,
            ),
            worded("Choose a longer one."),
        )
    hashed = _hasher().hash(passphrase)
    with record.writing() as session:
        if all_people(session):
            require(by, ENROL)
        elif role != SERVICE_MANAGER:
            raise NotAllowed(
                worded("The first person must be a service manager."), worded("Enrol them first.")
            )
        if find_person(session, name) is not None:
            raise Conflict(
                worded("{name} is enrolled already.", name=name), worded("Choose another name.")
            )
        person = add_person(session, name, role, hashed)
        append(
            session,
            at=now,
            who=by.name if by else name,
            act="enrolled",
            subject=f"person/{person.id}",
            after={"name": name, "role": role},
        )
    return person


def _hasher() -> PasswordHasher:
    """Argon2id with the library's parameters: those of RFC 9106 for where memory is scarce."""
    from argon2 import PasswordHasher

    return PasswordHasher()


def know_person(record: Record, name: str, passphrase: str) -> Person:
    """The person of that name, if the passphrase is theirs. Raises NotAllowed; the answer does
    not tell a wrong name from a wrong passphrase."""
    from argon2.exceptions import InvalidHashError, VerificationError

    with record.reading() as session:
        found = find_person(session, name)
    refused = NotAllowed(
        worded("Name and passphrase do not belong together."), worded("Try again.")
    )
    if found is None:
        raise refused
    person, hashed = found
    try:
        _hasher().verify(hashed, passphrase)
    except (VerificationError, InvalidHashError):
        raise refused from None
    if not person.active:
        raise NotAllowed(
            worded("{name} is no longer enrolled.", name=person.name),
            worded("Ask the service manager."),
        )
    return person


def require(person: Person | None, act: str) -> Person:
    """`person`, if they may do `act`. Raises NotAllowed, naming who may."""
    if person is None or not person.may(act):
        who = worded("Nobody")
        if person is not None:
            who = worded("{name} ({role})", name=person.name, role=fixed(person.role))
        raise NotAllowed(
            worded("{who} may not {act}.", who=who, act=fixed(act)),
            worded("That is for: {roles}.", roles=roles_for(act)),
        )
    return person


def list_people(record: Record) -> list[Person]:
    """Everyone enrolled, by name."""
    with record.reading() as session:
        return all_people(session)


def person_named(record: Record, name: str) -> Person:
    """The person of that name, without asking for a passphrase: for a record whose file is the
    user's own demonstration. Raises NotFound."""
    with record.reading() as session:
        found = find_person(session, name)
    if found is None:
        raise NotFound(
            worded("Nobody called {name!r} is enrolled.", name=name), worded("Choose another name.")
        )
    return found[0]
