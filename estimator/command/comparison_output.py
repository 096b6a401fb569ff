"""A rebuild beside a new machine, as data and as lines of text."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from estimator.command.columns import table
from estimator.domain.money import Money
from estimator.domain.new_machine_data import new_machine_as_data
from estimator.domain.rebuild_or_new.cases import ENDS
from estimator.domain.rebuild_or_new.compared import Carbon, Comparison, Way
from estimator.domain.rebuild_or_new.noting import titled

Data = dict[str, Any]


def comparison_data(found: Comparison) -> Data:
    """Every figure of the page: sums as text in `currency`, weeks, hours, years and shares as
    text; low, likely and high where there are three."""
    job = found.priced.job
    return {
        "job": job.title,
        "currency": found.inputs.currency,
        "share_of_new": str(found.share),
        "usual_share": [str(one) for one in found.usual],
        "above_usual": found.above_usual,
        "rebuilt": _way_data(found.rebuilt),
        "new": _way_data(found.new),
        "ready": dict(zip(ENDS, (day.isoformat() for day in found.ready), strict=True)),
        "break_even": _plain(found.turns_at),
        "cheaper_per_hour": found.by_hour,
        "cheaper_per_year": found.by_year,
        "ranges_apart": found.apart,
        "monthly_payment": _plain(found.monthly),
        "fuel_payback_hours": None if found.payback_hours is None else f"{found.payback_hours:.0f}",
        "counted": {"fuel": found.fuel_counted, "upkeep": found.upkeep_counted,
                    "waiting": found.waiting_counted},
        "moves": [
            {"name": one.name, "at_low": f"{one.at_low:.2f}", "at_high": f"{one.at_high:.2f}",
             "own_range": one.given, "turns_the_answer": one.turns}
            for one in found.moves
        ],
        "carbon": {
            name: _carbon_data(one)
            for name, one in (("material", found.material), ("fuel", found.fuel))
            if one is not None
        },
        "inputs": new_machine_as_data(found.inputs),
    }  # fmt: skip


def _plain(amount: Money) -> str:
    return f"{amount.amount:f}"


def _ends(values: Iterable[object]) -> dict[str, str]:
    return dict(zip(ENDS, map(str, values), strict=True))


def _way_data(way: Way) -> Data:
    return {
        "price": _ends(map(_plain, way.price)),
        "weeks": _ends(way.weeks),
        "weeks_without": _ends(way.without),
        "waiting": _ends(map(_plain, way.waiting)),
        "residual": _ends(map(_plain, way.residual)),
        "hours": str(way.hours),
        "years": str(way.years),
        "fuel_per_hour": _plain(way.fuel),
        "upkeep_per_hour": _plain(way.upkeep),
        "per_hour": _ends(map(_plain, way.per_hour)),
        "per_year": _plain(way.per_year),
    }


def _carbon_data(one: Carbon) -> Data:
    factor = one.factor
    return {
        "amount": str(one.amount), "kilograms": str(one.kilograms), "gas": factor.gas,
        "factor": str(factor.value), "covers": factor.covers, "gwp": factor.gwp,
        "edition": factor.edition, "source": factor.source,
    }  # fmt: skip


def comparison_text(found: Comparison) -> str:
    """The page in short, for a terminal."""
    one, two = found.rebuilt, found.new
    rows = [
        ("price, likely", _sum(one.price[1]), _sum(two.price[1])),
        ("weeks to ready, likely", str(one.weeks[1]), str(two.weeks[1])),
        ("time without a machine", _sum(one.waiting[1]), _sum(two.waiting[1])),
        ("hours of work", str(one.hours), str(two.hours)),
        *((f"cost per hour, {end}", _sum(one.per_hour[at]), _sum(two.per_hour[at]))
          for at, end in enumerate(ENDS)),
        ("cost a year", _sum(one.per_year), _sum(two.per_year)),
    ]  # fmt: skip
    most = titled(found.moves[0].name) if found.moves else "nothing"
    return "\n".join((
        f"{found.priced.job.title}: {found.share * 100:.1f} % of a new machine "
        f"(usual {found.usual[0] * 100:.0f} to {found.usual[1] * 100:.0f} %), in "
        f"{found.inputs.currency} before tax.",
        table(("", "Rebuild", "New"), rows, right=(1, 2)),
        f"Less per hour: {found.by_hour}; by the year: {found.by_year}. It turns at a rebuild "
        f"price of {_sum(found.turns_at)}. Most moves: {most}.",
    ))  # fmt: skip


def _sum(amount: Money) -> str:
    return f"{amount.amount:,f}"
