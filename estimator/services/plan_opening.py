"""From what is ticked, measured and chosen at the bench to an opening that can be recorded, or
tried out before it is. Nothing here writes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal

from estimator.domain.contract.events import Opened
from estimator.domain.contract.variation import SOUND, WORN
from estimator.domain.disposition import Judgement, judge
from estimator.domain.findings import Finding
from estimator.domain.wording import worded
from estimator.services.record_teardown import Found, MeasuredAgain, Opening
from estimator.services.show_bench import Bench, CautionRow, MeasureRow, PartRow
from estimator.services.write_contract import Here

REUSE, OPEN = "reuse", "open"


@dataclass(frozen=True, slots=True)
class Answers:
    """What stands on the bench and is not recorded yet.

    `dispositions` holds those chosen by hand, by part; `words` what was found of a part, reading
    against limit; `readings` a number where its measure has limits, else words; `photographs`
    (name, part), the part "" where it shows the whole component.
    """

    ticked: frozenset[str] = frozenset()
    dispositions: Mapping[str, str] = field(default_factory=dict)
    words: Mapping[str, str] = field(default_factory=dict)
    readings: Mapping[str, Decimal | str] = field(default_factory=dict)
    lines: Mapping[str, MeasuredAgain] = field(default_factory=dict)
    photographs: tuple[tuple[str, str], ...] = ()

    @property
    def nothing(self) -> bool:
        """Whether there is nothing that could be recorded; ticks go with what they are for."""
        return not (self.dispositions or self.readings or self.lines)


def waits_for(bench: Bench, answers: Answers) -> tuple[CautionRow, ...]:
    """Cautions nobody has ticked: opening waits for them, recording readings does not."""
    return tuple(
        one for one in bench.cautions if not one.ticked_by and one.id not in answers.ticked
    )


def reading_of(row: MeasureRow, value: Decimal | str, bench: Bench, who: str, day: date) -> Finding:
    """A reading as a finding of its measure."""
    number = value if isinstance(value, Decimal) else None
    return Finding(
        id=row.id,
        measure=row.id,
        component=bench.component,
        unit=row.unit if number is not None else "",
        measured=number,
        reading="" if number is not None else str(value),
        inspector=who,
        date=day,
    )


def judged(here: Here, finding: Finding) -> Judgement:
    """What follows from a reading alone, by the rules the quote was made with."""
    job, cat = here.work.job, here.work.cat
    hours = job.hours_run(finding.component)
    return judge(finding, cat, hours, job.machine.life_wanted)


def proposals(here: Here, bench: Bench, answers: Answers, day: date) -> dict[str, Judgement]:
    """What the rules say of the closed parts that a reading settles, by part."""
    closed = {part.id for part in bench.parts if not part.state}
    found = {}
    for row in bench.measures:
        value = answers.readings.get(row.id)
        if row.settles in closed and row.limits is not None and isinstance(value, Decimal):
            found[row.settles] = judged(here, reading_of(row, value, bench, "", day))
    return found


def disposition_of(part: PartRow, answers: Answers, proposed: Mapping[str, Judgement]) -> str:
    """What a part comes to: the hand's word, else the rule's; "" while nobody has said."""
    if chosen := answers.dispositions.get(part.id):
        return chosen
    return proposed[part.id].disposition if part.id in proposed else ""


def opening_of(here: Here, bench: Bench, answers: Answers, who: str, day: date) -> Opening:
    """The opening that these answers make. While a caution waits for its tick, parts are not
    opened, and only the readings stand in it."""
    proposed = proposals(here, bench, answers, day)
    waits = bool(waits_for(bench, answers))
    rows = [row for row in bench.measures if row.id in answers.readings]
    readings = (
        replace(reading_of(row, answers.readings[row.id], bench, who, day), id=f"T{number:02d}")
        for number, row in enumerate(rows, start=_first_number(here))
    )
    return Opening(
        bench.component,
        () if waits else tuple(_found(bench, answers, proposed)),
        () if waits else tuple(answers.lines.values()),
        tuple(readings),
        tuple(sorted(answers.ticked)),
    )


def _first_number(here: Here) -> int:
    """Readings of a teardown are numbered T01, T02 ... over the whole job."""
    before = sum(
        len(one.readings) for one in here.contract.events if isinstance(one, Opened)
    )  # fmt: skip
    return before + 1


def _found(bench: Bench, answers: Answers, proposed: Mapping[str, Judgement]) -> list[Found]:
    found = []
    for part in bench.parts:
        disposition = disposition_of(part, answers, proposed)
        if disposition in ("", OPEN):
            continue
        sound = disposition == REUSE
        told = [_against_limits(proposed[part.id])] if part.id in proposed else []
        told += [answers.words[part.id]] if answers.words.get(part.id) else []
        found.append(
            Found(
                part.id,
                SOUND if sound else WORN,
                measured="; ".join(told),
                photographs=tuple(
                    name for name, of in answers.photographs if of in ("", part.id) and not sound
                ),
                way="" if sound else disposition,
            )
        )
    return found


def _against_limits(judgement: Judgement) -> str:
    """A reading against its limits, in words: 54.90 mm, rebuild limit 54.96, service limit
    54.92."""
    measured, limits = judgement.measured, judgement.limits
    assert measured is not None
    if limits is None:
        return worded("{reading:f} {unit}", reading=measured, unit=judgement.unit)
    return worded(
        "{reading:f} {unit}, rebuild limit {rebuild:f}, service limit {service:f}",
        reading=measured,
        unit=judgement.unit,
        rebuild=limits.rebuild,
        service=limits.service,
    )


@dataclass(frozen=True, slots=True)
class Receipt:
    """The machine as it came in, as somebody wrote it down."""

    condition: str
    fluids: str = ""
    keys: str = ""
    loose_items: str = ""

    @property
    def note(self) -> str:
        """One text for the record: each matter by its name, what was left blank not at all."""
        told = (
            ("condition", self.condition), ("fluids", self.fluids), ("keys", self.keys),
            ("loose items", self.loose_items),
        )  # fmt: skip
        return "; ".join(f"{name}: {' '.join(text.split())}" for name, text in told if text.strip())
