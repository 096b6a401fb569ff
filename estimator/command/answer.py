"""What all verbs share: how one is added, how it answers, how it says what is being done."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from estimator.domain.problem import Problem

Options = argparse.Namespace


def add_verb(
    verbs: Any, name: str, run: Callable[[Options], int | None], text: str
) -> argparse.ArgumentParser:
    """Add one verb with what every verb takes."""
    one: argparse.ArgumentParser = verbs.add_parser(
        name, help=text, description=text[0].upper() + text[1:] + "."
    )
    one.add_argument("--catalogue", type=Path, help="catalogue folder (default: the one supplied)")
    one.add_argument("--json", action="store_true", help="answer as JSON")
    one.set_defaults(run=run)
    return one


def progress(options: Options) -> Callable[[str], None]:
    """Say what is being done where a person looks on."""
    if options.quiet or not sys.stderr.isatty():
        return lambda _: None
    return lambda step: print(f"\r{step:<24}", end="\n" if step == "done" else "", file=sys.stderr)


def say_warnings(problems: Iterable[Problem]) -> None:
    """What to look at, on stderr, so that it is seen whatever becomes of the result."""
    for problem in problems:
        print(f"Look at: {problem}", file=sys.stderr)


def answer(options: Options, data: object, text: str) -> None:
    """The result, as JSON or as text."""
    print(json.dumps(data, ensure_ascii=False, indent=2) if options.json else text)
