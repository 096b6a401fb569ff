"""Reading `catalogue.toml`: the workshop's figures that are no row of a table."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

from estimator.domain.catalogue.catalogue import Settings
from estimator.domain.money import MINOR_DIGITS
from estimator.domain.problem import Place, Problem
from estimator.domain.wording import worded
from estimator.intake.cells import plain_number
from estimator.intake.structured import read_toml
from estimator.intake.text_file import read_text

Data = dict[str, Any]
FORMAT = 1
WHOLE = ("scenarios", "scenario_seed")
NUMBERS: dict[str, tuple[str, Decimal, Decimal]] = {
    # setting: (section, lowest, highest)
    "firm_chance": ("condition", Decimal("0.5"), Decimal(1)),
    "reuse_percent": ("condition", Decimal(0), Decimal(100)),
    "recondition_percent": ("condition", Decimal(0), Decimal(100)),
    "circuit_test_centre": ("exposure", Decimal(-3), Decimal(3)),
    "circuit_test_width": ("exposure", Decimal("0.05"), Decimal(5)),
    "scale_spread": ("exposure", Decimal("0.01"), Decimal(2)),
    "shape_spread": ("exposure", Decimal("0.01"), Decimal(2)),
    "workshop_cost_share": ("exposure", Decimal(0), Decimal(1)),
    "productivity": ("programme", Decimal("0.1"), Decimal(1)),
    "hours_per_day": ("programme", Decimal(1), Decimal(24)),
    "scenarios": ("programme", Decimal(100), Decimal(200000)),
    "scenario_seed": ("programme", Decimal(0), Decimal(2**31)),
}
MAY_BE_LEFT_OUT = ("workshop_cost_share",)  # `Settings` holds what is taken then
SPREADS = ("work_spread", "outwork_spread", "lead_spread")


def read_settings(path: Path) -> tuple[Settings | None, str, list[Problem]]:
    """(settings or None, version, faults) of a `catalogue.toml`."""
    text, problems = read_text(path)
    if problems:
        return None, "", problems
    data, problems = read_toml(text, path.name)
    if data is None:
        return None, "", problems
    values = {
        **_numbers(data, path, problems),
        **_spreads(data, path, problems),
        **_workshop(data, path, problems),
    }
    version = str(data.get("version", ""))
    if not version:
        problems.append(_fault(path, "version", "is missing; it names this edition."))
    if data.get("format") != FORMAT:
        problems.append(_fault(path, "format", f"must be {FORMAT} for this program."))
    if problems:
        return None, version, problems
    return Settings(**values), version, []


def _numbers(data: Data, path: Path, problems: list[Problem]) -> Data:
    values: Data = {}
    for name, (section, low, high) in NUMBERS.items():
        value: Any = _section(data, section).get(name)
        where = f"[{section}] {name}"
        if value is None and name in MAY_BE_LEFT_OUT:
            continue
        if not _is_number(value):
            problems.append(_fault(path, where, "is missing or not a number."))
        elif not low <= value <= high:
            problems.append(_fault(path, where, f"is {value}; it lies between {low} and {high}."))
        elif name in WHOLE and value != int(value):
            problems.append(_fault(path, where, f"is {value}, not a whole number."))
        elif name in WHOLE:
            values[name] = int(value)
        else:
            values[name] = Decimal(value)
    return values


def _spreads(data: Data, path: Path, problems: list[Problem]) -> Data:
    values: Data = {}
    for name in SPREADS:
        spread: Any = _section(data, "programme").get(name)
        if _is_spread(spread):
            values[name] = tuple(Decimal(one) for one in spread)
        else:
            problems.append(
                _fault(path, f"[programme] {name}", "must be three rising numbers above zero.")
            )
    return values


def _workshop(data: Data, path: Path, problems: list[Problem]) -> Data:
    values: Data = {}
    for name in ("currency", "reference_class"):
        value = _section(data, "workshop").get(name)
        if not isinstance(value, str) or (name == "currency" and value not in MINOR_DIGITS):
            problems.append(_fault(path, f"[workshop] {name}", "is missing or not known."))
        values[name] = value
    return values


def figure_fault(name: str, text: str) -> str:
    """What is wrong with a figure as it is typed, in words; "" where nothing is. Of a spread three
    numbers with ";" between."""
    if name in SPREADS:
        spread = [plain_number(one.strip()) for one in text.split(";")]
        return "" if _is_spread(spread) else worded("must be three rising numbers above zero.")
    if name not in NUMBERS:
        known = name != "currency" or text in MINOR_DIGITS
        return "" if known else worded("is not known.")
    _, low, high = NUMBERS[name]
    number = plain_number(text)
    if number is None:
        return worded("is no number.")
    if not low <= number <= high:
        return worded("is {number}; it lies between {low} and {high}.",
                      number=number, low=low, high=high)  # fmt: skip
    whole = name not in WHOLE or number == int(number)
    return "" if whole else worded("is {number}, not a whole number.", number=number)


def _section(data: Data, name: str) -> Data:
    section = data.get(name)
    return section if isinstance(section, dict) else {}


def _is_spread(value: Any) -> bool:
    if not isinstance(value, list) or len(value) != len(("low", "likely", "high")):
        return False
    if not all(map(_is_number, value)):
        return False
    return bool(0 < value[0] <= value[1] <= value[2] and value[0] < value[2])


def _is_number(value: object) -> bool:
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        return False
    return plain_number(str(value)) is not None


def _fault(path: Path, what: str, message: str) -> Problem:
    return Problem("bad-setting", Place(path.name, None, what), message, "Mend the setting.")
