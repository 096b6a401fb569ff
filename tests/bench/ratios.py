"""Speed as ratios in one process: `python tests/bench/ratios.py`.

Subject and floor take turns, garbage collection off, the minimum of each counts; the ratio is what
can be compared between machines. Nothing here fails a build.
"""

from __future__ import annotations

import csv
import gc
import io
import os
import random
import sys
import time
from collections.abc import Callable
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

from estimator.domain.catalogue.catalogue import for_class  # noqa: E402
from estimator.domain.exposure.distribution import Distribution  # noqa: E402
from estimator.domain.exposure.factors import FactorModel, Item  # noqa: E402
from estimator.domain.exposure.pert import Pert  # noqa: E402
from estimator.domain.priced_job import reckon  # noqa: E402
from estimator.domain.pricing import price_lines  # noqa: E402
from estimator.domain.programme.network import critical_path  # noqa: E402
from estimator.domain.reasons import Reasons  # noqa: E402
from estimator.intake.catalogue_files import read_catalogue  # noqa: E402
from estimator.intake.job_files import read_job  # noqa: E402

GOLDEN = ROOT / "tests" / "golden"


def compare(
    subject: Callable[[], object], floor: Callable[[], object], repeats: int = 7
) -> tuple[float, float]:
    """(best seconds of subject, best seconds of floor), taken in turns."""
    best = [float("inf"), float("inf")]
    gc.disable()
    try:
        for _ in range(repeats):
            for place, call in enumerate((subject, floor)):
                start = time.perf_counter()
                call()
                best[place] = min(best[place], time.perf_counter() - start)
                gc.collect()
    finally:
        gc.enable()
    return best[0], best[1]


def catalogue_load() -> tuple[str, str, float, float, str]:
    """Reading and checking the catalogue against reading its cells with the csv module."""
    folder = ROOT / "catalog"

    def cells() -> None:
        for path in folder.glob("*.csv"):
            list(csv.reader(io.StringIO(path.read_text(encoding="utf-8"))))

    best = compare(lambda: read_catalogue(folder), cells)
    return "read and check the catalogue", "csv cells only", *best, "well under 1 s"


def line_pricing() -> tuple[str, str, float, float, str]:
    """Pricing lines with their whole reckoning kept, against bare Decimal products."""
    catalogue, _ = read_catalogue(GOLDEN / "catalogue")
    job, _ = read_job(GOLDEN / "job")
    assert catalogue is not None
    assert job is not None
    cat = for_class(catalogue, job.machine.class_id)
    scope = reckon(job, cat).scope
    one, rate = Decimal(1), Decimal("79.5")

    def bare() -> None:
        for line in scope.lines:
            for quantity in (line.quantity, line.low, line.high):
                (quantity * rate * Decimal("1.3")).quantize(one, rounding=ROUND_HALF_UP)

    best = compare(lambda: price_lines(job, cat, scope, Reasons()), bare)
    return "price 195 lines, each with its why", "Decimal products only", *best, "-"


def contingency() -> tuple[str, str, float, float, str]:
    """P80 of 300 parts under one life factor, against 100,000 draws of the same model."""
    import numpy as np
    from scipy.special import ndtri

    draw = random.Random(7)
    items, costs = [], {}
    for number in range(300):
        low = draw.uniform(200, 3000)
        likely = low * draw.uniform(1.05, 1.6)
        items.append(Item(f"P{number}", "", 0.39, 0.0, (draw.uniform(0.02, 0.6),)))
        costs[f"P{number}"] = Pert(low, likely, likely * draw.uniform(1.1, 2.0))

    def series() -> float:
        return Distribution(FactorModel(items, []), costs, {}).percentile(0.8)

    def draws() -> float:
        generator = np.random.Generator(np.random.SFC64(11))
        count = 100_000
        life = generator.standard_normal(count)
        total = np.zeros(count)
        for item in items:
            own = (1 - item.life**2) ** 0.5
            worn = np.flatnonzero(
                item.life * life + own * generator.standard_normal(count) > -ndtri(item.chances[0])
            )
            cost = costs[item.part]
            total[worn] += cost.low + (cost.high - cost.low) * generator.beta(
                cost.alpha, cost.beta, len(worn)
            )
        return float(np.quantile(total, 0.8))

    exact, sampled = series(), draws()
    best = compare(series, draws, repeats=3)
    note = f"P80 differs by {abs(exact / sampled - 1):.2%}, the draws' own error"
    return "contingency, 300 parts", "100,000 draws", *best, note


def critical() -> tuple[str, str, float, float, str]:
    """Critical path of 500 activities, against networkx's topological sort alone."""
    import networkx

    draw = random.Random(3)
    names = [f"A{number}" for number in range(500)]
    after = {
        name: tuple({names[draw.randrange(place)] for _ in range(min(place, 3))} if place else ())
        for place, name in enumerate(names)
    }
    durations = {name: draw.uniform(1, 40) for name in names}
    graph = networkx.DiGraph([(one, name) for name, before in after.items() for one in before])
    best = compare(
        lambda: critical_path(durations, after), lambda: list(networkx.topological_sort(graph))
    )
    return "critical path, 500 activities", "networkx topological sort", *best, "goal <= 1.5"


def quote_print() -> tuple[str, str, float, float, str]:
    """The golden quote as PDF, against bare text lines on as many pages."""
    from reportlab.pdfgen.canvas import Canvas

    from estimator.documents.quote.quote_pdf import quote_pdf
    from estimator.domain.quote import build_quote

    catalogue, _ = read_catalogue(GOLDEN / "catalogue")
    job, _ = read_job(GOLDEN / "job")
    assert catalogue is not None
    assert job is not None
    quote = build_quote(reckon(job, for_class(catalogue, job.machine.class_id)))
    pages = quote_pdf(quote).count(b"/Type /Page\n") or 5

    def bare() -> None:
        canvas = Canvas(io.BytesIO())
        for _ in range(pages):
            for line in range(60):
                canvas.drawString(60, 780 - 12 * line, "Line of a quote as long as most are  1,234")
            canvas.showPage()
        canvas.save()

    best = compare(lambda: quote_pdf(quote), bare, repeats=5)
    return f"quote as PDF, {pages} pages", "bare text on as many pages", *best, "goal <= 5"


def main() -> None:
    """Run every comparison and print its ratio."""
    print(f"{'subject':38} {'floor':30} {'subject':>10} {'floor':>10} {'ratio':>8}  note")
    for bench in (catalogue_load, line_pricing, contingency, critical, quote_print):
        subject, floor, first, second, note = bench()
        print(
            f"{subject:38} {floor:30} {first * 1000:8.2f}ms {second * 1000:8.2f}ms "
            f"{first / second:8.2f}  {note}"
        )


if __name__ == "__main__":
    main()
