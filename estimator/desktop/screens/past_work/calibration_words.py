"""What the calibration says in words: its sentences and the columns of its two tables. No Qt."""

from __future__ import annotations

from estimator.desktop.formats import DASH, THIN, Formats
from estimator.desktop.language import _, ngettext
from estimator.desktop.widgets.columns import Column
from estimator.domain.calibration import (
    BETTER,
    BETTER_IN_HINDSIGHT,
    FLAT_AT,
    HOLDS,
    TOO_FEW,
    TOO_LOW,
    WORSE,
    Estimate,
    Inside,
    Score,
)
from estimator.services.show_calibration import CalibrationShown, Held

LOSS_PLACES = 2  # decimals of a loss in per cent


def verdict_words(shown: CalibrationShown, say: Formats) -> str:
    """What may be said of the quotes, and no more than so many jobs allow."""
    found, jobs = shown.calibration.verdict, shown.calibration.jobs
    counted = ngettext("{n} job", "{n} jobs", jobs).format(n=say.number(jobs))
    if not jobs:
        return _("No closed job was quoted with a distribution yet.")
    if found.kind == TOO_FEW:
        return _(
            "With {counted} nothing can be said yet: nothing speaks against the quotes, "
            "and as little for them."
        ).format(counted=counted)
    at = found.at
    if found.kind == HOLDS or at is None:
        at = shown.calibration.at(FLAT_AT)
        assert at is not None
        text = _(
            "Over {counted} nothing contradicts the quotes. What was quoted as {stated} held in "
            "{inside} of {jobs}: in the long run {low} to {high}."
        )
    elif found.kind == TOO_LOW:
        text = _(
            "Quotes were too low: what was quoted as {stated} held in only {inside} of {jobs}, "
            "in the long run {low} to {high}."
        )
    else:
        text = _(
            "Quotes were higher than they said: what was quoted as {stated} held in {inside} of "
            "{jobs}, in the long run {low} to {high}."
        )
    return text.format(
        counted=counted,
        stated=stated_words(at.stated, say),
        inside=say.number(at.inside),
        jobs=say.number(at.jobs),
        low=say.percent(at.low),
        high=say.percent(at.high),
    )


def flat_words(shown: CalibrationShown) -> str:
    """What may be said against a flat percentage; "" where there is nothing to compare."""
    kind = shown.calibration.flat
    if not shown.calibration.scores:
        return ""
    if kind == BETTER_IN_HINDSIGHT:
        return _(
            "At 8 in 10 the quotes missed by less than any flat percentage could have, even one "
            "chosen afterwards."
        )
    if kind == BETTER:
        return _(
            "At 8 in 10 the quotes missed by less than the best flat percentage of the other jobs."
        )
    if kind == WORSE:
        return _(
            "At 8 in 10 the quotes missed by more than the best flat percentage of the other jobs."
        )
    return _("Whether a flat percentage would have done as well cannot be told yet.")


def held_words(shown: CalibrationShown, say: Formats) -> str:
    """How many of all closed jobs stayed inside base and contingency; "" where there are none."""
    held: Held | None = shown.held
    if held is None:
        return ""
    text = _(
        "Base and contingency as quoted held in {inside} of all {jobs} closed jobs ({low} to "
        "{high} in the long run)."
    ).format(
        inside=say.number(held.inside),
        jobs=say.number(held.jobs),
        low=say.percent(held.low),
        high=say.percent(held.high),
    )
    if shown.flat_quotes:
        more = ngettext(
            "{n} of them was quoted with a flat percentage and takes no part below.",
            "{n} of them were quoted with a flat percentage and take no part below.",
            shown.flat_quotes,
        ).format(n=say.number(shown.flat_quotes))
        text = f"{text} {more}"
    return text


def mean_words(shown: CalibrationShown, say: Formats) -> str:
    """How far final sums lay from the quoted mean; "" where it cannot be told."""
    one = shown.calibration.above_mean
    if one is None:
        return ""
    return _("Final sum less quoted mean, on average: {mean} of base ({low} to {high}).").format(
        mean=say.percent(one.mean, 1), low=say.percent(one.low, 1), high=say.percent(one.high, 1)
    )


def notes() -> str:
    """What the figures count, for whoever wants to know."""
    return _(
        "Sums count as shares of the base that was quoted, so jobs of every size and currency "
        "count alike. Spans hold 95 in 100 in the long run: Wilson's for shares, a bootstrap over "
        "jobs for differences. A miss is the mean pinball loss: the lower, the better the quoted "
        "sum was placed. The flat percentage of the other jobs is the fair comparison; one chosen "
        "afterwards knew the final sums, which is a handicap for the quotes."
    )


def stated_words(share: float, say: Formats) -> str:
    """A stated share: 8 in 10."""
    return _("{n} in 10").format(n=say.number(round(share * 10)))


def point_words(row: Inside, say: Formats) -> str:
    """One point of the diagram for whoever hears it."""
    return _("quoted as {stated}: {inside} of {jobs} held, {low} to {high}").format(
        stated=stated_words(row.stated, say),
        inside=say.number(row.inside),
        jobs=say.number(row.jobs),
        low=say.percent(row.low),
        high=say.percent(row.high),
    )


def inside_columns(say: Formats) -> tuple[Column, ...]:
    """Columns of the table of jobs inside the quoted percentiles."""

    def counted(row: Inside) -> str:
        return _("{inside} of {jobs}").format(
            inside=say.number(row.inside), jobs=say.number(row.jobs)
        )

    return (
        Column("stated", _("Quoted as"), lambda row: stated_words(row.stated, say), 104),
        Column("inside", _("Held in"), counted, 96, True),
        Column("share", _("Share"), lambda row: say.percent(row.share, 1), 80, True),
        Column(
            "span",
            _("In the long run"),
            lambda row: _("{low} to {high}").format(
                low=say.percent(row.low, 1), high=say.percent(row.high, 1)
            ),
            152,
        ),
    )


def score_columns(say: Formats) -> tuple[Column, ...]:
    """Columns of the table of losses, in per cent of base."""

    def loss(share: float) -> str:
        return say.percent(share, LOSS_PLACES)

    return (
        Column("stated", _("Quoted as"), lambda row: stated_words(row.stated, say), 104),
        Column("quoted", _("Quotes"), lambda row: loss(row.quoted), 80, True),
        Column("left_out", _("Flat, other jobs"), lambda row: loss(row.flat_left_out), 112, True),
        Column("against", _("Difference"), lambda row: _span(row.against_left_out, say), 160),
        Column("hindsight", _("Flat, afterwards"), lambda row: _flat(row, say), 144, True),
        Column("handicap", _("Difference"), lambda row: _span(row.against_hindsight, say), 160),
    )


def _flat(row: Score, say: Formats) -> str:
    """The loss of the best flat percentage afterwards, and which it is."""
    loss, flat = say.percent(row.flat_hindsight, LOSS_PLACES), say.percent(row.flat_share, 1)
    return f"{loss} ({flat})"


def _span(one: Estimate | None, say: Formats) -> str:
    if one is None:
        return DASH
    mean, low, high = (
        say.percent(share, LOSS_PLACES).replace(f"{THIN}%", "")
        for share in (one.mean, one.low, one.high)
    )
    return _("{mean} ({low} to {high})").format(mean=mean, low=low, high=high)
