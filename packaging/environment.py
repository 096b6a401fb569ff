"""Tells whether the private environment holds what a lock file asks for, and stamps it if it does.

    environment.py check run|test    exit 0 if the stamp fits and every recorded file is there
    environment.py stamp run|test    exit 0 after writing the stamp

Run by the environment's own Python, with nothing but the standard library. An environment may
hold more than a lock file asks for. Any other exit comes with one line that says why.
"""

import csv
import hashlib
import json
import re
import sys
import sysconfig
from pathlib import Path

LOCKS = Path(__file__).resolve().parent / "lock"
PINNED = re.compile(r"^(?P<name>[A-Za-z0-9._-]+)==(?P<version>[^\s;\\]+)\s*(?P<marker>;)?")


class Unfit(Exception):
    """The environment does not hold what the lock file asks for."""


def same_name(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def lock_file(name: str) -> Path:
    path = LOCKS / f"{name}.txt"
    if not path.is_file():
        raise Unfit(f"the lock file {path} is missing")
    return path


def stamp_file(name: str) -> Path:
    return Path(sys.prefix) / f"stamp-{name}.json"


def site() -> Path:
    return Path(sysconfig.get_path("purelib"))


def facts(name: str) -> dict[str, str]:
    """What a stamp must agree with: the lock file's checksum, and Python's version and system."""
    return {
        "lock file": hashlib.sha256(lock_file(name).read_bytes()).hexdigest(),
        "Python": f"{sys.implementation.cache_tag} {sysconfig.get_platform()}",
    }


def locked_records(name: str) -> list[str]:
    """The record folder of each package that the lock file asks for on this Python and system."""
    installed = {}
    for folder in site().glob("*.dist-info"):
        package, _, version = folder.name.removesuffix(".dist-info").partition("-")
        installed[same_name(package)] = (version, folder.name)
    records = []
    for line in lock_file(name).read_text(encoding="utf-8").splitlines():
        pin = PINNED.match(line)
        if pin is None:
            continue
        version, record = installed.get(same_name(pin["name"]), (None, None))
        if record is not None and version == pin["version"]:
            records.append(record)
        elif record is not None or not pin["marker"]:
            raise Unfit(f"{pin['name']} is {version or 'missing'}, not {pin['version']}")
    return records


def measured(file: Path) -> int:
    """The size of a file in bytes, or -1 if there is none."""
    try:
        return file.stat().st_size
    except OSError:
        return -1


def check_files(record: str) -> None:
    """Compares the size of every file that an installed package recorded."""
    packages = site()
    listing = packages / record / "RECORD"
    if not listing.is_file():
        raise Unfit(f"{record.removesuffix('.dist-info')} is gone")
    with listing.open(encoding="utf-8", newline="") as lines:
        for path, _, size in csv.reader(lines):
            if size and measured(packages / path) != int(size):
                raise Unfit(f"{packages / path} is missing or cut short")


def check(name: str) -> None:
    try:
        stamp = json.loads(stamp_file(name).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        raise Unfit("it was never finished") from None
    if not isinstance(stamp, dict) or not isinstance(stamp.get("records"), list):
        raise Unfit("its stamp cannot be read")
    for fact, value in facts(name).items():
        if stamp.get(fact) != value:
            raise Unfit(f"it was made for another {fact}")
    for record in stamp["records"]:
        check_files(str(record))


def stamp(name: str) -> None:
    content = facts(name) | {"records": locked_records(name)}
    unfinished = stamp_file(name).with_suffix(".part")
    unfinished.write_text(json.dumps(content, indent=1) + "\n", encoding="utf-8")
    unfinished.replace(stamp_file(name))


def main(arguments: list[str]) -> int:
    match arguments:
        case ["check", name]:
            act = check
        case ["stamp", name]:
            act = stamp
        case _:
            print("usage: environment.py check|stamp run|test", file=sys.stderr)
            return 2
    try:
        act(name)
    except (Unfit, OSError) as problem:
        print(problem)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
