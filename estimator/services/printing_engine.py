"""What a print is made with: told beside it, so that other bytes can be explained."""

from __future__ import annotations

import platform
import zlib
from importlib.metadata import PackageNotFoundError, version

from estimator import __version__

_LIBRARIES = ("reportlab", "babel", "pillow", "numpy", "scipy")


def environment() -> dict[str, str]:
    """Versions of the program, of Python, and of the libraries that a print's bytes rest on."""
    found = {"shimwright": __version__, "python": platform.python_version()}
    for name in _LIBRARIES:
        try:
            found[name] = version(name)
        except PackageNotFoundError:
            found[name] = ""  # in a build that carries no metadata
    return found | {"zlib": zlib.ZLIB_RUNTIME_VERSION}
