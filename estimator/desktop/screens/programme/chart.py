"""The chart's data from the page's rows: bars, leads, tails, heads and finish lines, in words."""

from __future__ import annotations

from decimal import Decimal

from estimator.desktop.drawing.histogram import Week
from estimator.desktop.drawing.programme_chart import (
    BarKind,
    DayWords,
    ProgrammeBar,
    ProgrammeData,
    ProgrammeRow,
)
from estimator.desktop.formats import Formats
from estimator.desktop.language import _, ngettext
from estimator.services.show_programme import (
    OUTWORK,
    ActivityRow,
    PartsWait,
    ProgrammeRows,
    WeekRow,
)

ACTIVITY, PARTS = "activity", "parts"
Key = tuple[str, str]


def programme_data(shown: ProgrammeRows, formats: Formats) -> ProgrammeData:
    """What the chart draws. A row of parts stands above the activity that waits for them; keys of
    rows are (ACTIVITY or PARTS, code)."""
    rows: list[ProgrammeRow] = []
    places: dict[int, int] = {}
    for place, activity in enumerate(shown.rows):
        if activity.waits_for is not None:
            rows.append(_parts_row(activity, activity.waits_for, formats))
        places[place] = len(rows)
        rows.append(_activity_row(activity, formats))
    return ProgrammeData(
        rows=rows,
        first=shown.first,
        last=shown.last,
        weeks=[DayWords(day, formats.short_day(monday)) for day, monday in shown.mondays],
        months=[DayWords(day, formats.month(first)) for day, first in shown.months],
        closures=shown.closures,
        links=[(places[start], places[end]) for start, end in shown.links],
        finish_50=DayWords(
            shown.half,
            _("{share}   {day}").format(
                share=formats.percent(0.5), day=formats.weekday(shown.finish_half)
            ),
        ),
        finish_80=DayWords(
            shown.covered,
            _("{share}   {day}").format(
                share=formats.percent(shown.confidence), day=formats.weekday(shown.finish_covered)
            ),
        ),
        names_head=_("Activity, and where"),
    )


def _activity_row(row: ActivityRow, formats: Formats) -> ProgrammeRow:
    out = row.kind == OUTWORK
    bar = ProgrammeBar(
        row.start,
        row.end,
        BarKind.OUTWORK if out else BarKind.SHOP,
        _("outwork") if out else "",
    )
    return ProgrammeRow(
        (ACTIVITY, row.id),
        row.name,
        where(row, formats),
        row.longest,
        (bar,),
        row.tail_end,
        spoken=activity_words(row, formats),
    )


def _parts_row(row: ActivityRow, wait: PartsWait, formats: Formats) -> ProgrammeRow:
    rest = len(wait.names) - 1
    title = wait.names[0]
    if rest:
        title = ngettext("{name} and {n} more", "{name} and {n} more", rest).format(
            name=wait.names[0], n=rest
        )
    return ProgrammeRow(
        (PARTS, row.id),
        title,
        _("parts, {lead}").format(lead=lead_words(wait, formats)),
        lead=(0.0, wait.ready),
        note=_("in {day}").format(day=formats.short_day(wait.ready_day)),
        spoken=_(
            "{parts}: ordered when the machine comes in, here on {day}, for {activity}"
        ).format(
            parts=", ".join(wait.names), day=formats.weekday(wait.ready_day), activity=row.name
        ),
    )


def where(row: ActivityRow, formats: Formats) -> str:
    """Who does it, or where."""
    if row.kind == OUTWORK:
        days = formats.number(Decimal(f"{row.outwork_days:g}"))
        return _("{place}, {n} days").format(place=row.place, n=days)
    if row.teams > 1:
        return ngettext("{place}, {n} team", "{place}, {n} teams", row.teams).format(
            place=row.place, n=row.teams
        )
    return row.place


def lead_words(wait: PartsWait, formats: Formats) -> str:
    """How long parts take to come."""
    weeks = formats.number(Decimal(f"{wait.weeks:g}"))
    return ngettext("{n} week", "{n} weeks", 1 if wait.weeks == 1 else 2).format(n=weeks)


def activity_words(row: ActivityRow, formats: Formats) -> str:
    """An activity in one sentence, for those who cannot see its bar."""
    slack = _("on the longest path")
    if not row.longest:
        slack = ngettext("{n} day of slack", "{n} days of slack", row.slack_days).format(
            n=row.slack_days
        )
    return _("{name}, {where}: {start} to {finish}, {slack}; 8 in 10 by {covered}").format(
        name=row.name,
        where=where(row, formats),
        start=formats.weekday(row.start_day),
        finish=formats.weekday(row.finish_day),
        slack=slack,
        covered=formats.weekday(row.covered_day),
    )


def week_bars(weeks: tuple[WeekRow, ...], formats: Formats) -> list[Week]:
    """Bars of the weeks in which it finishes."""
    return [
        Week(
            week.share,
            formats.percent(week.share),
            formats.short_day(week.monday),
            week.covered,
        )
        for week in weeks
    ]
