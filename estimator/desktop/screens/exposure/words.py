"""How the Exposure page says chances, bounds and what a chance rests on; and the curve's words."""

from __future__ import annotations

from decimal import Decimal

from estimator.desktop.drawing.curve import CostCurveData, Flag
from estimator.desktop.formats import Formats
from estimator.desktop.language import _, ngettext
from estimator.domain.money import Money
from estimator.services.show_exposure import MEAN, NOTHING, ExposureView, HeldAt, UnseenRow

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


def curve_data(view: ExposureView, confidence: Decimal, formats: Formats) -> CostCurveData:
    """What the curve draws, with its handle at a confidence."""
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
    )
