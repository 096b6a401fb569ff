"""Reading a house style written as TOML, drawings from files beside it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from estimator.domain.house_style import PAPERS, Drawing, HouseStyle, Signature
from estimator.domain.problem import Place, Problem
from estimator.domain.wording import worded
from estimator.intake.drawings import MOST_BYTES, NoDrawing, read_drawing, refused
from estimator.intake.plain_text import hidden_sign
from estimator.intake.structured import read_toml
from estimator.intake.text_file import read_text

_LINES = ("phone", "email", "web", "rule_colour", "head_colour", "paper", "terms")
_LISTS = ("registration", "footer")
_ALL = (*_LINES, *_LISTS, "logo", "signatures")


def read_style_file(path: Path, before: HouseStyle) -> tuple[HouseStyle | None, list[Problem]]:
    """`before` with what the file tells, and every fault; None if any was found.

    Entries are named like the fields of a style; what is left out stays as it was. `logo` and each
    signature's `picture` name an SVG or PNG beside the file; `logo = ""` takes the logo out.
    """
    text, problems = read_text(path)
    if problems:
        return None, problems
    data, problems = read_toml(text, path.name)
    if data is None:
        return None, problems
    values: dict[str, Any] = {}
    for name in data:
        if name not in _ALL:
            problems.append(_fault(path, name, worded("is no entry of a house style."),
                                   worded("Use: {names}.", names=", ".join(_ALL))))  # fmt: skip
    for name in _LINES:
        if name in data:
            values[name] = _text(path, name, data[name], problems)
    for name in _LISTS:
        if name in data:
            values[name] = _texts(path, name, data[name], problems)
    if values.get("paper", "") not in PAPERS:
        problems.append(_fault(path, "paper", worded("is no paper size."),
                               worded("Write A4 or Letter, or nothing.")))  # fmt: skip
    if "logo" in data:
        values["logo"] = _drawing(path, "logo", data["logo"], problems) if data["logo"] else None
    if "signatures" in data:
        values["signatures"] = _signatures(path, data["signatures"], problems)
    return (None, problems) if problems else (replace(before, **values), [])


def _text(path: Path, name: str, value: Any, problems: list[Problem]) -> str:
    if not isinstance(value, str):
        problems.append(_fault(path, name, worded("is no text."), worded("Write it in quotes.")))
        return ""
    if fault := hidden_sign(value.replace("\n", " ")):
        problems.append(_fault(path, name, fault, worded("Type the text again.")))
    return value.strip()


def _texts(path: Path, name: str, value: Any, problems: list[Problem]) -> tuple[str, ...]:
    if not isinstance(value, list):
        problems.append(_fault(path, name, worded("is no list of texts."),
                               worded('Write ["A", "B"].')))  # fmt: skip
        return ()
    return tuple(_text(path, name, one, problems) for one in value)


def _signatures(path: Path, value: Any, problems: list[Problem]) -> tuple[Signature, ...]:
    rows = value if isinstance(value, list) else [value]
    found = []
    for row in rows:
        if not isinstance(row, dict):
            problems.append(_fault(path, "signatures", worded("is no table."),
                                   worded("Begin each with [[signatures]].")))  # fmt: skip
            continue
        name, capacity = (_text(path, f"signatures {key}", row.get(key, ""), problems)
                          for key in ("name", "capacity"))  # fmt: skip
        picture = _drawing(path, "signatures picture", row.get("picture", ""), problems)
        if picture is not None:
            found.append(Signature(name, capacity, picture))
    return tuple(found)


def _drawing(path: Path, name: str, value: Any, problems: list[Problem]) -> Drawing | None:
    if not isinstance(value, str) or not value:
        problems.append(_fault(path, name, worded("names no file."),
                               worded("Name an SVG or PNG beside this file.")))  # fmt: skip
        return None
    file = path.parent / value
    try:
        with file.open("rb") as opened:
            return read_drawing(opened.read(MOST_BYTES + 1))
    except NoDrawing as error:
        problems.append(_fault(path, name, refused(value, error.args[0]),
                               worded("Hand in an SVG of plain shapes, or a PNG.")))  # fmt: skip
    except (OSError, ValueError):
        problems.append(_fault(path, name, worded("{file} cannot be read.", file=value),
                               worded("Put it beside this file.")))  # fmt: skip
    return None


def _fault(path: Path, name: str, message: str, remedy: str) -> Problem:
    return Problem("bad-entry", Place(path.name, None, name), message, remedy)
