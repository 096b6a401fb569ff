"""Confirm translated clauses for the workshop, so that quotes that print them may go out.

What is confirmed is the wording: a clause that is worded anew in its file is to be confirmed anew.
A translation may also name in its file who has confirmed it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.catalogue.rows import Clause
from estimator.domain.language import ENGLISH, is_english
from estimator.domain.people import RELEASE, Person
from estimator.domain.problem import Place, Problem
from estimator.domain.quote import Quote
from estimator.domain.wording import worded, worded_count
from estimator.intake.plain_text import hidden_sign
from estimator.services.enrol_person import require
from estimator.services.errors import NotFound, Refused, Withheld
from estimator.services.open_record import Record
from estimator.storage import adoption_record
from estimator.storage.change_log import append

if TYPE_CHECKING:
    from estimator.storage.database import Session

_MOST_NAMED = 3


@dataclass(frozen=True, slots=True)
class LanguageClauses:
    """The clauses of a language: how many there are, which English ones it lacks, and which
    nobody has confirmed."""

    language: str
    count: int
    lacking: tuple[str, ...]
    unconfirmed: tuple[Clause, ...]


def confirmed_in(session: Session, catalogue: Catalogue) -> Catalogue:
    """The catalogue with what the record holds of who confirmed which wording."""
    known = adoption_record.confirmed_clauses(session)
    if not known:
        return catalogue
    clauses = {
        language: rows if language == ENGLISH else _confirmed(language, rows, known)
        for language, rows in catalogue.clauses.items()
    }
    return replace(catalogue, clauses=clauses)


def _confirmed(
    language: str, rows: tuple[Clause, ...], known: Mapping[tuple[str, str], str]
) -> tuple[Clause, ...]:
    return tuple(
        replace(row, confirmed_by=row.confirmed_by or known.get(_wording(language, row), ""))
        for row in rows
    )


def _wording(language: str, row: Clause) -> tuple[str, str]:
    return (adoption_record.clause_subject(language, row.id), row.text)


def show_clauses(record: Record, catalogue: Catalogue, language: str) -> LanguageClauses:
    """How far the clauses of a language are confirmed. Raises NotFound where it has none."""
    with record.reading() as session:
        return _clauses_of(confirmed_in(session, catalogue), language)


def _clauses_of(catalogue: Catalogue, language: str) -> LanguageClauses:
    rows = catalogue.clauses.get(language, ())
    if is_english(language) or not rows:
        others = ", ".join(sorted(name for name in catalogue.clauses if not is_english(name)))
        raise NotFound(
            worded("The catalogue holds no translated clauses in {language!r}.", language=language),
            worded("There are: {languages}.", languages=others or "none"),
        )
    there = {row.id for row in rows}
    english = dict.fromkeys(row.id for row in catalogue.clauses.get(ENGLISH, ()))
    return LanguageClauses(
        language,
        len(rows),
        tuple(code for code in english if code not in there),
        tuple(row for row in rows if not row.confirmed_by),
    )


def confirm_clauses(
    record: Record,
    catalogue: Catalogue,
    language: str,
    who: Person,
    now: datetime,
    why: str,
    ids: Iterable[str] = (),
) -> int:
    """Confirm the clauses of a language as they are worded now, or those of them named by `ids`;
    how many were not confirmed before. For whoever may release, with a reason.

    Raises NotAllowed, NotFound for a language or clause that is not there, Refused.
    """
    require(who, RELEASE)
    reason = " ".join(why.split())
    fault = hidden_sign(why) if reason else worded("is blank.")
    if fault:
        place = Place("confirmation", None, "why")
        raise Refused("The confirmation", [Problem("no-reason", place, fault, worded("Say why."))])
    with record.writing() as session:
        known = _clauses_of(confirmed_in(session, catalogue), language)
        wanted = _chosen(known, catalogue.clauses[language], tuple(ids))
        if wanted:
            pairs = [_wording(language, row) for row in wanted]
            adoption_record.add_adoptions(session, pairs, who.name, now, reason)
            append(
                session,
                at=now,
                who=who.name,
                act="clauses confirmed",
                subject=f"clauses/{language}",
                after={"why": reason, "clauses": {row.id: row.text for row in wanted}},
            )
    return len(wanted)


def _chosen(
    known: LanguageClauses, rows: tuple[Clause, ...], ids: tuple[str, ...]
) -> tuple[Clause, ...]:
    if strange := set(ids) - {row.id for row in rows}:
        raise NotFound(
            worded(
                "{language} has no clause {id!r}.", language=known.language, id=sorted(strange)[0]
            ),
            worded("Name clauses by their ids in catalog/clauses."),
        )
    return tuple(row for row in known.unconfirmed if not ids or row.id in ids)


def withhold_unconfirmed(title: str, quote: Quote) -> None:
    """Raises Withheld where a quote prints translations that nobody has confirmed."""
    open_ = quote.unconfirmed
    if not open_:
        return
    names = ", ".join(one.id for one in open_[:_MOST_NAMED])
    raise Withheld(
        worded_count(
            "{title} is not released: {n} clause in {language} was confirmed by nobody at the "
            "workshop: {names}.",
            "{title} is not released: {n} clauses in {language} were confirmed by nobody at the "
            "workshop: {names}, and so on.",
            len(open_), title=title, language=quote.language, names=names,
        ),
        worded(
            "Have them read, then confirm them: confirm-clauses {language} --as NAME --why WHY; or "
            "issue it in English.",
            language=quote.language,
        ),
    )  # fmt: skip
