"""Speed of the record as ratios against the raw driver: `python tests/bench/record_ratios.py`.

A record of 20,000 invented quotes and one of 500 findings. Subject and floor take turns, the
minimum of each counts. Nothing here fails a build.
"""

from __future__ import annotations

import random
import re
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

from estimator.domain.job import Job  # noqa: E402
from estimator.domain.job_edit import edit_between  # noqa: E402
from estimator.services.edit_job import make_edit, open_draft  # noqa: E402
from estimator.services.list_jobs import find_anywhere, list_jobs  # noqa: E402
from estimator.services.open_record import Record, open_record  # noqa: E402
from estimator.storage.job_parts import PARTS  # noqa: E402
from tests.acts.workshop import ESTIMATOR, NOW, golden_job, keep_golden, with_cell  # noqa: E402
from tests.bench.ratios import compare  # noqa: E402

JOBS = 20_000
WORDS = re.findall(
    r"\w+",
    """crankshaft liner piston bearing scored pitted seal leaking hose bucket pin bush track idler
    sprocket slew ring pump swash plate filings cracked worn polished heat blue weep tooth shaft
    turbo injector rail valve seat guide oil fuel coolant cylinder rod gland frame weld axle""",
)
CLASSES = ("WL28", "CE36", "LC36")


def fill(path: Path) -> None:
    """JOBS quotes like the one that is there, but for what a list shows and a search reads."""
    draw = random.Random(5)
    with closing(sqlite3.connect(path)) as connection:
        names = [row[1] for row in connection.execute("pragma table_info(job)")]
        base = dict(zip(names, connection.execute("select * from job").fetchone(), strict=True))
        jobs, texts, standings = [], [], []
        for number in range(JOBS):
            day = NOW - timedelta(hours=number)
            customer = f"{draw.choice(WORDS).title()} {draw.choice(WORDS)} works {number % 400}"
            job = {
                **base,
                "id": f"B{number:025}",
                "number": f"Q-{10_000 + number}",
                "customer_name": customer,
                "serial": f"{draw.choice(CLASSES)}-{draw.randrange(10**5):05}",
                "class_id": draw.choice(CLASSES),
                "state": draw.choice(("draft", "proposed", "issued")),
                "changed_at": day.isoformat(timespec="microseconds"),
            }
            jobs.append(tuple(job.values()))
            found = "\n".join(f"I{n:02}\t{' '.join(draw.choices(WORDS, k=8))}" for n in range(8))
            texts.append((job["id"], job["number"], customer, job["serial"], job["class_id"],
                          "", found, ""))  # fmt: skip
            net = draw.randrange(10**6, 5 * 10**7)
            standings.append((job["id"], 1, "GBP", "1", net, 0, 0, net, "0.8", "2027-01-01",
                              "2027-02-01", "scope", "", "", base["changed_at"]))  # fmt: skip
        connection.executemany(f"insert into job values ({marks(len(names))})", jobs)
        connection.executemany(
            "insert into job_text (job_id, number, customer, serial, class_id, note, findings,"
            f" photographs) values ({marks(8)})", texts,
        )  # fmt: skip
        connection.executemany(
            "insert into standing (job_id, job_version, currency, quoting_unit, firm, provisional,"
            " contingency, net, confidence, finish_half, finish_covered, area, waits_on, note,"
            f" worked_out_at) values ({marks(15)})", standings,
        )  # fmt: skip
        connection.execute("insert into job_search(job_search) values ('rebuild')")
        connection.commit()


def marks(count: int) -> str:
    return ", ".join("?" * count)


def show(what: str, floor: str, best: tuple[float, float], note: str) -> None:
    print(
        f"{what:44} {floor:34} {best[0] * 1000:8.2f}ms {best[1] * 1000:8.2f}ms "
        f"{best[0] / best[1]:7.2f}  {note}"
    )


def opening(record: Record, raw: sqlite3.Connection, number: str) -> None:
    """Open a job of 500 findings, against its rows alone."""
    (job_id,) = raw.execute("select id from job where number = ?", (number,)).fetchone()
    queries = [
        f"select {', '.join(f'[{name}]' for name in part.select.names)} from {part.table.name}"
        " where job_id = ? order by place"
        for part in PARTS
    ]

    def rows() -> None:
        raw.execute("select * from job where number = ?", (number,)).fetchone()
        for query in queries:
            raw.execute(query, (job_id,)).fetchall()

    best = compare(lambda: open_draft(record, number), rows, 25)
    show("open a job of 500 findings", "its rows, raw driver", best, "goal 1.7")


def saving(record: Record, raw: sqlite3.Connection, number: str) -> None:
    """One cell of a job of 200 findings, with undo step, log and search, against one UPDATE."""
    job = open_draft(record, number).job
    count = 0

    def edit() -> None:
        nonlocal job, count
        count += 1
        after: Job = with_cell("I100", measured=Decimal(count))(job)
        made = make_edit(record, number, edit_between(job, after, "reading"), ESTIMATOR, NOW)
        job = made.job

    def update() -> None:
        raw.execute("begin immediate")
        raw.execute("update finding set version = version where code = 'I100'")
        raw.execute("commit")

    show("edit a cell of 200 findings, confirmed", "one UPDATE, raw driver, synced",
         compare(edit, update, 25), "goal 10 ms")  # fmt: skip


def listing(record: Record, raw: sqlite3.Connection) -> None:
    """The newest 200 of 20,000, against their columns alone."""
    today = NOW.date()

    def rows(condition: str, order: str) -> Callable[[], object]:
        query = (
            "select job.id, number, customer_name, class_id, serial, changed_at, standing.net"
            f" from job left join standing on job_id = job.id {condition}"
            f" order by {order} limit 200"
        )
        return lambda: raw.execute(query).fetchall()

    newest = "changed_at desc"
    for what, asked, floor in (
        ("newest 200 of 20,000", {}, rows("", newest)),
        ("proposed, newest 200", {"state": "proposed"}, rows("where state = 'proposed'", newest)),
        ("by value, highest 200", {"order": "value"}, rows("", "standing.net desc")),
    ):
        best = compare(lambda asked=asked: list_jobs(record, today=today, **asked), floor, 9)
        show(what, "same rows, raw driver", best, "goal a few ms")


def searching(record: Record, raw: sqlite3.Connection) -> None:
    """Words as one types them, against the bare index."""
    today = NOW.date()
    for text in ("q-10123", "cr", "crank scored", "swash plate filings 17", "nothing"):
        match = " ".join(f'"{word}"*' for word in text.split())
        query = (
            "select number, customer_name from job where id in (select job_id from job_text where"
            " row in (select rowid from job_search where job_search match ?))"
            " order by changed_at desc limit 200"
        )
        best = compare(
            lambda text=text: list_jobs(record, text, today=today),
            lambda query=query, match=match: raw.execute(query, (match,)).fetchall(), 7,
        )  # fmt: skip
        show(f"search {text!r}", "same match, raw driver", best, "goal tens of ms")
    texts = "select findings from job_text limit 200"
    best = compare(
        lambda: find_anywhere(record, "crank scored"), lambda: raw.execute(texts).fetchall(), 5
    )
    show("find anywhere, two words", "200 texts, raw driver", best, "")


def main() -> None:
    """Build the record, run every comparison and print its ratio."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "record.db"
        with open_record(path, NOW) as record:
            many = golden_job().findings
            for number, count in (("Q-500", 500), ("Q-200", 200)):
                rows = tuple(replace(many[n % len(many)], id=f"I{n:03}") for n in range(count))
                keep_golden(record, number=number, findings=rows)
        started = time.perf_counter()
        fill(path)
        print(f"{JOBS:,} quotes made in {time.perf_counter() - started:.1f} s")
        print(f"{'subject':44} {'floor':34} {'subject':>10} {'floor':>10} {'ratio':>7}  note")
        with open_record(path, NOW) as record, closing(sqlite3.connect(path)) as raw:
            raw.isolation_level = None
            raw.execute("pragma synchronous = full")
            opening(record, raw, "Q-500")
            saving(record, raw, "Q-200")
            listing(record, raw)
            searching(record, raw)


if __name__ == "__main__":
    main()
