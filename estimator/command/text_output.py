"""Results as text a person reads in a terminal. Sums are in the quote's currency."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from estimator.command.columns import table
from estimator.domain.money import Money
from estimator.domain.options import LevelOption, WayOption
from estimator.domain.priced_job import PricedJob
from estimator.domain.teardown import TeardownOffer
from estimator.domain.totals import KINDS


def amount(money: Money) -> str:
    """A sum with thousands marks; minor units only where there are some."""
    whole = money.amount == money.amount.to_integral_value()
    return f"{money.amount:,.0f}" if whole else f"{money.amount:,f}"


def percent(share: Decimal | float, places: int = 1) -> str:
    """A share as percent."""
    return f"{share * 100:.{places}f} %"


def in_ten(share: float) -> str:
    """A share of outcomes in words a fitter uses."""
    return f"{share * 10:g} in 10"


def summary_text(priced: PricedJob) -> str:
    """The figures that lead, and what an estimator should look at."""
    job, price, cat = priced.job, priced.price, priced.cat
    confidence = float(job.terms.confidence)
    unseen = len(priced.scope.unseen)
    lines = [
        f"{job.title}: {cat.machine_class.type} {job.machine.serial}, {job.machine.hours:,} h, "
        f"{job.level} rebuild for {job.customer.name}",
        f"{len(job.findings)} findings, {unseen} of them not seen or not tested; "
        f"{len(priced.lines)} priced lines, {price.hours:,.2f} man-hours; "
        f"{len(priced.exposed)} parts may be found worn",
        "",
        table(
            ("", job.terms.currency),
            [
                ("Firm (with discount, carriage, levies)", amount(price.firm)),
                ("Provisional", amount(price.provisional_lines)),
                ("Base", amount(price.base)),
                (
                    f"Contingency, {in_ten(confidence)} ({priced.contingency.bound} rules)",
                    amount(price.contingency),
                ),
                ("Price before tax", amount(price.net)),
                *(
                    (f"Tax {tax.category} {tax.rate.normalize():f} %", amount(tax.tax))
                    for tax in price.totals.taxes
                ),
                ("Price with tax", amount(price.totals.gross)),
            ],
            right=(1,),
        ),
        f"{percent(priced.share_of_new)} of a new {cat.machine_class.type}",
        "",
        f"Ready {priced.programme.finish_day.isoformat()} if nothing more is found worn "
        f"({priced.programme.weeks:.1f} weeks)",
        *(
            f"      {priced.finish.days[share].isoformat()} in {in_ten(share)}"
            for share in sorted({0.5, confidence})
        ),
    ]
    if priced.warnings:
        lines += ["", "Look at:", *(f"  {warning}" for warning in priced.warnings)]
    return "\n".join(lines)


def price_text(priced: PricedJob) -> str:
    """Subtotals by group, then the figures that lead."""
    price = priced.price
    rows = [
        (
            f"{group.group} {group.name}",
            f"{group.hours:,.2f}",
            *(amount(group.by_kind[kind]) for kind in KINDS),
            amount(group.firm),
            amount(group.provisional),
            amount(group.contingency),
        )
        for group in price.groups
    ]
    rows.append(
        (
            "All groups",
            f"{price.hours:,.2f}",
            *(amount(price.by_kind[kind]) for kind in KINDS),
            amount(price.firm_lines),
            amount(price.provisional_lines),
            amount(price.contingency),
        )
    )
    groups = table(
        ("Group", "Hours", "Labour", "Parts", "Outwork", "Firm", "Provisional", "Contingency"),
        rows,
        right=range(1, 8),
    )
    charges = table(
        ("Beside the lines", priced.job.terms.currency),
        [
            ("Discount on firm parts", amount(-price.discount)),
            ("Carriage in", amount(price.freight)),
            *(
                (levy.name + (" (capped)" if levy.capped else ""), amount(levy.amount))
                for levy in price.levies
            ),
        ],
        right=(1,),
    )
    return f"{groups}\n\n{charges}\n\n{summary_text(priced)}"


def scope_text(priced: PricedJob) -> str:
    """Every line, with why it is there."""
    rows = [
        (
            one.id,
            one.line.row.name,
            f"{one.line.quantity.normalize():f} {one.line.unit}",
            amount(one.amount),
            one.line.certainty,
            "" if one.low == one.high else f"{amount(one.low)} to {amount(one.high)}",
            one.line.why,
        )
        for one in priced.lines
    ]
    text = table(
        ("Line", "What", "Quantity", "Amount", "Certainty", "Range", "Why"),
        rows,
        right=(2, 3, 5),
        whole=(6,),
    )
    removed = [
        f"  {change.row_id}: {change.reason} ({change.by})" for change in priced.scope.removed
    ]
    unseen = [f"  {j.finding.id} {j.what} ({j.kind})" for j in priced.scope.unseen]
    if removed:
        text += "\n\nTaken out by hand:\n" + "\n".join(removed)
    return text + "\n\nNot seen or not tested:\n" + "\n".join(unseen or ["  nothing"])


def dates_text(priced: PricedJob) -> str:
    """The programme step by step, then the finish."""
    rows = []
    for step in sorted(priced.programme.steps.values(), key=lambda one: (one.timing.start, one.id)):
        if step.elapsed == 0:
            continue
        likely, covered = priced.finish.step_finish[step.id]
        rows.append(
            (
                step.id,
                step.name,
                step.bay,
                f"{step.elapsed:,.1f}",
                f"{step.lead_weeks:g}" if step.lead_weeks else "",
                step.start_day.isoformat(),
                step.finish_day.isoformat(),
                likely.isoformat(),
                covered.isoformat(),
                f"{step.timing.slack:,.1f}",
                percent(priced.finish.on_longest[step.id], 0),
            )
        )
    text = table(
        (
            "Step",
            "What",
            "Where",
            "Hours",
            "Lead, weeks",
            "Start",
            "Finish",
            "5 in 10",
            "8 in 10",
            "Slack, h",
            "On longest",
        ),
        rows,
        right=(3, 4, 9, 10),
    )
    finish = table(
        ("Ready by", "Date"),
        [
            ("nothing more found worn", priced.programme.finish_day.isoformat()),
            *((in_ten(share), day.isoformat()) for share, day in priced.finish.days.items()),
        ],
    )
    return f"{text}\n\n{finish}\n\n{priced.finish.scenarios:,} scenarios; trades are not levelled."


def levels_text(levels: Sequence[LevelOption]) -> str:
    """Rebuild levels side by side."""
    rows = [
        ("Hours", *(f"{one.hours:,.2f}" for one in levels)),
        ("Firm", *(amount(one.firm) for one in levels)),
        ("Provisional", *(amount(one.provisional) for one in levels)),
        ("Contingency", *(amount(one.contingency) for one in levels)),
        ("Price before tax", *(amount(one.net) for one in levels)),
        ("Price with tax", *(amount(one.gross) for one in levels)),
        ("Share of a new one", *(percent(one.share_of_new) for one in levels)),
        ("Usual share", *(f"{one.usual_low:.0%} to {one.usual_high:.0%}" for one in levels)),
        ("Ready, likely", *(one.ready_likely.isoformat() for one in levels)),
        ("Ready, covered", *(one.ready_covered.isoformat() for one in levels)),
    ]
    return table(("", *(one.level for one in levels)), rows, right=range(1, len(levels) + 1))


def ways_text(priced: PricedJob, ways: Sequence[WayOption]) -> str:
    """Ways of putting one part right, side by side."""
    rows = [
        ("Cost, low", *(amount(one.low) for one in ways)),
        ("Cost, likely", *(amount(one.likely) for one in ways)),
        ("Cost, high", *(amount(one.high) for one in ways)),
        ("Added days", *(f"{one.added_days:g}" for one in ways)),
        ("Contingency with it", *(amount(one.contingency) for one in ways)),
        ("Price with it", *(amount(one.net) for one in ways)),
    ]
    head = (
        priced.cat.parts[ways[0].part].name,
        *(one.way + (" *" if one.chosen else "") for one in ways),
    )
    return table(head, rows, right=range(1, len(ways) + 1)) + "\n* the way priced now"


def teardown_text(offer: TeardownOffer) -> str:
    """Strip and report only."""
    return table(
        ("Teardown only", offer.net.currency),
        [
            ("Strip, measure, report", amount(offer.net)),
            ("with tax", amount(offer.totals.gross)),
            ("Hours", f"{offer.hours:,.2f}"),
            ("Report by", offer.report_day.isoformat()),
            ("Boxed return, if you stop there", amount(offer.boxed_return.net)),
            ("Reassembly unrepaired, if you stop there", amount(offer.reassembly.net)),
            ("Longest time for it, working days", str(offer.longest_days)),
            ("Storage after free days, a day", amount(offer.storage_per_day)),
        ],
        right=(1,),
    ) + (
        "\nNeeded again to reassemble: " + ", ".join(offer.destroyed) + "."
        "\nIt may not be possible to put the machine back as it came."
    )
