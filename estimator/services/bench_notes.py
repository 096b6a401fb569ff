"""What stands on the bench and is not recorded yet, kept for whoever chose it: a crash at the bench
loses no tick, reading or answer that is older than a moment."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal, InvalidOperation
from typing import Any

from estimator.domain.people import FIND, Person
from estimator.domain.record import KeptText
from estimator.services.enrol_person import require
from estimator.services.open_record import Record
from estimator.services.plan_opening import Answers
from estimator.services.record_teardown import MeasuredAgain
from estimator.services.write_edit import kept_job
from estimator.storage import edit_record
from estimator.storage.edit_record import BENCH


def keep_bench(
    record: Record, number: str, answers: Mapping[str, Answers], who: Person, now: datetime
) -> None:
    """Keep what is chosen of components; a component with nothing on it is forgotten. Nothing of
    the contract changes. Raises NotFound, NotAllowed."""
    require(who, FIND)
    with record.writing() as session:
        job_id = kept_job(session, number).id
        for component, chosen in answers.items():
            place = _place(component, who)
            if chosen == Answers():
                edit_record.drop_texts(session, job_id, [place])
                continue
            text = json.dumps(_as_plain(chosen), ensure_ascii=False)
            edit_record.keep_text(session, job_id, KeptText(place, text, "", who.name, now))


def read_bench(record: Record, number: str, who: Person) -> dict[str, Answers]:
    """What this person had on the bench, by component. Raises NotFound."""
    with record.reading() as session:
        texts = edit_record.kept_texts(session, kept_job(session, number).id)
    mine = f"/{who.id}"
    found = {}
    for one in texts:
        if one.place.startswith(BENCH) and one.place.endswith(mine):
            component = one.place.removeprefix(BENCH).removesuffix(mine)
            answers = _answers(one.text)
            if answers is not None:
                found[component] = answers
    return found


def _place(component: str, who: Person) -> str:
    return f"{BENCH}{component}/{who.id}"


def _as_plain(answers: Answers) -> dict[str, Any]:
    return {
        "ticked": sorted(answers.ticked),
        "dispositions": dict(answers.dispositions),
        "words": dict(answers.words),
        "readings": {code: _value(value) for code, value in answers.readings.items()},
        "lines": {
            row: [one.row_id, f"{one.value:f}", one.by_factor] for row, one in answers.lines.items()
        },
        "photographs": [list(pair) for pair in answers.photographs],
    }


def _value(value: Decimal | str) -> dict[str, str]:
    return {"number": f"{value:f}"} if isinstance(value, Decimal) else {"words": value}


def _answers(text: str) -> Answers | None:
    """What was kept; None where it cannot be read, which is as if nothing had been."""
    try:
        plain = json.loads(text)
        return Answers(
            frozenset(plain["ticked"]),
            plain["dispositions"],
            plain["words"],
            {
                code: Decimal(one["number"]) if "number" in one else one["words"]
                for code, one in plain["readings"].items()
            },
            {
                row: MeasuredAgain(line, Decimal(value), by_factor)
                for row, (line, value, by_factor) in plain["lines"].items()
            },
            tuple((name, part) for name, part in plain["photographs"]),
        )
    except (ValueError, KeyError, TypeError, InvalidOperation):
        return None
