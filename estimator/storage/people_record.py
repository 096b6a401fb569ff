"""Reading and writing people."""

from __future__ import annotations

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from estimator.domain.people import Person
from estimator.storage.job_parts import new_id
from estimator.storage.tables import PersonRow


def add_person(session: Session, name: str, role: str, passphrase_hash: str) -> Person:
    """Write a new person."""
    row = PersonRow(id=new_id(), name=name, role=role, passphrase_hash=passphrase_hash, active=True)
    session.add(row)
    session.flush()
    return _person(row)


def find_person(session: Session, name: str) -> tuple[Person, str] | None:
    """(person, passphrase hash) by name, whatever its case; None where there is none."""
    row = session.scalars(
        select(PersonRow).where(func.lower(PersonRow.name) == name.casefold())
    ).first()
    return None if row is None else (_person(row), row.passphrase_hash)


def all_people(session: Session) -> list[Person]:
    """Everyone, by name."""
    return [_person(row) for row in session.scalars(select(PersonRow).order_by(PersonRow.name))]


def _person(row: PersonRow) -> Person:
    return Person(row.id, row.name, row.role, row.active)
