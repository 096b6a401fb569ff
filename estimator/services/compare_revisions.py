"""What changed between two revisions of a quote: figures, lines, findings and terms.

An issued revision is compared as it was stored, from its own inputs and figures, never reckoned
again; the present one from its reckoning. Nothing is rounded or worked out anew.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from estimator.domain.job_data import findings_as_data, job_as_data
from estimator.domain.money import Money, minor_digits
from estimator.domain.priced_job import PricedJob
from estimator.domain.reasons import plain
from estimator.domain.record import IssuedQuote
from estimator.services.open_record import Record
from estimator.storage import job_record

FIGURES, GROUPS, LINES, FINDINGS, TERMS = "figures", "groups", "lines", "findings", "terms"
Value = Money | Decimal | date | str

_LEADING = ("net", "firm_lines", "provisional_lines", "contingency", "gross")
_DATES = frozenset({"start", "inspected", "wanted_by"})
# Differ, are told elsewhere, or are no part of the quote.
_UNSAID = frozenset({"number", "revision", "date", "findings", "new_machine"})


@dataclass(frozen=True, slots=True)
class Revision:
    """One revision as it can be compared: its inputs as plain data, its figures by name."""

    title: str
    job: Mapping[str, Any]
    findings: Mapping[str, Mapping[str, Any]]
    titles: Mapping[str, str]
    values: Mapping[str, str]

    @property
    def currency(self) -> str:
        """Currency of its sums."""
        return str(self.job["terms"]["currency"])

    @property
    def covered(self) -> str:
        """Name of the finish at its own confidence."""
        percent = Decimal(str(self.job["terms"]["confidence"])) * 100
        return f"finish/{float(percent):g}"


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that differs; None where a revision has none of it.

    `name` is a title, or the key of a term ("terms/confidence"); `detail` the cell of a finding,
    "" for the whole; `figure` the name that can be asked why, "" where it is no figure.
    """

    section: str
    id: str
    name: str
    detail: str
    before: Value | None
    after: Value | None
    figure: str = ""

    @property
    def change(self) -> Money | None:
        """By how much a sum grew; what came or went counts whole. None where no sum."""
        one, two = self.before, self.after
        if isinstance(one, Money) and isinstance(two, Money):
            return two - one if one.currency == two.currency else None
        if isinstance(two, Money) and one is None:
            return two
        return -one if isinstance(one, Money) and two is None else None


def issued_revisions(record: Record, number: str) -> tuple[IssuedQuote, ...]:
    """Issued revisions of a job with the bytes they were issued as, the oldest first."""
    with record.reading() as session:
        return tuple(job_record.issued_quotes(session, number))


def as_issued(issued: IssuedQuote) -> Revision:
    """An issued revision, from what was stored with it."""
    inputs, figures = json.loads(issued.inputs), json.loads(issued.figures)
    return Revision(
        f"{issued.number} rev {issued.revision}",
        inputs["job"],
        {one["id"]: one for one in inputs["findings"]},
        {name: str(figure["title"]) for name, figure in figures.items()},
        {name: str(figure["value"]) for name, figure in figures.items()},
    )


def as_priced(priced: PricedJob) -> Revision:
    """A job as it is reckoned now, in the same shape."""
    job, figures = priced.job, dict(priced.reasons.figures)
    return Revision(
        job.title,
        job_as_data(job),
        {str(one["id"]): one for one in findings_as_data(job.findings)},
        {name: figure.title for name, figure in figures.items()},
        {name: str(plain(figure.value)) for name, figure in figures.items()},
    )


def compare(before: Revision, after: Revision) -> tuple[Difference, ...]:
    """Everything that differs: leading figures, groups, lines, findings, terms, in that order."""
    return (
        *_leading(before, after),
        *_sums(before, after, GROUPS, _groups),
        *_sums(before, after, LINES, _lines),
        *_findings(before, after),
        *_terms(before, after),
    )


# Figures


def figure_sum(revision: Revision, name: str) -> Money | None:
    """The sum of a figure by its name; None where the revision has none."""
    return _money(revision, name)


def _money(revision: Revision, name: str) -> Money | None:
    text = revision.values.get(name)
    if text is None:
        return None
    digits = minor_digits(revision.currency)
    return Money(int(Decimal(text).scaleb(digits)), revision.currency)


def _leading(before: Revision, after: Revision) -> Iterator[Difference]:
    for name in _LEADING:
        one, two = _money(before, name), _money(after, name)
        if one != two:
            title = after.titles.get(name) or before.titles[name]
            yield Difference(FIGURES, name, title, "", one, two, name)
    for early, late in (("finish/50", "finish/50"), (before.covered, after.covered)):
        was, now = before.values.get(early), after.values.get(late)
        if was is not None and now is not None and was != now:
            title = after.titles[late]
            days = (date.fromisoformat(was), date.fromisoformat(now))
            yield Difference(FIGURES, late, title, "", *days, late)


def _groups(name: str) -> bool:
    return name.startswith("group/") and name.count("/") == 1


def _lines(name: str) -> bool:
    return name.startswith("line/") and name.count("/") == 1


def _sums(
    before: Revision, after: Revision, section: str, wanted: Callable[[str], bool]
) -> Iterator[Difference]:
    names = [name for name in dict.fromkeys((*before.values, *after.values)) if wanted(name)]
    for name in names:
        one, two = _money(before, name), _money(after, name)
        if one != two:
            title = after.titles.get(name) or before.titles[name]
            yield Difference(section, name, title, "", one, two, name if two is not None else "")


# Findings and terms


def _findings(before: Revision, after: Revision) -> Iterator[Difference]:
    for code in dict.fromkeys((*before.findings, *after.findings)):
        one, two = before.findings.get(code), after.findings.get(code)
        figure = f"finding/{code}"
        title = after.titles.get(figure) or before.titles.get(figure) or ""
        name = f"{code} {title}".strip()
        was, now = before.values.get(figure), after.values.get(figure)
        if one is None or two is None:
            asked = figure if two is not None else ""
            yield Difference(FINDINGS, code, name, "", was, now, asked)
            continue
        for cell in dict.fromkeys((*one, *two)):
            if one.get(cell) != two.get(cell):
                cells = (_cell(one.get(cell)), _cell(two.get(cell)))
                yield Difference(FINDINGS, f"{code}/{cell}", name, cell, *cells, figure)
        if was != now:
            yield Difference(FINDINGS, f"{code}/disposition", name, "disposition", was, now, figure)


def _cell(value: Any) -> str | None:
    if value is None:
        return None
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)


def _terms(before: Revision, after: Revision) -> Iterator[Difference]:
    one, two = dict(_flat(before.job)), dict(_flat(after.job))
    for key in dict.fromkeys((*one, *two)):
        if one.get(key) != two.get(key):
            yield Difference(
                TERMS, key, key, "", _value(key, one.get(key)), _value(key, two.get(key))
            )


def _flat(data: Mapping[str, Any], above: str = "") -> Iterator[tuple[str, str]]:
    """Every plain field of a job with its path; rows by hand are told by the lines they make."""
    for key, value in data.items():
        path = f"{above}{key}"
        if path in _UNSAID or value in (None, "", [], {}):
            continue
        if isinstance(value, dict):
            yield from _flat(value, f"{path}/")
        elif key == "exchange_rate":
            yield from ((f"{path}/{rate['currency']}", str(rate["rate"])) for rate in value)
        elif key in ("address", "stages", "stage"):
            yield path, "; ".join(map(_said, value))
        elif not isinstance(value, list):
            yield path, str(value)


def _said(row: Any) -> str:
    return " ".join(map(str, row.values())) if isinstance(row, dict) else str(row)


def _value(key: str, text: str | None) -> Value | None:
    if text is None:
        return None
    return date.fromisoformat(text) if key in _DATES else text
