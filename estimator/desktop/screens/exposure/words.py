"""How the Exposure page says chances, bounds and what a chance rests on; and the curve's words."""

from __future__ import annotations

from decimal import Decimal

from estimator.desktop.drawing.curve_scale import Before, CostCurveData, Flag
from estimator.desktop.formats import DASH, THIN, Formats
from estimator.desktop.language import _, ngettext
from estimator.desktop.trade_words import disposition_word
from estimator.domain.money import Money
from estimator.services.compare_exposure import Moved, moved
from estimator.services.show_exposure import MEAN, NOTHING, ExposureView, HeldAt
from estimator.services.show_unseen import UnseenRow

TEN = 10


def in_ten(tenths: int) -> str:
    """A chance as a fitter says it."""
    if tenths <= 0:
        return _("under 1 in 10")
    if tenths >= TEN:
        return _("over 9 in 10")
    return _("{n} in 10").format(n=tenths)


def chance(row: UnseenRow, formats: Formats) -> str:
    """A chance in words and per cent."""
    return _("{odds}, {share}").format(odds=in_ten(row.tenths), share=formats.percent(row.chance))


def between(row: UnseenRow, formats: Formats) -> str:
    """The interval of a chance, in per cent without the sign."""
    low, high = (formats.percent(one) for one in (row.chance_low, row.chance_high))
    low = low.split(THIN)[0]
    return f"{low}{DASH}{high}"


def between_in_full(row: UnseenRow, formats: Formats) -> str:
    """The interval of a chance, and how much of it that is."""
    return _("four times in five the chance itself lies between {low} and {high}").format(
        low=formats.percent(row.chance_low), high=formats.percent(row.chance_high)
    )


def span(row: UnseenRow, formats: Formats) -> str:
    """A range of money: low, likely, high."""
    low, likely, high = (formats.sum(one) for one in (row.low, row.likely, row.high))
    return _("{low} to {high}, likely {likely}").format(low=low, likely=likely, high=high)


def ways_in_full(row: UnseenRow, formats: Formats) -> str:
    """What a part would cost, way by way where there are several."""
    lines = [span(row, formats)]
    if len(row.ways) > 1:
        lines += [
            _("{way}, {share}: {sum}").format(
                way=disposition_word(one.way),
                share=formats.percent(one.share),
                sum=formats.sum(one.likely),
            )
            for one in row.ways
        ]
    return "\n".join(lines)


def part_in_full(row: UnseenRow) -> str:
    """A part with all that may be cut or left out of its row."""
    first = f"{row.part} {row.name}, {row.group}: {disposition_word(row.way)}"
    return f"{first}\n{row.circuit}" if row.circuit else first


def said(confidence: Decimal) -> str:
    """A confidence as odds: 8 in 10, 83 in 100."""
    tenths, rest = divmod(confidence * TEN, 1)
    if rest:
        return _("{n} in 100").format(n=f"{(confidence * 100).normalize():f}")
    return _("{n} in 10").format(n=int(tenths))


def ruling(held: HeldAt) -> str:
    """Which bound rules, in words."""
    if held.bound == NOTHING:
        return _("nothing is held")
    return _("mean rules") if held.bound == MEAN else _("percentile rules")


def rests_on(row: UnseenRow) -> str:
    """What a chance rests on, short."""
    if row.own_cases:
        return ngettext("{n} own", "{n} own", row.own_cases).format(n=row.own_cases)
    return {"starting value": _("starting"), "judged": _("judged")}.get(row.rests_on, row.rests_on)


def rests_in_full(row: UnseenRow) -> str:
    """What a chance rests on, in full."""
    if row.own_cases:
        return ngettext(
            "{n} case of the workshop's own", "{n} cases of the workshop's own", row.own_cases
        ).format(n=row.own_cases)
    return {
        "starting value": _("starting value of the catalogue, no own case yet"),
        "judged": _("judged by the workshop, no own case yet"),
    }.get(row.rests_on, row.rests_on)


def percentile_name(confidence: Decimal) -> str:
    """A point of the curve: P80, 8 in 10."""
    number = f"{(confidence * 100).normalize():f}"
    return _("P{n}, {odds}").format(n=number, odds=said(confidence))


def curve_words() -> str:
    """What the curve tells."""
    return _("chance, in our judgement, that the final sum is at or under each figure")


def signed(sum_: Money, formats: Formats) -> str:
    """A change of money, with its sign."""
    return f"+{formats.money(sum_)}" if sum_.minor > 0 else formats.money(sum_)


def moved_words(change: Moved, formats: Formats) -> str:
    """What the contingency was and is. Where priced work moved too, so did money from one to the
    other, which is no saving: then that is said with it."""
    text = _("Before: contingency {before}; now {now} ({change})").format(
        before=formats.money(change.before),
        now=formats.money(change.now),
        change=signed(change.change, formats),
    )
    if change.base_change:
        text += _("; priced work {base}, price {total}").format(
            base=signed(change.base_change, formats), total=signed(change.total_change, formats)
        )
    return text


def _before(earlier: ExposureView | None, now: ExposureView, formats: Formats) -> Before | None:
    if earlier is None or moved(earlier, now, now.confidence) is None:
        return None

    def words(at: Decimal) -> str:
        held = earlier.held.get(at)
        sum_ = formats.money(held.reached) if held is not None else DASH
        return _("before {sum}").format(sum=sum_)

    return Before(earlier.points, words)


def curve_data(
    view: ExposureView,
    confidence: Decimal,
    formats: Formats,
    earlier: ExposureView | None = None,
) -> CostCurveData:
    """What the curve draws, with its handle at a confidence; `earlier` stands as a ghost."""
    currency = view.base.currency
    words = [_("Priced work"), formats.money(view.base)]
    if view.points[0][0] < view.base.minor:
        words += [_("provisional lines may fall:"), _("the curve starts left of it")]
    return CostCurveData(
        points=view.points,
        confidence=confidence,
        base=view.base.minor,
        base_words=words,
        flags=[
            Flag(
                held.confidence,
                held.reached.minor,
                percentile_name(held.confidence),
                formats.money(held.reached),
            )
            for held in view.flags
        ],
        amount_words=lambda minor: formats.money(Money(minor, currency)),
        chance_words=formats.percent,
        handle_words=lambda at: _("{point}   {sum}").format(
            point=percentile_name(at), sum=formats.money(view.held[at].reached)
        ),
        mean=view.mean_total.minor,
        mean_words=_("mean {sum}").format(sum=formats.money(view.mean_total)),
        before=_before(earlier, view, formats),
    )
