"""Writes the parts of `catalog/README.md` that follow from the catalogue itself: how many rows each
file holds, which class has which trait, what each class comes to, and what each column holds.

    python packaging/catalogue_readme.py            all of it: pricing every class takes minutes
    python packaging/catalogue_readme.py --quick    all but the prices

Text between a line `<!-- made: NAME -->` and `<!-- end -->` is made here; the rest is written by
hand.
"""

from __future__ import annotations

import re
import sys
import typing
from collections.abc import Callable, Iterator
from dataclasses import MISSING, fields
from datetime import date
from decimal import Decimal
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from estimator.domain.catalogue.catalogue import TABLES, Catalogue  # noqa: E402
from estimator.domain.catalogue.column import Limits  # noqa: E402
from estimator.domain.catalogue.name_rows import CatalogueName  # noqa: E402
from estimator.domain.catalogue.rows import Clause, Row  # noqa: E402
from estimator.domain.plausibility import SMALL_KG, ClassPrice  # noqa: E402
from estimator.services.open_catalogue import open_catalogue  # noqa: E402
from estimator.services.price_classes import price_classes  # noqa: E402

README = ROOT / "catalog" / "README.md"
PRICED_ON = date(2026, 11, 26)  # fixed, so that the table changes only where the catalogue does
TOP_AT = 15_000
_BLOCK = re.compile(r"(<!-- made: (\w+) -->\n).*?(<!-- end -->)", re.S)


def classes(catalogue: Catalogue) -> Iterator[str]:
    """The machine classes, with size and price."""
    yield "| Class | Machine | Mass, t | Power, kW | New, likely | New in, weeks |"
    yield "|---|---|---|---:|---:|---:|"
    for row in catalogue.classes.values():
        yield (
            f"| `{row.id}` | {row.type} | {row.mass_from_kg / 1000:g}-{row.mass_to_kg / 1000:g} "
            f"({row.operating_mass_kg / 1000:g}) | {row.net_power_kw:g} "
            f"| {row.new_price_likely:,.0f} | {row.new_lead_weeks:g} |"
        )


def counts(catalogue: Catalogue) -> Iterator[str]:
    """Distinct pieces of work and where rows come from."""
    named = {
        "operations": "standard operations", "parts": "parts groups", "outwork": "outwork services",
        "cautions": "cautions", "tests": "tests and looks", "measures": "measures",
    }  # fmt: skip
    yield "| Table | Distinct | Rows | Starting values | Own or supplier |"
    yield "|---|---:|---:|---:|---:|"
    for table, words in named.items():
        found = catalogue.tables[table]
        distinct = {
            (getattr(one, "component", ""), getattr(one, "name", getattr(one, "caution", "")))
            for one in found
        }
        starting = sum(one.origin == "starting value" for one in found)
        yield (
            f"| {words} | {len(distinct):,} | {len(found):,} | {starting:,} "
            f"| {len(found) - starting:,} |"
        )


def traits(catalogue: Catalogue) -> Iterator[str]:
    """Which class has which trait."""
    yield "| Trait | Has it |"
    yield "|---|---|"
    having: dict[str, list[str]] = {}
    for row in catalogue.classes.values():
        for trait in row.traits:
            having.setdefault(trait, []).append(row.id)
    for trait in sorted(having):
        yield f"| `{trait}` | {', '.join(having[trait])} |"


def prices(found: tuple[ClassPrice, ...]) -> Iterator[str]:
    """What each class comes to, at each level and hours."""
    yield (
        "| Class | Level | At, h | Man-hours | Labour | Parts | Outwork | Contingency, 8 in 10 "
        "| Net, unseen | Likely | Share of new | Usual | Weeks, 5 in 10 |"
    )
    yield "|---|---|---:|---:|---:|---:|---:|---:|---:|---:|---:|---|---:|"
    for one in found:
        low, high = one.band
        mark = {"above": " above", "below": " below", "": ""}[one.outside]
        sums = (one.labour, one.parts, one.outwork, one.contingency, one.net, one.likely)
        yield (
            f"| {one.class_id} | {one.level} | {one.machine_hours:,} | {one.hours:,.0f} | "
            + " | ".join(f"{each.amount:,.0f}" for each in sums)
            + f" | {one.share:.1%}{mark} | {low:.0%}-{high:.0%} | {one.weeks} |"
        )


def remarks(catalogue: Catalogue, found: tuple[ClassPrice, ...]) -> Iterator[str]:
    """Every class outside its usual band at full hours, with the reason that the size gives."""
    for one in found:
        if one.machine_hours != TOP_AT or not one.outside or one.level == "repair":
            continue
        row = catalogue.classes[one.class_id]
        small = row.operating_mass_kg < SMALL_KG and one.outside == "above"
        why = (
            "hours fall slower than the price of a new machine as machines get smaller, so the "
            "program warns and the quote should be compared with new"
            if small
            else "nobody has looked yet; what an inspection calls in is not in it"
            if one.outside == "below"
            else "see its dearest lines"
        )
        share = f"{one.share:.1%}, {one.outside} the usual band"
        yield f"- {one.class_id}, {one.level}: {share}; {why}."


def dearest(found: tuple[ClassPrice, ...]) -> Iterator[str]:
    """The ten dearest lines of each class and level at full hours."""
    for one in found:
        if one.machine_hours == TOP_AT:
            lines = "; ".join(f"{name} {amount.amount:,.0f}" for _, name, amount in one.top)
            yield f"- **{one.class_id} {one.level}**: {lines}."


def columns(catalogue: Catalogue) -> Iterator[str]:
    """What each column of each file holds."""
    del catalogue
    tables: dict[str, type[Row]] = {f"{name}.csv": kind for name, kind in TABLES.items()}
    tables |= {"clauses/en.csv": Clause, "names/LANGUAGE.csv": CatalogueName}
    for name, kind in tables.items():
        yield f"### `{name}`\n"
        yield "| Column | Must be filled | Holds | What it means |"
        yield "|---|---|---|---|"
        hints = typing.get_type_hints(kind)
        first = [one for one in fields(kind) if one.name not in ("needs", "origin", "source")]
        last = [one for one in fields(kind) if one.name in ("needs", "origin", "source")]
        for one in [*first, *sorted(last, key=lambda each: each.name)]:
            limits = one.metadata.get("limits")
            if isinstance(limits, Limits):
                must = "yes" if one.default is MISSING else ""
                what = limits.what + (
                    ": " + ", ".join(f"`{choice}`" for choice in limits.choices if choice)
                    if limits.choices and "own, supplier" not in limits.what
                    else ""
                )
                yield f"| `{one.name}` | {must} | {_holds(hints[one.name], limits)} | {what} |"
        yield ""


def _holds(kind: object, limits: Limits) -> str:
    several = typing.get_origin(kind) is tuple
    if limits.refers == "unit":
        return "unit"
    if limits.refers == "currency":
        return "currency, ISO 4217"
    if limits.refers:
        return f"code{'s' if several else ''} of `{limits.refers}`{', `;` between' * several}"
    if several:
        return "list, `;` between"
    plain = next((one for one in typing.get_args(kind) if one is not type(None)), kind)
    bounds = _bounds(limits)
    words = {Decimal: "number", int: "whole number", bool: "yes or no"}
    if plain is date:
        return "date, 2026-11-30"
    return words.get(plain, "text") + bounds  # type: ignore[call-overload]


def _bounds(limits: Limits) -> str:
    low = f", above {limits.above}" if limits.above is not None else ""
    low = f", from {limits.low}" if limits.low is not None else low
    return low + (f" to {limits.high}" if limits.high is not None else "")


def main(arguments: list[str]) -> None:
    """Write the blocks anew."""
    catalogue = open_catalogue(ROOT / "catalog")
    makers: dict[str, Callable[[], Iterator[str]]] = {
        "classes": lambda: classes(catalogue),
        "counts": lambda: counts(catalogue),
        "traits": lambda: traits(catalogue),
        "columns": lambda: columns(catalogue),
    }
    if "--quick" not in arguments:
        found = price_classes(ROOT / "catalog", PRICED_ON, progress=print)
        makers |= {
            "prices": lambda: prices(found),
            "remarks": lambda: remarks(catalogue, found),
            "dearest": lambda: dearest(found),
        }

    def made(block: re.Match[str]) -> str:
        maker = makers.get(block[2])
        return block[0] if maker is None else block[1] + "\n".join(maker()) + "\n" + block[3]

    README.write_text(_BLOCK.sub(made, README.read_text(encoding="utf-8")), encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
