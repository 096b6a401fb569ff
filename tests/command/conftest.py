"""Running the command as a user does, in a process of its own or in this one."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from estimator.command.main import main

ROOT = Path(__file__).parent.parent.parent
GOLDEN = ROOT / "tests" / "golden"


@dataclass(frozen=True)
class Ran:
    code: int
    out: str
    err: str


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Callable[..., Ran]:
    def call(*words: str) -> Ran:
        try:
            code = main(list(words))
        except SystemExit as left:  # argparse leaves this way
            code = int(left.code or 0)
        captured = capsys.readouterr()
        return Ran(code, captured.out, captured.err)

    return call


@pytest.fixture
def run_process() -> Callable[..., Ran]:
    def call(*words: str, cwd: Path = ROOT) -> Ran:
        done = subprocess.run(
            [sys.executable, "-m", "estimator", *words],
            cwd=cwd, capture_output=True, text=True, check=False, encoding="utf-8",
            env={"PYTHONPATH": str(ROOT), "PATH": "/usr/bin:/bin", "HOME": str(cwd)},
        )  # fmt: skip
        return Ran(done.returncode, done.stdout, done.stderr)

    return call
