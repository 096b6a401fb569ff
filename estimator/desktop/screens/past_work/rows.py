"""Rows of past work as the page shows and takes them."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, fields, replace
from decimal import Decimal
from functools import partial
from typing import Any

from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _
from estimator.desktop.widgets.columns import Column
from estimator.domain.money import Money
from estimator.domain.past_work import ClosedJob, TeardownOutcome
from estimator.services.type_past_work import CLOSED, COLUMNS, OUTCOMES

KINDS: dict[str, type[Any]] = {OUTCOMES: TeardownOutcome, CLOSED: ClosedJob}
WIDTHS = {"pool": 200, "machine_class": 150, "component": 130, "life_basis": 130}


@dataclass(frozen=True, slots=True)
class TypedRow:
    """A row being typed: plain texts by column, "" where nothing was typed yet."""

    number: int
    texts: tuple[str, ...]

    @property
    def blank(self) -> bool:
        """Whether nothing was typed."""
        return not any(self.texts)

    def with_text(self, place: int, text: str) -> TypedRow:
        """The row with one cell typed."""
        texts = list(self.texts)
        texts[place] = text
        return replace(self, texts=tuple(texts))


def titles() -> dict[str, str]:
    """Column heads in words."""
    return {
        "pool": _("Parts alike"),
        "machine_class": _("Machine"),
        "component": _("Component or part"),
        "hours": _("Hours"),
        "duty": _("Duty"),
        "life_basis": _("Hours count"),
        "disposition": _("Disposition"),
        "worn": _("Worn"),
        "cost": _("Cost"),
        "currency": _("Currency"),
        "days": _("Days"),
        "found_on": _("Seen on"),
        "number": _("Job"),
        "quoted_base": _("Quoted, base"),
        "quoted_contingency": _("Quoted, contingency"),
        "final_less_requests": _("Final less requests"),
        "closed_on": _("Closed on"),
        "p10": _("Quoted, 1 in 10"),
        "p50": _("Quoted, 5 in 10"),
        "p80": _("Quoted, 8 in 10"),
        "p90": _("Quoted, 9 in 10"),
        "mean": _("Quoted, mean"),
    }


def typed_columns(kind: str, say: Formats) -> tuple[Column, ...]:
    """Columns of the rows being typed; each reads its own kind of text."""
    made = []
    words = titles()
    for place, field in enumerate(one for one in fields(KINDS[kind]) if one.name != "place"):
        choices = field.metadata["limits"].choices
        if field.name == "worn":
            choices = ("yes", "no")
        made.append(
            Column(
                field.name,
                words[field.name],
                partial(_text_at, place),
                WIDTHS.get(field.name, 110),
                right=_is_number(field.type),
                read=partial(_read_as, field, say),
                choices=partial(_always, choices) if choices else None,
                tip=partial(_always, str(field.metadata["limits"].what)),
            )
        )
    return tuple(made)


def kept_columns(kind: str, say: Formats) -> tuple[Column, ...]:
    """Columns of the rows that the record holds."""
    words = titles()
    return tuple(
        Column(
            name,
            words[name],
            partial(_shown_of, name, say),
            WIDTHS.get(name, 110),
            right=holds_numbers(KINDS[kind], name),
            sort=partial(_value_of, name),
        )
        for name in COLUMNS[kind]
    )


def _text_at(place: int, row: TypedRow) -> str:
    return row.texts[place]


def _read_as(field: Any, say: Formats, _row: TypedRow, text: str) -> str:
    return as_plain(field, text, say)


def _always(value: Any, _row: object) -> Any:
    return value


def _shown_of(name: str, say: Formats, kept: Any) -> str:
    return shown(kept.row, name, say)


def _value_of(name: str, kept: Any) -> Any:
    return getattr(kept.row, name)


def shown(row: Any, name: str, say: Formats) -> str:
    """A cell of a kept row in words."""
    value = getattr(row, name)
    if value is None:
        return DASH
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, datetime.date):
        return say.day(value)
    if isinstance(value, Decimal):
        return say.number(value)
    return say.sum(value) if isinstance(value, Money) else str(value)


def as_plain(field: Any, text: str, say: Formats) -> str:
    """Typed text as the file would hold it. Raises ValueError with what was expected."""
    if not text:
        return ""
    if _is_number(field.type):
        return f"{say.read_number(text):f}"
    if "date" in str(field.type):
        return say.read_day(text).isoformat()
    if field.name == "worn":
        word = text.casefold()
        if word in ("yes", "y", "1", _("yes").casefold()):
            return "yes"
        if word in ("no", "n", "0", _("no").casefold()):
            return "no"
        raise ValueError(_("Write yes or no."))
    choices = field.metadata["limits"].choices
    if choices and text.casefold() not in choices:
        raise ValueError(_("One of: {words}.").format(words=", ".join(choices)))
    return text.casefold() if choices else text


def _is_number(kind: object) -> bool:
    return "Decimal" in str(kind)


def holds_numbers(kind: type[Any], name: str) -> bool:
    """Whether a column holds numbers."""
    return any(one.name == name and _is_number(one.type) for one in fields(kind))
