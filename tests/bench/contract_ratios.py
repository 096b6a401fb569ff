"""Speed of a contract: `python tests/bench/contract_ratios.py`. Informs, fails nothing.

A finding entered to the new forecast (its ledger row, what is still exposed, the dates), on the
golden job and on the sample's largest; the whole of it with the record and what leads the screen;
the folding of 500 events; the ledger of the golden contract's events. Subject and floor take turns,
the minimum of each counts.
"""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

from estimator.domain.catalogue.catalogue import for_class  # noqa: E402
from estimator.domain.contract import events as happened  # noqa: E402
from estimator.domain.contract.contract import Contract  # noqa: E402
from estimator.domain.contract.following import contract_of, follow  # noqa: E402
from estimator.domain.contract.ledger import ledger  # noqa: E402
from estimator.domain.contract.remaining import Remaining, remaining  # noqa: E402
from estimator.domain.priced_work import PricedWork, held, priced_work  # noqa: E402
from estimator.intake.catalogue_files import read_catalogue  # noqa: E402
from estimator.intake.job_files import read_job  # noqa: E402
from estimator.services.open_record import open_record  # noqa: E402
from estimator.services.record_teardown import Found, Opening, open_component  # noqa: E402
from estimator.services.show_contract_head import contract_head  # noqa: E402
from estimator.services.work_out_contract import (  # noqa: E402
    ContractNow,
    read_contract,
    work_out_contract,
)
from estimator.services.write_contract import Here  # noqa: E402
from tests.acts.accepted import accepted_at  # noqa: E402
from tests.acts.contracts import arrived  # noqa: E402
from tests.acts.workshop import INSPECTOR, NOW  # noqa: E402
from tests.bench.ratios import GOLDEN, compare  # noqa: E402
from tests.golden.golden_contract import accepted, golden_events  # noqa: E402
from tests.unit.contract.lives import START, Life  # noqa: E402

SAMPLES = ("wheel_loader", "crawler_excavator", "landfill_compactor")
GOAL_MS = 100


def work_of(catalogue: Path, folder: Path) -> PricedWork:
    """A job's priced work."""
    prices, _ = read_catalogue(catalogue)
    job, _ = read_job(folder)
    assert prices is not None
    assert job is not None
    return priced_work(job, for_class(prices, job.machine.class_id))


def open_things(work: PricedWork) -> int:
    """How much of a job is open: what its forecast takes its time for."""
    return len(work.exposed) + len(work.found) + len(work.provisional_lines)


def largest() -> tuple[str, PricedWork]:
    """The sample job with most that is open."""
    works = {name: work_of(ROOT / "catalog", ROOT / "sample_db" / name) for name in SAMPLES}
    name = max(works, key=lambda one: open_things(works[one]))
    return name, works[name]


def openings(work: PricedWork) -> Iterator[happened.Opened]:
    """Each exposed part opened, every second one worn."""
    for place, part in enumerate(work.exposed):
        yield happened.Opened(
            at=START + timedelta(hours=place + 1), who="A. Rowe", component=part.component,
            parts=((part.part, "worn" if place % 2 else "sound"),),
        )  # fmt: skip


def finding_to_forecast(name: str, work: PricedWork) -> tuple[str, str, float, float, str]:
    """One more finding worked out from the answer before it, against all of it anew."""
    sum_ = held(work).amount
    begun = follow(
        None, happened.Accepted(at=START, who="R. Ostrey", acceptance=accepted(work, sum_))
    )
    states: list[ContractNow] = [work_out_contract(Here(work.job, "accepted", begun, work))]
    contracts: list[Contract] = [begun]
    for event in openings(work):
        contracts.append(follow(contracts[-1], event))
        states.append(
            work_out_contract(replace(states[-1].here, contract=contracts[-1]), states[-1])
        )
    slowest = (0.0, 0.0)
    for place in range(1, len(contracts), 6):
        here, before = states[place].here, states[place - 1]
        best = compare(
            lambda here=here, before=before: work_out_contract(here, before),
            lambda here=here: work_out_contract(here), repeats=3,
        )  # fmt: skip
        slowest = max(slowest, best)
    title = f"finding to forecast, {name} ({open_things(work)} open)"
    return title, "everything anew", *slowest, f"slowest of its life; goal {GOAL_MS} ms"


def finding_to_screen() -> tuple[str, str, float, float, str]:
    """The golden job in its record: the act kept, the forecast, and what leads the screen; against
    the act alone."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "record.db"
        number = accepted_at(path)
        with open_record(path, NOW) as record:
            arrived(record, number)
            here = read_contract(record, number)
            parts = iter(here.work.exposed)
            now = work_out_contract(here)

            def act() -> Here:
                part = next(parts)
                opening = Opening(part.component, (Found(part.part, "worn"),))
                return open_component(record, number, opening, INSPECTOR, NOW)

            def shown() -> None:
                nonlocal now
                now = work_out_contract(act(), now)
                contract_head(now)

            best = compare(shown, act, repeats=12)
    return "finding to screen, golden, in the record", "the act alone", *best, f"goal {GOAL_MS} ms"


def fold() -> tuple[str, str, float, float, str]:
    """500 events folded into a contract, against going through them."""
    life = Life()
    while len(life.contract.events) < 500:
        life.agreed(7)
        life.add(happened.ExchangeSettled, parts=("P-INJ",), sent=Decimal(2), accepted=Decimal(1),
                 charge=life.contract.nothing)  # fmt: skip
    events = life.contract.events
    best = compare(lambda: contract_of(events), lambda: [event.at for event in events])
    return (
        f"fold {len(events)} events",
        "their times alone",
        *best,
        f"{len(life.contract.cases)} variations",
    )


def whole_ledger(work: PricedWork) -> tuple[str, str, float, float, str]:
    """A row after each of the golden contract's events, against the newest row alone."""
    found = golden_events(work, held(work).amount)
    events = tuple(event for _, several in found for event in several)
    last: list[Remaining] = []

    def reckon(contract: Contract) -> Remaining:
        last[:] = [remaining(contract, work, last[-1] if last else None)]
        return last[-1]

    def rows() -> None:
        last.clear()
        ledger(events, reckon)

    best = compare(rows, lambda: remaining(contract_of(events), work), repeats=3)
    return f"ledger of {len(events)} events", "the newest row alone", *best, "golden contract"


def main() -> None:
    """Run every comparison and print its ratio."""
    print(f"{'subject':56} {'floor':24} {'subject':>11} {'floor':>11} {'ratio':>8}  note")
    golden = work_of(GOLDEN / "catalogue", GOLDEN / "job")
    name, work = largest()
    for what, floor, first, second, note in (
        finding_to_forecast("golden", golden), finding_to_forecast(name, work),
        finding_to_screen(), fold(), whole_ledger(golden),
    ):  # fmt: skip
        print(
            f"{what:56} {floor:24} {first * 1000:9.2f}ms {second * 1000:9.2f}ms "
            f"{first / second:8.2f}  {note}"
        )


if __name__ == "__main__":
    main()
