"""Reading the command line, running one verb, and answering in plain words.

Exit codes: 0 done; 1 the input has faults (each is listed); 2 the command itself is wrong;
3 something asked for is not there; 4 a file could not be written; 5 sound input that cannot be
reckoned with; 6 the record cannot be opened; 7 the person may not do this; 8 it was changed,
issued or taken meanwhile; 9 it rests on starting values that nobody has adopted; 10 some documents
of a batch could not be written (each is listed), the others were; 70 an unexpected
error (its details are in the log).
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence

from estimator import __version__
from estimator.command import (
    batch_verbs,
    catalogue_verbs,
    class_verbs,
    clause_verbs,
    contract_look_verbs,
    contract_verbs,
    file_verbs,
    house_verbs,
    issued_paper_verbs,
    look_verbs,
    new_machine_verbs,
    paper_verbs,
    past_verbs,
    price_list_verbs,
    print_verbs,
    record_verbs,
    settle_verbs,
    sheet_verbs,
    verbs,
    work_verbs,
)
from estimator.services.errors import (
    Clash,
    Conflict,
    NotAllowed,
    NotFound,
    NotOpened,
    NotReckoned,
    NotWritten,
    Refused,
    ServiceError,
    Withheld,
)
from estimator.services.note_unexpected import note_unexpected

EXIT_CODES: dict[type[ServiceError], int] = {
    Refused: 1,
    NotFound: 3,
    NotWritten: 4,
    NotReckoned: 5,
    NotOpened: 6,
    NotAllowed: 7,
    Conflict: 8,
    Clash: 8,
    Withheld: 9,
}
UNEXPECTED = 70


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns its exit code. Results go to stdout, everything else to stderr."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    options = parser().parse_args(arguments)
    try:
        return int(options.run(options) or 0)
    except ServiceError as error:
        return report(error, as_json=getattr(options, "json", False))
    except BrokenPipeError:
        return 0  # the reader of a pipe has had enough
    except KeyboardInterrupt:
        print("Stopped. Nothing was changed.", file=sys.stderr)
        return 130
    except Exception as error:  # the last stand between a defect and the user
        print(note_unexpected(error), file=sys.stderr)
        return UNEXPECTED


def report(error: ServiceError, *, as_json: bool) -> int:
    """Tell the user what went wrong; returns the exit code."""
    if as_json:
        print(json.dumps(_as_data(error), ensure_ascii=False, indent=2))
    else:
        print(f"{error.message} {error.remedy}".rstrip(), file=sys.stderr)
        if isinstance(error, Refused):
            for problem in error.problems:
                print(f"  {problem}", file=sys.stderr)
    return EXIT_CODES.get(type(error), 1)


def _as_data(error: ServiceError) -> dict[str, object]:
    data: dict[str, object] = {
        "error": error.code,
        "message": error.message,
        "remedy": error.remedy,
    }
    if isinstance(error, Refused):
        data["problems"] = [
            {
                "code": one.code,
                "file": one.place.file,
                "row": one.place.row,
                "column": one.place.column,
                "message": one.message,
                "remedy": one.remedy,
            }
            for one in error.problems
        ]
    return data


def parser() -> argparse.ArgumentParser:
    """The command line with all its verbs."""
    top = argparse.ArgumentParser(
        prog="python -m estimator",
        description="Price the rebuild of a heavy machine: scope, price, contingency, finish date.",
        epilog="A job is a folder with job.toml (or job.json) and findings.csv (or findings.json).",
    )
    top.add_argument("--version", action="version", version=f"Shimwright {__version__}")
    places = top.add_subparsers(title="verbs", metavar="VERB", required=True)
    verbs.add_to(places)
    record_verbs.add_to(places)
    class_verbs.add_to(places)
    clause_verbs.add_to(places)
    catalogue_verbs.add_to(places)
    work_verbs.add_to(places)
    past_verbs.add_to(places)
    price_list_verbs.add_to(places)
    look_verbs.add_to(places)
    contract_verbs.add_to(places)
    settle_verbs.add_to(places)
    contract_look_verbs.add_to(places)
    paper_verbs.add_to(places)
    issued_paper_verbs.add_to(places)
    new_machine_verbs.add_to(places)
    file_verbs.add_to(places)
    print_verbs.add_to(places)
    batch_verbs.add_to(places)
    house_verbs.add_to(places)
    sheet_verbs.add_to(places)
    return top
