"""Raises, issues and answers variations until somebody kills it, and tells each act that the record
confirmed.

Run by test_two_desks.py: `python act_until_killed.py RECORD NUMBER FIRST`. Act 0 raises V01, act 1
issues it, act 2 answers it, act 3 raises V02 and so on: one event each.
"""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

from estimator.domain.contract.remeasure import Wanted, priced_line
from estimator.domain.contract.variation import CONTRACT_SUM, REQUEST, Variation
from estimator.domain.people import Person
from estimator.services.answer_variation import Answer, record_customers_answer
from estimator.services.open_record import Record, open_record
from estimator.services.vary_contract import Move, move_variation, raise_variation
from estimator.services.work_out_contract import read_contract

WHO, CUSTOMER = Person("2", "P. Holt", "estimator", True), "L. Marsh"


def do(record: Record, number: str, count: int) -> None:
    now = datetime.now(UTC)
    name, step = f"V{count // 3 + 1:02d}", count % 3
    if step == 0:
        hour = Wanted(kind="labour", what="Fit", quantity=Decimal(1), trade="EL")
        variation = Variation(
            number="", revision=0, found_at=now, finder=WHO.name, component="C12A",
            location="cab", title=f"act {count}", cause=REQUEST, end=CONTRACT_SUM,
            consequence="none", lines=(priced_line(read_contract(record, number).work, hour),),
        )  # fmt: skip
        raise_variation(record, number, variation, WHO, now)
    elif step == 1:
        move_variation(record, number, Move(variation=name, act="issue"), WHO, now)
    else:
        answer = Answer(variation=name, revision=0, act="approve", channel="e-mail", words="Yes.")
        record_customers_answer(record, number, answer, CUSTOMER, WHO, now)


def main(path: str, number: str, first: int) -> None:
    with open_record(Path(path), datetime.now(UTC)) as record:
        for count in range(first, first + 300):
            do(record, number, count)
            print(count, flush=True)  # only now is it confirmed


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], int(sys.argv[3]))
