"""The verb that prices every class of a catalogue, for somebody from the trade to read."""

from __future__ import annotations

import argparse
from datetime import date
from typing import Any

from estimator.command.acting import now
from estimator.command.answer import Options, add_verb, answer, progress
from estimator.command.columns import table
from estimator.domain.plausibility import MACHINE_HOURS, ClassPrice

MOST_HOURS = 200_000


def add_to(verbs: Any) -> None:
    """Make the verb known."""
    text = "price every machine class at different hours, to see whether a catalogue is plausible"
    one = add_verb(verbs, "price-classes", show_classes, text)
    one.add_argument("--class", dest="classes", action="append", default=[], metavar="CLASS",
                     help="only this class; may stand more than once")  # fmt: skip
    one.add_argument("--hours", type=_hours, action="append", default=[],
                     help="machine hours (default: 5000, 10000 and 15000)")  # fmt: skip
    one.add_argument("--on", type=date.fromisoformat, help="day of the enquiry (default: today)")
    one.add_argument("--top", action="store_true", help="with the ten dearest lines of each")
    one.add_argument("--quiet", action="store_true", help="say nothing while it works")
    one.set_defaults(job=None)


def _hours(text: str) -> int:
    hours = int(text)
    if not 0 < hours <= MOST_HOURS:
        raise argparse.ArgumentTypeError(f"hours lie above 0, up to {MOST_HOURS}")
    return hours


def show_classes(options: Options) -> None:
    """Price the classes."""
    from estimator.services.price_classes import price_classes

    found = price_classes(
        options.catalogue, options.on or now().date(), options.classes,
        options.hours or MACHINE_HOURS,
        progress(options),
    )  # fmt: skip
    answer(options, [class_price_data(one) for one in found], _text(found, options.top))


def class_price_data(one: ClassPrice) -> dict[str, object]:
    """One price as plain data; sums as text, in the currency named."""
    return {
        "class": one.class_id,
        "level": one.level,
        "machine_hours": one.machine_hours,
        "man_hours": str(one.hours),
        "currency": one.net.currency,
        "labour": str(one.labour.amount),
        "parts": str(one.parts.amount),
        "outwork": str(one.outwork.amount),
        "contingency": str(one.contingency.amount),
        "net": str(one.net.amount),
        "likely": str(one.likely.amount),
        "share_of_new": str(one.share),
        "usual_share": [str(end) for end in one.band],
        "outside_usual": one.outside,
        "weeks": str(one.weeks),
        "dearest": [
            {"row": code, "name": name, "amount": str(amount.amount)}
            for code, name, amount in one.top
        ],
    }


def _text(found: tuple[ClassPrice, ...], top: bool) -> str:
    heads = ["class", "level", "at, h", "man-hours", "labour", "parts", "outwork",
             "contingency", "net", "likely", "of new", "weeks"]  # fmt: skip
    rows = [
        [one.class_id, one.level, f"{one.machine_hours:,}", f"{one.hours:,.0f}",
         *(f"{sum_.amount:,.0f}" for sum_ in (one.labour, one.parts, one.outwork,
                                              one.contingency, one.net, one.likely)),
         f"{one.share:.1%}{_MARK[one.outside]}", str(one.weeks)]
        for one in found
    ]  # fmt: skip
    said = [
        table(heads, rows, range(2, len(heads))),
        "+ above, - below the usual share of a new machine.",
    ]
    if top:
        for one in found:
            said.append(f"\n{one.class_id} {one.level} at {one.machine_hours:,} h:")
            said += [f"  {code:<8} {name[:64]:<64} {amount.amount:>10,.0f}"
                     for code, name, amount in one.top]  # fmt: skip
    return "\n".join(said)


_MARK = {"above": " +", "below": " -", "": ""}
