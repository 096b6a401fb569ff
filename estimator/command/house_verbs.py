"""The verbs of the house style: show it, change it from a file, print a page in it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from estimator.command.acting import now, record_verb, who_acts
from estimator.command.answer import Options, answer
from estimator.domain.house_style import HouseStyle, contrast_on_white, style_data


def add_to(verbs: Any) -> None:
    """Add the verbs to the command line."""
    text = "show how the workshop's paper looks, and print a page of it"
    one = record_verb(verbs, "house-style", show, text, acts=False)
    one.add_argument("--to", type=Path, help="PDF to write a sample page to")
    one.add_argument("--locale", default="en_GB", help="how the page is written")
    one.add_argument("--replace", action="store_true", help="replace a file that is there")
    text = "change how the workshop's paper looks, from a TOML file with drawings beside it"
    change = record_verb(verbs, "change-house-style", change_style, text)
    change.add_argument("file", type=Path, metavar="FILE", help="TOML file: phone, logo ...")


def show(options: Options) -> None:
    """Show the style in force."""
    from estimator.services.house_style import house_style, print_sample
    from estimator.services.open_record import open_record

    at = now()
    with open_record(options.record, at) as record:
        kept = house_style(record)
    data = {"version": kept.version, "id": kept.style.id, **style_data(kept.style)}
    text = _in_words(kept.version, kept.style)
    if options.to is not None:
        path = print_sample(kept.style, options.to.absolute(), at.date(), options.locale,
                            replace=options.replace)  # fmt: skip
        data["pdf"] = str(path)
        text = f"{text}\nA page in it is in {path}"
    answer(options, data, text)


def change_style(options: Options) -> None:
    """Change the style in force."""
    from estimator.services.house_style import house_style, keep_house_style, style_from_file
    from estimator.services.open_record import open_record

    at = now()
    with open_record(options.record, at) as record:
        who = who_acts(record, options)
        before = house_style(record)
        style = style_from_file(options.file, before.style)
        kept = keep_house_style(record, style, who, at, before.version)
    data = {"version": kept.version, "id": kept.style.id, **style_data(kept.style)}
    answer(options, data, _in_words(kept.version, kept.style))


def _in_words(version: int, style: HouseStyle) -> str:
    lines = [
        f"House style, version {version}" if version else "House style: plain, nothing is kept yet",
        *(f"  {line}" for line in style.contact),
        f"  rules {style.rule_colour} ({contrast_on_white(style.rule_colour)} to 1 on white), "
        f"headings {style.head_colour} ({contrast_on_white(style.head_colour)} to 1)",
        f"  paper: {style.paper or 'as the language of the document has it'}",
        f"  logo: {style.logo.kind.upper() if style.logo else 'none'}",
        *(f"  signature: {one.name}" for one in style.signatures),
        *(f"  foot: {line}" for line in style.footer),
    ]
    return "\n".join(lines)
