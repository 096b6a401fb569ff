"""The application's one style sheet, made of the tokens."""

from __future__ import annotations

from collections.abc import Mapping
from string import Template

from estimator.installed import data_root


def window_style_sheet(name: str, shades: Mapping[str, str], lengths: Mapping[str, int]) -> str:
    """Fill resources/styles/window.qss for the theme `name`.

    `shades` are colours as #rrggbb by token, `lengths` logical pixels by token, which the sheet
    names with _px at the end. Raises KeyError where the sheet asks for a token that is not there.
    """
    resources = data_root() / "resources"
    # frame.qss holds what pages add: both are read, in this order.
    sheet = "\n".join(
        (resources / "styles" / f"{part}.qss").read_text(encoding="utf-8")
        for part in ("window", "frame")
    )
    values = dict(shades) | {f"{token}_px": f"{size}px" for token, size in lengths.items()}
    values["icons"] = (resources / "icons").as_posix()
    values["theme"] = name
    # Padding, border and content of a control add up to its height.
    values["field_content"] = f"{lengths['control'] - 2}px"
    values["tool_content"] = f"{lengths['tool_control'] - 2}px"
    values["head_content"] = f"{lengths['head'] - 1}px"
    return Template(sheet).substitute(values)
