"""Speed of the service manager's desk: `python tests/bench/desk_ratios.py`.

A record of 300 jobs under contract with 2,000 variations that wait. Read against the raw driver's
same rows; then shown in the window: for the time until it is painted with a window that sleeps
meanwhile, as a real one does, and once more for the longest time that its thread was held, since
to look at that all the time takes the interpreter from the reading. Nothing here fails a build;
the goal is 0.3 s from asking until it is painted, and 50 ms at a time.
"""

from __future__ import annotations

import gc
import os
import random
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from datetime import date, timedelta
from pathlib import Path
from typing import Any

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

from estimator.domain.people import SERVICE_MANAGER  # noqa: E402
from estimator.services.enrol_person import enrol_person, person_named  # noqa: E402
from estimator.services.open_record import Record, open_record, record_at  # noqa: E402
from estimator.services.show_desk import desk_groups, show_desk  # noqa: E402
from tests.acts.workshop import MANAGER, NOW, keep_golden  # noqa: E402
from tests.bench.ratios import compare  # noqa: E402
from tests.bench.record_ratios import marks, show  # noqa: E402

JOBS, VARIATIONS = 300, 2000
STATES = (
    ("found", "estimator", ""), ("draft", "estimator", ""),
    ("issued", "customer", "R. Ostrey, fleet manager"),
    ("issued", "service manager", f"{MANAGER.name}, service manager"), ("queried", "estimator", ""),
    ("approved", "foreman", ""),
)  # fmt: skip
PASSPHRASE = "a long enough one"


def fill(path: Path) -> None:
    """JOBS accepted jobs like the one that is there, and VARIATIONS on them."""
    draw = random.Random(7)
    with closing(sqlite3.connect(path)) as connection:
        names = [row[1] for row in connection.execute("pragma table_info(job)")]
        base = dict(zip(names, connection.execute("select * from job").fetchone(), strict=True))
        at = base["changed_at"]
        jobs = [
            {**base, "id": f"B{n:025}", "number": f"Q-{4000 + n}", "state": "accepted",
             "customer_name": f"Customer {n}"}
            for n in range(JOBS)
        ]  # fmt: skip
        connection.executemany(
            f"insert into job values ({marks(len(names))})", [tuple(job.values()) for job in jobs]
        )
        rows = []
        for n in range(VARIATIONS):
            state, waits_on, ask = draw.choice(STATES)
            since = NOW - timedelta(hours=draw.randrange(3000))
            begins = since.date() + timedelta(days=draw.randrange(20))
            rows.append({
                "job_id": jobs[n % JOBS]["id"], "number": f"V{n // JOBS + 1:02}", "revision": 0,
                "state": state, "since": since.isoformat(timespec="microseconds"),
                "waits_on": waits_on, "ask": ask, "title": f"Finding {n} on the rear axle",
                "component": "", "end": "contingency", "currency": "GBP",
                "amount": None if state == "found" else draw.randrange(10**4, 10**6),
                "low": 100_000 if state == "found" else None,
                "high": 400_000 if state == "found" else None, "raised_at": at,
                "answer_by": (begins + timedelta(days=3)).isoformat(),
                "waiting_from": begins.isoformat(), "waiting_per_day": 39_000, "activity": "A05",
                "safety": n % 9 == 0,
            })  # fmt: skip
        for row in rows:
            names_ = ", ".join(f"[{name}]" for name in row)
            connection.execute(
                f"insert into variation ({names_}) values ({marks(len(row))})", tuple(row.values())
            )
        connection.commit()


def reading(record: Record, raw: sqlite3.Connection) -> None:
    """What waits, against its bare rows."""
    query = (
        "select variation.*, job.number, job.customer_name from variation join job on"
        " job.id = variation.job_id where waits_on != '' order by since, variation.number"
    )
    closed = [date(2026, 12, 25), date(2026, 12, 28)]
    best = compare(
        lambda: desk_groups(show_desk(record, NOW, closed).rows, MANAGER),
        lambda: raw.execute(query).fetchall(), 9,
    )  # fmt: skip
    show(f"{VARIATIONS:,} variations of {JOBS} jobs", "same rows, raw driver", best, "goal 0.3 s")


def composed(record: Record) -> Any:
    """The window on the record, with its catalogue read."""
    from estimator import app
    from estimator.desktop.formats import Formats
    from estimator.desktop.theme import apply_theme, load_theme

    application = app._application()
    apply_theme(application, load_theme("light"))
    sys.setswitchinterval(app.SWITCH_SECONDS)
    app.clock = lambda: NOW
    window = app.compose(record, person_named(record, MANAGER.name), Formats("en_GB"))
    window.show()
    wait(lambda: window.workshop.catalogue is not None and not window.workshop.runner.busy)
    gc.collect()
    gc.freeze()  # as the program does once its window stands
    return window


def wait(until: Callable[[], bool]) -> float:
    """The most that the window's thread worked between two turns of its loop, in ms of its own
    time, until something has come about."""
    from PySide6.QtCore import QEventLoop, QTimer

    loop, timer, most, last = QEventLoop(), QTimer(), [0.0], [time.thread_time()]

    def turn() -> None:
        now = time.thread_time()
        most[0], last[0] = max(most[0], now - last[0]), now
        if until():
            loop.quit()

    timer.timeout.connect(turn)
    timer.start(0)
    loop.exec()
    return most[0] * 1000


def asked(window: Any) -> float:
    """Go to the page, which must read everything anew; when that was asked."""
    from PySide6.QtWidgets import QApplication

    window.go("jobs")
    wait(lambda: not window.workshop.runner.busy)
    QApplication.processEvents()
    page = window._pages.get("waiting")
    if page is not None:
        page.view = None
        page.outdate()
    started = time.perf_counter()
    window.go("waiting")
    return started


def painted(window: Any) -> None:
    """Until the list is on the screen as it was read, without looking all the time."""
    from PySide6.QtCore import QEvent, QEventLoop, QObject

    loop, page = QEventLoop(), window.page

    class Watch(QObject):
        def eventFilter(self, _watched: QObject, event: QEvent) -> bool:  # noqa: N802 - Qt's name
            if event.type() == QEvent.Type.Paint and page.view is not None:
                loop.quit()  # it goes on to be painted before the loop ends
            return False

    watch = Watch()
    page.grid.viewport().installEventFilter(watch)
    loop.exec()
    page.grid.viewport().removeEventFilter(watch)


def showing(window: Any) -> None:
    """The page, from asking until it is painted."""
    for what in ("first time", *["again"] * 4):
        began, started = time.process_time(), asked(window)
        painted(window)
        took, work = time.perf_counter() - started, time.process_time() - began
        wait(lambda: not window.workshop.runner.busy)
        print(
            f"on the page and painted, {what:12} {took * 1000:6.0f} ms, of which "
            f"{work * 1000:4.0f} ms were work (the page left and come back to)"
        )
    asked(window)
    held = wait(lambda: window.page.view is not None and not window.workshop.runner.busy)
    print(f"window's thread worked {held:4.0f} ms at a time at the most")


def moving(window: Any) -> None:
    """Steps down the list, and a mark."""
    from PySide6.QtWidgets import QApplication

    grid, times = window.page.grid, []
    grid.setFocus()
    for _step in range(40):
        started = time.thread_time()
        grid.setCurrentIndex(grid.indexBelow(grid.currentIndex()))
        QApplication.processEvents()
        times.append((time.thread_time() - started) * 1000)
    print(f"a step down: {sorted(times)[20]:.1f} ms, the longest {max(times):.1f} ms")
    started = time.thread_time()
    window.page._mark()
    QApplication.processEvents()
    print(f"a mark: {(time.thread_time() - started) * 1000:.1f} ms")


def main() -> None:
    """Build the record and run each."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "record.db"
        with open_record(path, NOW) as record:
            enrol_person(record, MANAGER.name, SERVICE_MANAGER, PASSPHRASE, None, NOW)
            keep_golden(record)
        fill(path)
        print(f"{'subject':44} {'floor':34} {'subject':>10} {'floor':>10} {'ratio':>7}  note")
        record = record_at(path, NOW)
        with closing(sqlite3.connect(path)) as raw:
            reading(record, raw)
        window = composed(record)
        showing(window)
        moving(window)
        window.workshop.runner.wait()
        record.close()


if __name__ == "__main__":
    main()
