"""Reading `catalogue.toml`: the workshop's figures that are no row of a table."""

from __future__ import annotations

import tomllib
from decimal import Decimal
from pathlib import Path

from estimator.domain.catalogue.catalogue import Settings
from estimator.domain.money import MINOR_DIGITS
from estimator.domain.problem import Place, Problem
from estimator.intake.text_file import read_text

NUMBERS: dict[str, tuple[str, Decimal, Decimal]] = {
    # setting: (section, lowest, highest)
    "firm_chance": ("condition", Decimal("0.5"), Decimal(1)),
    "reuse_percent": ("condition", Decimal(0), Decimal(100)),
    "recondition_percent": ("condition", Decimal(0), Decimal(100)),
    "circuit_test_centre": ("exposure", Decimal(-3), Decimal(3)),
    "circuit_test_width": ("exposure", Decimal("0.05"), Decimal(5)),
    "scale_spread": ("exposure", Decimal("0.01"), Decimal(2)),
    "shape_spread": ("exposure", Decimal("0.01"), Decimal(2)),
    "productivity": ("programme", Decimal("0.1"), Decimal(1)),
    "hours_per_day": ("programme", Decimal(1), Decimal(24)),
    "scenarios": ("programme", Decimal(100), Decimal(200000)),
    "scenario_seed": ("programme", Decimal(0), Decimal(2**31)),
}
SPREADS = ("work_spread", "outwork_spread", "lead_spread")


def read_settings(path: Path) -> tuple[Settings | None, str, list[Problem]]:
    """(settings or None, version, faults) of a `catalogue.toml`."""
    text, problems = read_text(path)
    if problems:
        return None, "", problems
    try:
        data = tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        return None, "", [Problem("bad-toml", Place(path.name), f"cannot be read: {error}.", "")]
    values: dict[str, object] = {}
    for name, (section, low, high) in NUMBERS.items():
        value = data.get(section, {}).get(name)
        if isinstance(value, bool) or not isinstance(value, int | Decimal):
            problems.append(_fault(path, f"[{section}] {name}", "is missing or not a number."))
        elif not low <= value <= high:
            problems.append(
                _fault(path, f"[{section}] {name}", f"is {value}; it lies between {low} and {high}.")
            )
        else:
            values[name] = int(value) if name in ("scenarios", "scenario_seed") else Decimal(value)
    for name in SPREADS:
        spread = data.get("programme", {}).get(name)
        if not _is_spread(spread):
            problems.append(
                _fault(path, f"[programme] {name}", "must be three rising numbers above zero.")
            )
        else:
            values[name] = tuple(Decimal(one) for one in spread)
    for name in ("currency", "reference_class"):
        value = data.get("workshop", {}).get(name)
        if not isinstance(value, str) or (name == "currency" and value not in MINOR_DIGITS):
            problems.append(_fault(path, f"[workshop] {name}", "is missing or not known."))
        values[name] = value
    version = str(data.get("version", ""))
    if not version:
        problems.append(_fault(path, "version", "is missing; it names this edition."))
    if data.get("format") != 1:
        problems.append(_fault(path, "format", "must be 1 for this program."))
    if problems:
        return None, version, problems
    return Settings(**values), version, []  # type: ignore[arg-type]


def _is_spread(value: object) -> bool:
    if not isinstance(value, list) or len(value) != 3:
        return False
    if not all(isinstance(one, int | Decimal) and not isinstance(one, bool) for one in value):
        return False
    return bool(0 < value[0] <= value[1] <= value[2] and value[0] < value[2])


def _fault(path: Path, what: str, message: str) -> Problem:
    return Problem("bad-setting", Place(path.name, None, what), message, "Mend the setting.")
