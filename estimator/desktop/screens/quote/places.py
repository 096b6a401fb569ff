"""Where a fault or a warning is mended: the area of the job, and the place on its page. No Qt."""

from __future__ import annotations

import re
from dataclasses import dataclass, fields

from estimator.desktop.areas import ENQUIRY, EXPOSURE, INSPECTION, PRICE, PROGRAMME, SCOPE
from estimator.desktop.telling import told
from estimator.domain.findings import Finding
from estimator.domain.job import Job
from estimator.domain.problem import Problem

_CELLS = frozenset(one.name for one in fields(Finding))
_CODE = re.compile(r"[A-Z][A-Z0-9]*(?:-[A-Z0-9]+)*\d*\w*")
_BY_CODE = {
    "no-findings": INSPECTION, "not-looked-at": INSPECTION, "old-inspection": INSPECTION,
    "id-twice": INSPECTION, "reading-far-off": INSPECTION,
    "counted-twice": SCOPE, "idle-change": SCOPE,
    "priced-thin": PRICE, "above-band": PRICE, "below-band": PRICE, "old-price": PRICE,
    "starting-values": EXPOSURE,
    "start-past": PROGRAMME, "start-closed": PROGRAMME, "valid-past-start": PROGRAMME,
    "calendar-ends": PROGRAMME,
}  # fmt: skip
_BY_SECTION = {
    "[machine": ENQUIRY, "[customer": ENQUIRY, "[terms": PRICE, "[[exchange_rate": PRICE,
    "[[own": PRICE, "[[changed": PRICE, "[[added": SCOPE, "[[removed": SCOPE, "[[kept": SCOPE,
    "[ways": SCOPE,
}  # fmt: skip
_BY_KEY = {
    "finding": INSPECTION, "start": PROGRAMME, "terms": PRICE, "rate": PRICE, "own": PRICE,
    "changed": PRICE, "added": SCOPE, "removed": SCOPE, "kept": SCOPE, "way": SCOPE,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class LookAt:
    """One thing to mend or to look at, and where: `area`, and the `place` on its page."""

    id: str
    area: str
    place: str
    message: str
    remedy: str
    stops: bool  # keeps the job from being priced or issued


def things(job: Job, faults: tuple[Problem, ...], warnings: tuple[Problem, ...]) -> list[LookAt]:
    """Faults first, then warnings, each with its place."""
    found = []
    for number, problem in enumerate((*faults, *warnings)):
        area, place = where(problem, job)
        found.append(
            LookAt(
                f"{number}/{problem.code}",
                area,
                place,
                _sentence(told(problem.message)),
                told(problem.remedy),
                number < len(faults),
            )
        )
    return found


def where_kept(place: str) -> str:
    """The area of a text that was typed but is not valid: finding/I03/measured."""
    return _BY_KEY.get(place.split("/", 1)[0], ENQUIRY)


def where(problem: Problem, job: Job) -> tuple[str, str]:
    """(area, place) at which a problem is mended; place "" where only the area is known."""
    column = problem.place.column
    finding = _finding(problem, job)
    if column in _CELLS or finding:
        return INSPECTION, f"{finding}/{column}" if finding and column in _CELLS else finding
    for section, area in _BY_SECTION.items():
        if column.startswith(section):
            return area, _code_in(column.partition("]")[2]) or _code_in(problem.message)
    area = _BY_CODE.get(problem.code, SCOPE)
    if area == PROGRAMME:
        return area, "start" if problem.code != "calendar-ends" else ""
    return area, _code_in(problem.message) if area in (SCOPE, PRICE) else ""


def _finding(problem: Problem, job: Job) -> str:
    """The finding a problem is about: the one of its row, else the one its message begins with."""
    row = problem.place.row
    if row is not None:
        for one in job.findings:
            if one.place.row == row and one.place.file == problem.place.file:
                return one.id
    first = problem.message.split(" ", 1)[0].strip(":,.'")
    return first if any(one.id == first for one in job.findings) else ""


def _code_in(text: str) -> str:
    """The first code of a catalogue row in a text, like O0103 or P-CRK."""
    for found in _CODE.finditer(text):
        if any(sign.isdigit() or sign == "-" for sign in found[0]) and len(found[0]) > 2:  # noqa: PLR2004
            return found[0]
    return ""


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]
