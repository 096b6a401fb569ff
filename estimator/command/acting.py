"""Who works on which record: what every verb of the record takes and asks for."""

from __future__ import annotations

import argparse
import getpass
import os
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from estimator.command.answer import Options, add_verb
from estimator.domain.people import Person

PASSPHRASE, RELEASER_PASSPHRASE = "SHIMWRIGHT_PASSPHRASE", "SHIMWRIGHT_RELEASER_PASSPHRASE"


def default_record() -> Path:
    """Where the record lies unless told otherwise, by the custom of each system."""
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA", str(Path.home())))
    else:
        base = Path(os.environ.get("XDG_DATA_HOME", str(Path.home() / ".local" / "share")))
    return base / "shimwright" / "record.db"


def record_verb(
    verbs: Any, name: str, run: Callable[[Options], int | None], text: str, *, acts: bool = True
) -> argparse.ArgumentParser:
    """Add a verb that works on the record; with `acts` it must be told who acts."""
    one = add_verb(verbs, name, run, text)
    one.add_argument("--record", type=Path, default=default_record(), help="the record's file")
    if acts:
        one.add_argument("--as", dest="who", required=True, help="who acts")
    return one


def now() -> datetime:
    """The time, in UTC."""
    return datetime.now(UTC)


def passphrase_of(name: str, variable: str = PASSPHRASE) -> str:
    """Someone's passphrase: from the environment, or asked for."""
    said = os.environ.get(variable)
    return said if said is not None else getpass.getpass(f"Passphrase of {name}: ")


def who_acts(record: Any, options: Options) -> Person:
    """Who acts, known by their passphrase. Raises NotAllowed."""
    from estimator.services.enrol_person import know_person

    return know_person(record, options.who, passphrase_of(options.who))
