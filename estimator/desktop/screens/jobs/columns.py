"""Columns of the Jobs list."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QPainter

from estimator.desktop.areas import (
    ENQUIRY,
    EXPOSURE,
    INSPECTION,
    PRICE,
    PROGRAMME,
    SCOPE,
    areas,
)
from estimator.desktop.drawing.bars import CertaintyParts
from estimator.desktop.drawing.cell_painters import (
    paint_certainty_cell,
    paint_mark_cell,
    paint_path_cell,
    paint_two_lines,
)
from estimator.desktop.drawing.marks import Mark
from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _
from estimator.desktop.theme import Theme
from estimator.desktop.widgets.columns import CellPainter, Column
from estimator.domain.record import (
    ACCEPTED,
    CLOSED,
    CUSTOMER_WAITS,
    DRAFT,
    ESTIMATOR_WAITS,
    EXPIRED,
    FOREMAN_WAITS,
    HANDED_OVER,
    ISSUED,
    PROPOSED,
    RELEASE_WAITS,
    STOPPED,
    UNDER_CONTRACT,
)
from estimator.services.show_jobs import THE_CUSTOMER, YOU, JobGroup, ListedJob

STEPS = 12
PAD = 8


def job_columns(say: Formats) -> tuple[Column, ...]:
    """The columns, for rows that are ListedJob or, as a head, JobGroup."""
    return (
        Column("job", _("Job"), _number, 116, sort=_by(lambda j: j.number), strong=_always),
        Column(
            "customer",
            _("Customer and machine"),
            _customer,
            300,
            sort=_by(lambda j: j.summary.customer.casefold()),
            tip=_customer,
            paint=_paint_customer,
        ),
        Column(
            "stage",
            _("Stage on the job path"),
            _stage,
            210,
            sort=_by(lambda j: j.area),
            paint=_paint_stage,
        ),
        Column(
            "price",
            _("Price"),
            lambda row: _price(row, say),
            100,
            right=True,
            sort=_by(_value),
            strong=lambda row: isinstance(row, ListedJob) and row.summary.value is not None,
            tone=lambda row: "ink" if _priced(row) else "ink3",
        ),
        Column("certainty", _("Certainty"), _certainty_words, 170, paint=_paint_certainty),
        Column("waits", _("Waits for"), _waits, 190, paint=_paint_waits),
        Column("since", _("Since"), _since, 70, right=True, sort=_by(lambda j: j.since_days)),
        Column(
            "next",
            _("Next date"),
            lambda row: _next(row, say),
            170,
            sort=_by(lambda j: j.summary.next_date[1]),
            strong=lambda row: isinstance(row, ListedJob) and row.due == "past",
            tone=lambda row: (
                "attn_text" if isinstance(row, ListedJob) and row.due == "past" else "ink2"
            ),
        ),
    )


def group_title(group: JobGroup, by_words: dict[str, str]) -> str:
    """A head in words, with how many jobs are under it."""
    return f"{by_words.get(group.key, group.key or DASH)}   {len(group.jobs)}"


def _always(_row: Any) -> bool:
    return True


def _by(key: Any) -> Any:
    return lambda row: key(row) if isinstance(row, ListedJob) else None


def _number(row: Any) -> str:
    if isinstance(row, JobGroup):
        return row.key
    return f"{row.number} {row.summary.revision}" if row.summary.revision != "A" else row.number


def _customer(row: Any) -> str:
    return "" if isinstance(row, JobGroup) else f"{row.summary.customer}   {row.machine}"


def _paint_customer(row: Any) -> CellPainter | None:
    if isinstance(row, JobGroup):
        return None

    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        whole = QRectF(rect).adjusted(-PAD, 0, PAD, 0)
        paint_two_lines(painter, whole, row.summary.customer, row.machine, theme)

    return paint


def _stage(row: Any) -> str:
    if isinstance(row, JobGroup):
        return ""
    ended = {
        STOPPED: _("Stopped"), HANDED_OVER: _("Handed over"), CLOSED: _("Closed"),
    }  # fmt: skip
    return ended.get(row.summary.state) or areas()[row.area].title


def _paint_stage(row: Any) -> CellPainter | None:
    if isinstance(row, JobGroup):
        return None

    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        whole = QRectF(rect).adjusted(-PAD, 0, PAD, 0)
        paint_path_cell(painter, whole, row.step, STEPS, _stage(row), theme)

    return paint


def _priced(row: Any) -> bool:
    return isinstance(row, ListedJob) and row.summary.value is not None


def _value(row: ListedJob) -> Any:
    value = row.summary.value
    return None if value is None else value.minor


def _price(row: Any, say: Formats) -> str:
    if isinstance(row, JobGroup):
        return ""
    value = row.summary.value
    return say.sum(value) if value is not None else _("not yet")


def _certainty_words(row: Any) -> str:
    if isinstance(row, JobGroup) or row.summary.standing is None:
        return ""
    standing = row.summary.standing
    return f"{standing.firm} / {standing.provisional} / {standing.contingency}"


def _paint_certainty(row: Any) -> CellPainter | None:
    if isinstance(row, JobGroup) or row.summary.standing is None:
        return None
    standing = row.summary.standing
    parts = CertaintyParts(
        standing.firm.minor, standing.provisional.minor, standing.contingency.minor, full=row.full
    )

    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        paint_certainty_cell(painter, QRectF(rect).adjusted(-PAD, 0, PAD, 0), parts, theme)

    return paint


def _waits(row: Any) -> str:
    if isinstance(row, JobGroup):
        return ""
    standing = row.summary.standing
    if row.summary.state == DRAFT and standing is not None and standing.note:
        return str(standing.note)
    if row.summary.state == DRAFT:
        return _next_step(row)
    words = {
        PROPOSED: _("release of rev {rev}"),
        ISSUED: _("answer to rev {rev}"),
        EXPIRED: _("answer; rev {rev} has expired"),
        ACCEPTED: _("the work"),
        STOPPED: _("the machine to go back"),
        HANDED_OVER: _("the account to be closed"),
        CLOSED: "",
    }
    contract = row.summary.contract
    if row.summary.state == ACCEPTED and contract is not None and contract.awaited_for:
        return _awaited(contract.awaited).format(number=contract.awaited_for)
    return words[row.summary.state].format(rev=row.summary.revision)


def _awaited(role: str) -> str:
    """What a variation waits for, by whoever is awaited."""
    return {
        ESTIMATOR_WAITS: _("{number} to price or issue"),
        RELEASE_WAITS: _("{number} to sign"),
        CUSTOMER_WAITS: _("answer to {number}"),
        FOREMAN_WAITS: _("{number} to be done"),
    }.get(role, "{number}")


def _next_step(row: ListedJob) -> str:
    """What a draft waits for, by the area it stands in."""
    steps = {
        ENQUIRY: _("a first look"),
        INSPECTION: _("findings"),
        SCOPE: _("scope to settle"),
        PRICE: _("prices to settle"),
        EXPOSURE: _("confidence"),
        PROGRAMME: _("dates"),
    }
    return steps.get(areas()[row.area].key, _("to be proposed"))


def _paint_waits(row: Any) -> CellPainter | None:
    if isinstance(row, JobGroup):
        return None
    mark = mark_of(row)

    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        whole = QRectF(rect).adjusted(-PAD, 0, PAD, 0)
        paint_mark_cell(painter, whole, mark, _waits(row), theme)

    return paint


def mark_of(row: ListedJob) -> Mark | None:
    """How a job stands: it needs you where its day is past or it stopped and waits on you. Under
    contract it waits on the customer, is done, or is in hand; before that there is no mark."""
    state = row.summary.state
    if row.due == "past" or (state == STOPPED and row.waits_on == YOU):
        return Mark.NEEDS_YOU
    if state not in UNDER_CONTRACT:
        return None
    if state in (HANDED_OVER, CLOSED):
        return Mark.DONE
    if row.waits_on == THE_CUSTOMER or state == STOPPED:
        return Mark.WAITS
    return Mark.IN_HAND


def _since(row: Any) -> str:
    return "" if isinstance(row, JobGroup) else _("{n} d").format(n=row.since_days)


def _next(row: Any, say: Formats) -> str:
    if isinstance(row, JobGroup):
        return ""
    what, day = row.summary.next_date
    words = {
        "valid until": _("valid until {day}"),
        "wanted by": _("wanted by {day}"),
        "start": _("start {day}"),
        "ready": _("ready {day}"),
        STOPPED: _("stopped {day}"),
        HANDED_OVER: _("handed over {day}"),
        CLOSED: _("closed {day}"),
    }
    if row.summary.state == EXPIRED:
        return _("expired {day}").format(day=say.day(day))
    return words[what].format(day=say.day(day))
