"""How a look or test is said: its name, its time, its cautions, and why it is where it stands."""

from __future__ import annotations

from decimal import Decimal

from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _
from estimator.desktop.screens.exposure.words import percentile_name
from estimator.domain.reasons import Figure, Reasons
from estimator.services.show_open_first import OPEN, LookRow, OpenFirst


def look_name(row: LookRow) -> str:
    """What is done: a part is opened, or a test is made."""
    return _("Open: {part}").format(part=row.name) if row.kind == OPEN else row.name


def look_in_full(row: LookRow) -> str:
    """What is done, and of which parts or circuit it speaks."""
    lines = [look_name(row)]
    if row.kind != OPEN:
        lines.append(_("speaks of: {parts}").format(parts=", ".join(row.on)))
    if row.added:
        lines.append(_("It stands on the inspection."))
    return "\n".join(lines)


def time_words(row: LookRow, formats: Formats) -> str:
    """How long it takes: hours of work, and days until the result."""
    if row.hours is None or row.days is None:
        return _("with the strip")
    hours = _("{n} h").format(n=formats.number(row.hours))
    return (
        _("{hours}, {n} d").format(hours=hours, n=formats.number(row.days)) if row.days else hours
    )


def detects_words(row: LookRow, formats: Formats) -> str:
    """How often it finds what is worn; opening always does."""
    return formats.percent(1 if row.detects is None else row.detects)


def care_words(row: LookRow) -> str:
    """The hazards to beware of, short."""
    return ", ".join(one.hazard for one in row.cautions) or DASH


def care_in_full(row: LookRow) -> str:
    """The hazards with what to do."""
    return "\n".join(f"{one.hazard}: {one.caution}" for one in row.cautions)


def spread_words(found: OpenFirst, formats: Formats) -> str:
    """What the looks are held against."""
    return _("{point} less the mean is {sum} now; the largest expected fall first").format(
        point=percentile_name(found.confidence).split(",")[0], sum=formats.money(found.spread)
    )


def look_reasons(row: LookRow, found: OpenFirst, formats: Formats) -> tuple[str, Reasons]:
    """The figure of a look for the why panel, with its own reasons."""
    name = f"look/{row.id}"
    reasons = Reasons()
    reasons.note(
        Figure(
            name=name,
            title=_("Expected fall: {look}").format(look=look_name(row)),
            value=row.fall,
            formula=f"{sentence(row, found, formats)}{_care(row)}",
            numbers=_numbers(row, found, formats),
            rule=_("What it finds is priced, not saved: opening moves money from exposed to firm."),
        )
    )
    return name, reasons


def _care(row: LookRow) -> str:
    if not row.cautions:
        return ""
    return "\n\n" + _("Take care.") + "\n" + care_in_full(row)


def sentence(row: LookRow, found: OpenFirst, formats: Formats) -> str:
    """What the look costs and what it is expected to do, as one says it."""
    point = percentile_name(found.confidence).split(",")[0]
    if row.cost is None:
        first = _("{look} comes with the strip, at no cost of its own.")
    elif not row.cost:
        first = _("{look} takes {time} and costs nothing besides.")
    else:
        first = _("{look} costs {cost} and takes {time}.")
    words = [
        first.format(
            look=look_name(row),
            cost=formats.money(row.cost) if row.cost is not None else "",
            time=time_words(row, formats),
        ),
        _("{point} less mean, {spread} now, is expected to fall by {fall}.").format(
            point=point, spread=formats.money(found.spread), fall=formats.money(row.fall)
        ),
        _("It decides how a part is put right {n} times in 100.").format(
            n=_in_hundred(row.changes_disposition)
        ),
    ]
    if row.changes_decision > 0:
        words.append(
            _("It turns the decision to go on {n} times in 100.").format(
                n=_in_hundred(row.changes_decision)
            )
        )
    return " ".join(words)


def _in_hundred(chance: float) -> str:
    return f"{chance * 100:.0f}"


def _numbers(row: LookRow, found: OpenFirst, formats: Formats) -> tuple[tuple[str, str], ...]:
    said = [
        (_("detects"), detects_words(row, formats)),
        (_("changes a disposition"), formats.percent(row.changes_disposition)),
        (_("changes the decision"), formats.percent(row.changes_decision)),
    ]
    if row.chance is not None:
        said.insert(0, (_("chance that it is worn"), formats.percent(row.chance)))
    limit = found.limit
    said.append(
        (
            _("a rebuild is worth, at most {share} of new").format(
                share=formats.percent(Decimal(limit.share))
            ),
            formats.money(limit.amount),
        )
    )
    return tuple(said)
