"""The binding to Qt itself: the pinned release neither loses references nor lacks a library.

PySide6 6.12.0 gave up one reference to True with every signal and so ended Python 3.11 after some
600 of them; a short test never gets that far.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Mapping

EMITS = 2000

COUNTS = f"""
import sys
from PySide6.QtCore import QCoreApplication, QObject, Signal

class Bell(QObject):
    rung = Signal(object)
    struck = Signal(bool)

application = QCoreApplication([])
bell = Bell()
heard = []
bell.rung.connect(heard.append)
before = sys.getrefcount(True)
for stroke in range({EMITS}):
    bell.rung.emit(stroke)
    bell.struck.emit(True)
print(len(heard), before, sys.getrefcount(True))
"""

WINDOW = """
from PySide6.QtWidgets import QApplication, QLabel
application = QApplication([])
label = QLabel("Seen")
label.show()
for _ in range(50):
    application.processEvents()
picture = label.screen().grabWindow(label.winId())
print(application.platformName(), label.windowHandle().isExposed(), picture.size() == label.size())
"""


def said(program: str, environment: Mapping[str, str] = os.environ) -> list[str]:
    """The words that a Python program printed, in a process of its own that must end well."""
    done = subprocess.run(
        [sys.executable, "-c", program],
        capture_output=True, text=True, check=False, timeout=60, env=dict(environment),
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return done.stdout.split()


def test_signals_give_up_no_reference_to_true() -> None:
    heard, before, after = map(int, said(COUNTS))
    assert heard == EMITS
    assert after >= before


def test_a_window_opens_on_an_x_server(real_screen: Mapping[str, str]) -> None:
    assert said(WINDOW, real_screen) == ["xcb", "True", "True"]
