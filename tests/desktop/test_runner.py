"""Work off the window's thread: order, cancel, stale results, errors."""

from __future__ import annotations

import threading
import time

import pytest

from estimator.desktop.runner import RECKONING, RECORD, Runner, Unexpected
from estimator.services.errors import NotFound


@pytest.fixture
def failures():
    return []


@pytest.fixture
def runner(qtbot, failures, tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    made = Runner(failures.append)
    yield made
    assert made.wait()


def test_a_lane_keeps_its_order_and_results_come_to_the_window_s_thread(qtbot, runner):
    done = []
    here = threading.get_ident()

    def work(number):
        return lambda _report: (number, threading.get_ident())

    for number in range(50):
        runner.run(work(number), lambda r: done.append((r, threading.get_ident())), lane=RECORD)
    qtbot.waitUntil(lambda: len(done) == 50)
    assert [result[0] for result, _ident in done] == list(range(50))
    assert {ident for _result, ident in done} == {here}
    assert here not in {result[1] for result, _ident in done}


def test_a_newer_task_of_the_same_subject_makes_the_one_before_out_of_date(qtbot, runner):
    done, reached = [], []

    def slow(report):
        for step in range(10_000):
            reached.append(step)
            report("step")
            time.sleep(0.001)
        return "old"

    runner.run(slow, done.append, lane=RECKONING, subject="price")
    qtbot.waitUntil(lambda: bool(reached))
    runner.run(lambda _report: "new", done.append, lane=RECKONING, subject="price")
    qtbot.waitUntil(lambda: not runner.busy)
    assert done == ["new"]
    assert len(reached) < 10_000


def test_known_errors_reach_the_presenter_and_unknown_ones_are_logged(
    qtbot, runner, failures, tmp_path
):
    def known(_report):
        raise NotFound("There is no such job.", "List them.")

    def unknown(_report):
        raise ZeroDivisionError("secret detail")

    runner.run(known, lambda _r: None)
    runner.run(unknown, lambda _r: None)
    qtbot.waitUntil(lambda: len(failures) == 2)
    assert isinstance(failures[0], NotFound)
    assert isinstance(failures[1], Unexpected)
    assert "secret detail" not in str(failures[1])
    assert "secret detail" in (tmp_path / "shimwright" / "errors.log").read_text()


def test_long_work_says_what_it_does_and_can_be_stopped(qtbot, runner):
    said, done = [], []
    runner.busy_changed.connect(lambda task, what: said.append((task is not None, what)))

    def slow(report):
        for step in range(10_000):
            report(f"step {step}")
            time.sleep(0.001)

    runner.run(slow, done.append, lane=RECKONING, says="Working out")
    qtbot.waitUntil(lambda: len(said) > 3)
    runner.stop_all(RECKONING)
    qtbot.waitUntil(lambda: not runner.busy)
    assert said[-1] == (False, "")
    assert not done


def test_a_large_number_arrives_whole(qtbot, runner):
    # A signal declared with int would wrap at 2^31.
    done = []
    runner.run(lambda _report: 2**40, done.append)
    qtbot.waitUntil(lambda: done == [2**40])
