"""Fields of the enquiry as data: where each value stands in the job, its words, how it is read.
No Qt."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.enquiry import reading
from estimator.desktop.screens.enquiry.class_choice import class_found, class_words, in_order
from estimator.desktop.screens.enquiry.reading import Between
from estimator.desktop.trade_words import level_word
from estimator.desktop.widgets.columns import NotValid
from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.catalogue.rows import JOB_LEVELS
from estimator.domain.job import (
    METERS,
    MOST_DOUBT,
    ORIGINAL,
    REPLACED,
    UNKNOWN,
    USUAL_DOUBT,
    Job,
)
from estimator.domain.job_edit import value_at
from estimator.domain.new_job import LEAST_DUTY, MOST_DUTY, MOST_HOURS, MOST_LIFE

LINE, LINES, CHOICE = "line", "lines", "choice"


@dataclass(frozen=True, slots=True)
class Field:
    """One field. `key` is that of a change of the job; `name` completes "Undo ...".

    `read` gets the job too, for what must agree with another field. `choices` are (value, words).
    `brings` says what a value here sets besides, in the same edit. `find`: which choice typed words
    speak of, "" for none.
    """

    key: tuple[str, ...]
    label: str
    name: str
    read: Callable[[Job, str], Any]
    hint: str = ""
    unit: str = ""
    kind: str = LINE
    wide: bool = False
    shown: Callable[[Any], str] = str
    choices: tuple[tuple[str, str], ...] = ()
    brings: Callable[[Job], Job] | None = None
    find: Callable[[str], str] | None = None

    @property
    def place(self) -> str:
        """Where a text that is not valid is kept."""
        return "/".join(self.key)

    def text(self, job: Job) -> str:
        """What stands in the job, as it is typed."""
        return self.shown(value_at(job, self.key))

    def write(self, job: Job, value: Any) -> Job:
        """The job with another value here."""
        changed = written(job, self.key, value)
        return changed if self.brings is None else self.brings(changed)


def written(job: Job, key: tuple[str, ...], value: Any) -> Job:
    """The job with a value at a key of one or two names, such as ("machine", "hours")."""
    changed: dict[str, Any] = {key[-1]: value}
    if len(key) == 1:
        return replace(job, **changed)
    inner: Any = getattr(job, key[0])
    return replace(job, **{key[0]: replace(inner, **changed)})


def customer_fields() -> list[Field]:
    """Who asks."""
    return [
        Field(("customer", "name"), _("Customer"), _("customer"), _plain),
        Field(("customer", "contact"), _("Contact"), _("contact"), _plain),
        Field(
            ("customer", "address"), _("Address"), _("address"), lambda _job, t: reading.lines(t),
            _("A line each, as printed on the quote"), kind=LINES, shown="\n".join,
        ),
        Field(
            ("note",), _("What the customer wants"), _("what the customer wants"),
            lambda _job, t: reading.words(t), kind=LINES,
        ),
    ]  # fmt: skip


def machine_fields(formats: Formats, catalogue: Catalogue) -> list[Field]:
    """Which machine."""
    classes = in_order(catalogue.classes.values())
    return [
        Field(
            ("machine", "class_id"), _("Machine class"), _("machine class"), _needed,
            kind=CHOICE, wide=True,
            choices=tuple((one.id, class_words(one, formats)) for one in classes),
            find=lambda typed: class_found(classes, typed, formats),
        ),
        Field(
            ("machine", "serial"), _("Serial number"), _("serial number"), _needed,
            _("As on the plate"),
        ),
        Field(
            ("machine", "hours"), _("Hour meter"), _("hours of the machine"),
            lambda job, t: _hours(formats, job, t), _("Total hours, if it was replaced"), _("h"),
            shown=formats.number,
        ),
        *_meter_fields(formats),
        Field(
            ("machine", "duty"), _("Duty"), _("duty"),
            lambda _job, t: reading.number(formats, t, Between(LEAST_DUTY, MOST_DUTY)),
            _("1: work as the catalogue's chances are stated for. Above 1 it wears faster, below 1 "
              "slower: 1.15 means 15 % more wear an hour."),
            shown=formats.number,
        ),
        Field(
            ("machine", "life_wanted"), _("Life wanted"), _("life wanted"),
            lambda _job, t: reading.number(formats, t, Between(above=0, high=MOST_LIFE)),
            _("Machine hours after the rebuild"), _("h"), shown=formats.number,
        ),
    ]  # fmt: skip


def _meter_fields(formats: Formats) -> list[Field]:
    """How far the meter can be trusted: its kind brings a usual doubt, which may be typed over."""
    words = {
        ORIGINAL: _("Original"), REPLACED: _("Replaced"), UNKNOWN: _("History not known"),
    }  # fmt: skip
    return [
        Field(
            ("machine", "meter"), _("Meter"), _("kind of hour meter"), _needed, kind=CHOICE,
            choices=tuple((one, words[one]) for one in METERS),
            brings=lambda job: written(
                job, ("machine", "hours_doubt"), USUAL_DOUBT[job.machine.meter]
            ),
        ),
        Field(
            ("machine", "hours_doubt"), _("Hours may lie off by"), _("doubt of the hours"),
            lambda _job, t: reading.share(formats, t, Between(0, MOST_DOUBT * 100)),
            _("In two cases of three the true hours lie within this of the meter. It widens every "
              "chance of wear."),
            "%", shown=lambda one: formats.number(one * 100),
        ),
    ]  # fmt: skip


def wanted_fields(formats: Formats) -> list[Field]:
    """What is wanted, when, and who sees to it."""
    return [
        Field(
            ("level",), _("Level of rebuild"), _("level of rebuild"), _needed, kind=CHOICE,
            wide=True, choices=tuple((one, level_word(one)) for one in JOB_LEVELS),
        ),
        _day(formats, ("inspected",), _("Inspected"), _("day of the inspection")),
        _day(formats, ("date",), _("Date of quote"), _("date of the quote"), _quote_day),
        _day(
            formats, ("start",), _("Start"), _("start"), _start_day,
            _("Machine received, parts ordered"),
        ),
        Field(
            ("wanted_by",), _("Wanted by"), _("day it is wanted"),
            lambda _job, t: reading.day_or_none(formats, t), _("May stay blank"),
            shown=_iso,
        ),
        Field(("estimator",), _("Estimator"), _("estimator"), _needed),
        Field(("releaser",), _("Releases the quote"), _("who releases"), _needed),
    ]  # fmt: skip


def _day(
    formats: Formats,
    key: tuple[str, ...],
    label: str,
    name: str,
    check: Callable[[Job, datetime.date], None] | None = None,
    hint: str = "",
) -> Field:
    def read(job: Job, typed: str) -> datetime.date:
        value = reading.day(formats, typed)
        if check is not None:
            check(job, value)
        return value

    return Field(key, label, name, read, hint, shown=_iso)


def _iso(day: datetime.date | None) -> str:
    return day.isoformat() if day else ""


def _quote_day(job: Job, value: datetime.date) -> None:
    if value > job.start:
        raise NotValid(_("Lies after the start, {day}. Check both.").format(day=_iso(job.start)))


def _start_day(job: Job, value: datetime.date) -> None:
    if value < job.date:
        raise NotValid(
            _("Lies before the date of the quote, {day}. Check both.").format(day=_iso(job.date))
        )


def _hours(formats: Formats, job: Job, typed: str) -> Decimal:
    value = reading.number(formats, typed, Between(above=0, high=MOST_HOURS))
    for event in job.machine.history:
        if event.hours > value:
            raise NotValid(
                _("Below {hours} h in the machine's history: {what}. Check both.").format(
                    hours=formats.number(event.hours), what=event.what
                )
            )
    return value


def _plain(_job: Job, typed: str) -> str:
    return reading.text(typed)


def _needed(_job: Job, typed: str) -> str:
    return reading.needed_text(typed)
