"""The workshop's own look on paper: read, changed, and worn by what is printed."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace as changed
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from estimator.domain.house_style import Drawing, HouseStyle, check_style, style_data
from estimator.domain.job import Party
from estimator.domain.people import STYLE, Person
from estimator.domain.problem import Place, Problem
from estimator.domain.record import IssuedQuote
from estimator.domain.wording import worded
from estimator.intake.drawings import MOST_BYTES, NoDrawing, read_drawing, refused
from estimator.intake.house_style_file import read_style_file
from estimator.services.enrol_person import require
from estimator.services.errors import Conflict, NotFound, NotWritten, Refused
from estimator.services.open_record import Record
from estimator.services.open_workshop import open_workshop
from estimator.services.print_quote import known_locale
from estimator.services.write_file import write_whole
from estimator.storage import house_record
from estimator.storage.change_log import append
from estimator.storage.house_record import KeptStyle

if TYPE_CHECKING:
    from estimator.storage.database import Session

_SUBJECT = "house style"
_NOT_SAID = ("terms",)  # too long for a line of the log: it tells that they changed


def house_style(record: Record) -> KeptStyle:
    """The style in force, with its version; version 0 is the plain one."""
    with record.reading() as session:
        return house_record.newest_style(session)


@contextmanager
def in_house_style(record: Record) -> Iterator[HouseStyle]:
    """What is printed within the block wears the style in force. Nobody's signature is printed:
    that is for what is issued."""
    style = changed(house_style(record).style, signatures=())
    with wearing(style):
        yield style


@contextmanager
def wearing(style: HouseStyle) -> Iterator[None]:
    """What is printed within the block wears this style."""
    from estimator.documents.grammar.dress import dressed

    with dressed(style):
        yield


def style_of_issue(session: Session, issued: IssuedQuote) -> HouseStyle:
    """The style that a revision was printed in: the releaser's signature alone in it. Raises
    NotFound where it is kept no more."""
    if not issued.style:
        return HouseStyle()
    found = house_record.style_named(session, issued.style)
    if found is None:
        raise NotFound(
            worded("The house style of {number} rev {revision} is not in the record.",
                   number=issued.number, revision=issued.revision),
            worded("Compare the record with a backup."),
        )  # fmt: skip
    return found.signed_by(issued.released_by)


def keep_house_style(
    record: Record, style: HouseStyle, who: Person, now: datetime, version: int
) -> KeptStyle:
    """Change the style in force. `version` is that of the style it was made from.

    What was issued keeps the style it was printed in. Raises NotAllowed, Refused with every fault
    (pale colours with their ratio), and Conflict where another change came in between.
    """
    require(who, STYLE)
    if problems := check_style(style):
        raise Refused(worded("House style"), problems)
    _try(style)
    with record.writing() as session:
        before = house_record.newest_style(session)
        if before.version != version:
            raise Conflict(
                worded("The house style was changed meanwhile by {name}.", name=before.who),
                worded("Look at it again, then change it."),
            )
        if before.style == style:
            return before
        house_record.keep_style(session, style, version + 1, who.name, now)
        old, new = _changes(before.style, style)
        append(session, at=now, who=who.name, act="changed the house style", subject=_SUBJECT,
               before=old, after=new)  # fmt: skip
    return KeptStyle(version + 1, style, who.name, now)


def _changes(before: HouseStyle, after: HouseStyle) -> tuple[dict[str, object], dict[str, object]]:
    old, new = style_data(before), style_data(after)
    names = [name for name in new if new[name] != old[name]]
    told = [{name: len(one[name]) if name in _NOT_SAID else one[name] for name in names}
            for one in (old, new)]  # fmt: skip
    return told[0], told[1] | {"style": after.id}


def take_drawing(file_name: str, data: bytes) -> Drawing:
    """A logo or signature out of a file's bytes, fit to be printed. Raises Refused, with why."""
    try:
        drawing = read_drawing(data)
        _try(HouseStyle(logo=drawing))
    except NoDrawing as error:
        raise _not_printed(file_name, error.args[0]) from error
    except Refused as error:
        raise _not_printed(file_name, worded("its shapes cannot be drawn")) from error
    return drawing


def _not_printed(file_name: str, why: str) -> Refused:
    problem = Problem("no-drawing", Place(file_name), refused(file_name, why),
                      worded("Hand in an SVG of plain shapes, or a PNG."))  # fmt: skip
    return Refused(file_name, [problem])


def _try(style: HouseStyle) -> None:
    """Print a page in it: what cannot be drawn is found before anything is kept."""
    try:
        sample_page(style, Party("-"), date(2000, 1, 1))
    except Exception as error:  # the engine raises errors of many kinds on odd shapes
        problem = Problem("not-drawn", Place(column="logo"), worded("It cannot be drawn."),
                          worded("Hand in an SVG of plain shapes, or a PNG."))  # fmt: skip
        raise Refused(worded("House style"), [problem]) from error


def sample_page(style: HouseStyle, workshop: Party, day: date, locale: str = "en_GB") -> bytes:
    """A page as the style would print it, with a signature, as PDF. Raises NotFound for a locale
    whose formats are not known."""
    from estimator.documents.internal.style_page import style_page

    known = known_locale(locale)
    with wearing(style):
        return style_page(workshop, known, day)


def style_from_file(path: Path, style: HouseStyle) -> HouseStyle:
    """`style` with what a TOML file tells of it, drawings from files beside it. Raises Refused
    with every fault."""
    found, problems = read_style_file(path, style)
    if found is None:
        raise Refused(path.name, problems)
    return found


def print_sample(
    style: HouseStyle, path: Path, day: date, locale: str = "en_GB", *, replace: bool = False
) -> Path:
    """Write a page in this style to `path` and return the path. Raises NotWritten, NotFound."""
    if path.exists() and not replace:
        raise NotWritten(
            worded("{path} is there already.", path=str(path)),
            worded("Choose another name, or say --replace."),
        )
    workshop = open_workshop().party
    return write_whole(path, sample_page(style, workshop, day, locale))


def take_drawing_file(path: Path) -> Drawing:
    """`take_drawing` from a file. Raises Refused, NotFound where it cannot be read."""
    try:
        with path.open("rb") as opened:
            data = opened.read(MOST_BYTES + 1)
    except OSError:
        raise NotFound(
            worded("{file} cannot be read.", file=path.name), worded("Choose another file.")
        ) from None
    return take_drawing(path.name, data)
