"""Tells whether the private environment holds what a lock file asks for, and stamps it if it does.

    environment.py check run|test    exit 0 if the stamp fits and every recorded file is there
    environment.py stamp run|test    exit 0 after writing the stamp
    environment.py libraries         exit 0 if the system has the libraries that the window needs
    environment.py screen            exit 0 unless the screen named by DISPLAY does not answer

Run by the environment's own Python, with nothing but the standard library. An environment may
hold more than a lock file asks for. Any other exit comes with one line that says why.
"""

import csv
import ctypes
import hashlib
import json
import os
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
    """Compares the size of every file that an installed package recorded.

    But for compiled modules: a few packages bring some along, which pip then makes anew.
    """
    packages = site()
    listing = packages / record / "RECORD"
    if not listing.is_file():
        raise Unfit(f"{record.removesuffix('.dist-info')} is gone")
    with listing.open(encoding="utf-8", newline="") as lines:
        for path, _, size in csv.reader(lines):
            if size and not path.endswith(".pyc") and measured(packages / path) != int(size):
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


def libraries() -> None:
    """Loads Qt's way to the screen as the window will, which names the first library it lacks."""
    plugins = ["libqxcb.so"]
    if os.environ.get("WAYLAND_DISPLAY"):
        plugins.append("libqwayland.so")
    for plugin in plugins:
        ctypes.CDLL(str(site() / "PySide6" / "Qt" / "plugins" / "platforms" / plugin))


def screen() -> None:
    """Knocks at the X server: Qt ends the whole process where none answers."""
    if os.environ.get("WAYLAND_DISPLAY") or os.environ.get("QT_QPA_PLATFORM"):
        return
    xcb = ctypes.CDLL("libxcb.so.1")
    xcb.xcb_connect.restype = ctypes.c_void_p
    connection = ctypes.c_void_p(xcb.xcb_connect(None, None))
    failed = xcb.xcb_connection_has_error(connection)
    xcb.xcb_disconnect(connection)
    if failed:
        raise Unfit(f"the screen {os.environ.get('DISPLAY', '')} does not answer or lets nobody in")


def main(arguments: list[str]) -> int:
    acts = {"check": check, "stamp": stamp, "libraries": libraries, "screen": screen}
    match arguments:
        case ["check" | "stamp", _] | ["libraries" | "screen"]:
            act = acts[arguments[0]]
        case _:
            print("usage: environment.py check|stamp run|test or libraries|screen", file=sys.stderr)
            return 2
    try:
        act(*arguments[1:])
    except (Unfit, OSError) as problem:
        print(problem)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
