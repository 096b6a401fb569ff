"""The second wheel loader: its contract goes step by step as `workshop/loader/steps.csv` says, with
the files that stand beside it, the way anyone would do it without a screen."""

from __future__ import annotations

import csv
import datetime
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from estimator.domain.contract.states import CLOSE, FINISH, ISSUE, RELEASE
from estimator.domain.past_work import exact_money
from estimator.domain.people import Person
from estimator.services.answer_variation import (
    Answer,
    answer_as_manager,
    record_customers_answer,
)
from estimator.services.contract_from_files import (
    accept_from_file,
    answer_from_file,
    newest_revision,
    open_from_file,
    price_from_file,
    raise_from_file,
)
from estimator.services.record_teardown import receive_machine
from estimator.services.settle_contract import invoice_stage
from estimator.services.vary_contract import Move, make_safe, move_variation
from estimator.services.write_contract import Here

from .bench import Bench

MOVES = {"issue": ISSUE, "close": CLOSE, "release": RELEASE, "finish": FINISH}
APPROVE, FOR = "approve", "approve for "
FROM_FILE: dict[str, Callable[..., Here]] = {
    "accept": accept_from_file, "open": open_from_file, "raise": raise_from_file,
    "answer": answer_from_file,
}  # fmt: skip
Do = Callable[[datetime.datetime], object]


@dataclass(frozen=True, slots=True)
class LoaderContract:
    """The acts on the loader's contract. `number` answers its number once it has one."""

    bench: Bench
    number: Callable[[], str]
    folder: Path

    def acts(self) -> Iterator[tuple[datetime.datetime, Do]]:
        """Every act with its time."""
        with (self.folder / "steps.csv").open(encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(file))
        for row in rows:
            at = datetime.datetime.fromisoformat(row["at"]).replace(tzinfo=datetime.UTC)
            yield at, self._do(row)

    def _do(self, row: dict[str, str]) -> Do:
        return lambda now: self._act(row, self.bench.people[row["who"]], now)

    def _act(self, row: dict[str, str], who: Person, now: datetime.datetime) -> None:
        self.bench.keep_contract(self._done(row, who, now))

    def _done(self, row: dict[str, str], who: Person, now: datetime.datetime) -> Here:
        record, number, act, about = self.bench.record, self.number(), row["act"], row["about"]
        path, words = self.folder / row["file"], row["words"]
        if act in MOVES:
            step = Move(variation=about, act=MOVES[act], reason=words)
            return move_variation(record, number, step, who, now)
        if act == APPROVE:
            return answer_as_manager(record, number, [self._answer(row)], who, now)
        if act.startswith(FOR):
            by = act.removeprefix(FOR)
            return record_customers_answer(record, number, self._answer(row), by, who, now)
        if act == "price":
            return price_from_file(record, number, about, path, who, now)
        if act == "stage":
            return invoice_stage(record, number, about, Decimal(words), who, now)
        if act == "receive":
            return receive_machine(record, number, words, who, now)
        if act == "make safe":
            cost = exact_money(Decimal(words), self.bench.job(number).terms.currency)
            return make_safe(record, number, about, cost, who, now)
        return FROM_FILE[act](record, number, path, who, now)

    def _answer(self, row: dict[str, str]) -> Answer:
        activity, _, days = row["waits"].partition(" ")
        here = self.bench.contract(self.number())
        return Answer(
            variation=row["about"], revision=newest_revision(here, row["about"]), act=APPROVE,
            channel=row["file"], words=row["words"], waits_activity=activity,
            waits_days=Decimal(days or 0),
        )  # fmt: skip
