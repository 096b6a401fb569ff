"""What holds for every test: property tests take the same examples each time, and nobody's screen
is used but one of our own."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterator, Mapping

import pytest
from hypothesis import HealthCheck, settings

# Shared machines stall now and then: a slow example is no defect.
settings.register_profile(
    "quiet",
    deadline=None,
    derandomize=True,
    max_examples=50,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("quiet")

# Before Qt is first loaded: no window flashes up at a developer's desk, and all signs are known.
os.environ["QT_QPA_PLATFORM"] = "offscreen"
os.environ["LANG"] = os.environ["LC_ALL"] = "C.UTF-8"


@pytest.fixture(scope="session")
def real_screen() -> Iterator[Mapping[str, str]]:
    """The environment in which a process finds an X server of its own; nobody sees its screen."""
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", "1", "-screen", "0", "1600x1000x24", "-nolisten", "tcp"],
        stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
    )  # fmt: skip
    try:
        assert server.stdout is not None
        number = server.stdout.readline().strip()
        assert number, "Xvfb did not start"
        hidden = {"QT_QPA_PLATFORM", "WAYLAND_DISPLAY", "XAUTHORITY"}
        kept = {name: value for name, value in os.environ.items() if name not in hidden}
        yield kept | {"DISPLAY": f":{number}", "XDG_SESSION_TYPE": "x11"}
    finally:
        server.terminate()
        server.wait(timeout=10)
        if server.stdout is not None:
            server.stdout.close()
