"""The Quote page's rows in words: revisions, differences, places."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimator.desktop.areas import areas
from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _
from estimator.domain.money import Money
from estimator.domain.record import IssuedQuote
from estimator.services.compare_revisions import (
    FIGURES,
    FINDINGS,
    GROUPS,
    LINES,
    TERMS,
    Difference,
    Value,
)

DRAFT = "draft"
HASH_SHOWN = 12
_SHARES = frozenset({"terms/confidence", "terms/discount_share"})
_UNFIT = re.compile(r"[^\w.\- ]+")


@dataclass(frozen=True, slots=True)
class RevisionRow:
    """One revision in the list; `issued` is None on the one that is being worked on."""

    id: str
    title: str
    second: str
    price: str
    tip: str
    issued: IssuedQuote | None = None


@dataclass(frozen=True, slots=True)
class SectionHead:
    """Head of a kind of difference."""

    id: str
    name: str


def draft_row(revision: str, state: str, price: str, valid: str) -> RevisionRow:
    """The revision that is being worked on."""
    waits = _("waits for release") if state == "proposed" else _("not issued")
    title = _("Rev {rev}, {state}").format(rev=revision, state=waits)
    return RevisionRow(DRAFT, title, _("valid until {day}").format(day=valid), price, title)


def issued_row(issued: IssuedQuote, formats: Formats) -> RevisionRow:
    """A revision as it was issued."""
    day = formats.day(issued.issued_at.astimezone().date())
    second = _("{day} by {who}; valid until {valid}").format(
        day=day, who=issued.issued_by, valid=formats.day(issued.valid_until)
    )
    tip = _(
        "Issued {day} by {who}, released by {releaser}.\n"
        "Price {sum}, with tax {gross}. Catalogue {edition}.\n"
        "Record of its figures: {record}\nHead of the log it was printed with: {head}\n"
        "SHA-256 of the PDF: {pdf}"
    ).format(
        day=day,
        who=issued.issued_by,
        releaser=issued.released_by,
        sum=formats.money(issued.net),
        gross=formats.money(issued.gross),
        edition=issued.catalogue_version,
        record=issued.record,
        head=issued.chain_head or DASH,
        pdf=issued.pdf_sha256,
    )
    title = _("Rev {rev}, issued   log {head}").format(
        rev=issued.revision, head=issued.chain_head[:HASH_SHOWN] or DASH
    )
    return RevisionRow(issued.revision, title, second, formats.money(issued.net), tip, issued)


def file_name(number: str, revision: str) -> str:
    """Name of a quote's file, fit for every file system."""
    return _UNFIT.sub("_", f"{number} rev {revision}").strip(". ")[:120] + ".pdf"


def section_names() -> dict[str, str]:
    """Kinds of differences, in their order."""
    return {
        FIGURES: _("Figures"),
        GROUPS: _("Groups"),
        LINES: _("Lines"),
        FINDINGS: _("Findings"),
        TERMS: _("Terms"),
    }


def named(row: Difference) -> str:
    """What differs."""
    if row.section == TERMS:
        return _terms().get(row.name, row.name.rpartition("/")[2].replace("_", " "))
    if row.detail:
        return _("{what}: {cell}").format(what=row.name, cell=row.detail.replace("_", " "))
    return row.name


def value_words(name: str, value: Value | None, formats: Formats) -> str:
    """One side of a difference of that name; an en dash for nothing."""
    if value is None:
        return DASH
    if isinstance(value, Money):
        return formats.sum(value)
    if isinstance(value, date):
        return formats.day(value)
    return formats.percent(Decimal(value)) if name in _SHARES else str(value)


def in_one_line(row: Difference, formats: Formats) -> str:
    """A difference as one readable line."""
    name, before, after = (
        named(row),
        value_words(row.name, row.before, formats),
        value_words(row.name, row.after, formats),
    )
    if row.before is None:
        return _("{what}: new, {after}").format(what=name, after=after)
    if row.after is None:
        return _("{what}: gone, was {before}").format(what=name, before=before)
    return _("{what}: {before} \u2192 {after}").format(what=name, before=before, after=after)


def step_words(step: str) -> str:
    """A step of the reckoning or of the print, as the key line tells it."""
    return {
        "contingency": _("Working out the contingency"),
        "programme": _("Working out the dates"),
        "quote": _("Working out the options"),
        "print": _("Laying out the pages"),
        "issue": _("Writing it to the record"),
    }.get(step, _("Working out the price"))


def area_name(key: str) -> str:
    """An area's name as the job path shows it."""
    return next((area.title for area in areas() if area.key == key), key)


def _terms() -> dict[str, str]:
    return {
        "level": _("rebuild level"),
        "start": _("machine comes in"),
        "inspected": _("inspected on"),
        "wanted_by": _("wanted by"),
        "note": _("what the customer wants"),
        "machine/hours": _("machine hours"),
        "machine/life_wanted": _("life wanted after the rebuild"),
        "machine/class": _("machine class"),
        "machine/serial": _("serial number"),
        "customer/name": _("customer"),
        "customer/address": _("customer's address"),
        "customer/contact": _("customer's contact"),
        "terms/confidence": _("confidence"),
        "terms/discount_share": _("discount on parts"),
        "terms/valid_days": _("days the quote stands"),
        "terms/tax_category": _("tax"),
        "terms/commercial_form": _("commercial form"),
        "terms/stages": _("stage payments"),
    }
