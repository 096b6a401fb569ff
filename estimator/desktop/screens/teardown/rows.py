"""Rows of the bench: what to measure, parts still closed, lines to be measured. No Qt."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _
from estimator.desktop.trade_words import disposition_word, looked_word
from estimator.desktop.widgets.columns import NotValid
from estimator.domain.contract.variation import WORN
from estimator.domain.disposition import Judgement
from estimator.domain.finding_edits import known_unit, split_reading
from estimator.domain.units import UnitError, converted
from estimator.domain.wear import Limits
from estimator.services.plan_opening import Answers, disposition_of
from estimator.services.record_teardown import MeasuredAgain
from estimator.services.show_bench import SETTLED_FIRM, Bench, LineRow, MeasureRow, PartRow

MEASURE, PART, LINE = "measure", "part", "line"
LONGEST_WORDS = 200
PER_CENT = "%"


@dataclass(frozen=True, slots=True)
class BenchHead:
    """Head of a kind of rows."""

    id: str
    name: str


@dataclass(frozen=True, slots=True)
class BenchRow:
    """One row in words. `typed` stands in the field; `answer` is what is to be done with a part,
    `by_rule` while nobody but the rule has said so; `open_` rows take text."""

    id: str
    kind: str
    name: str
    second: str
    tone: str
    typed: str
    limits: Limits | None = None
    measured: Decimal | None = None
    answer: str = ""
    by_rule: bool = False
    open_: bool = True
    row: MeasureRow | PartRow | LineRow | None = None

    @property
    def code(self) -> str:
        """Code of the measure, part or line."""
        return self.id.partition("/")[2]


def bench_rows(
    bench: Bench,
    answers: Answers,
    proposed: Mapping[str, Judgement],
    say: Formats,
    *,
    narrow: bool = False,
) -> list[tuple[BenchHead, tuple[BenchRow, ...]]]:
    """The bench in its order; a kind of which there is nothing is left out. In a narrow one the
    limits stand in the second line."""
    sections = (
        (
            BenchHead("head/part", _("Parts that only opening shows")),
            tuple(_part(one, answers, proposed, say) for one in bench.parts),
        ),
        (
            BenchHead("head/measure", _("What to measure")),
            tuple(_measure(one, answers, say, narrow=narrow) for one in bench.measures),
        ),
        (
            BenchHead("head/line", _("Priced, to be measured")),
            tuple(_line(one, answers, say) for one in bench.lines),
        ),
    )
    return [(head, rows) for head, rows in sections if rows]


def _part(
    part: PartRow, answers: Answers, proposed: Mapping[str, Judgement], say: Formats
) -> BenchRow:
    closed = part.state in ("", SETTLED_FIRM)
    disposition = disposition_of(part, answers, proposed)
    tone = "exp_text" if part.state == "" else "ink3"
    if part.state == WORN:
        tone = "attn_text"
    return BenchRow(
        f"{PART}/{part.id}", PART, part.name, _part_words(part, say), tone,
        answers.words.get(part.id, ""),
        answer=disposition_word(disposition) if disposition else "",
        by_rule=part.id not in answers.dispositions,
        open_=closed, row=part,
    )  # fmt: skip


def _part_words(part: PartRow, say: Formats) -> str:
    if part.state == WORN:
        said = _("found worn, {number}").format(number=part.variation)
        return said if part.variation else _("found worn")
    if part.state == SETTLED_FIRM:
        return _("priced as worn, {chance} likely").format(chance=say.percent(part.chance))
    if part.state:
        return _("found sound")
    return _("closed, {chance} worn; {low} {dash} {high}").format(
        chance=say.percent(part.chance), low=say.sum(part.low), dash=DASH, high=say.sum(part.high)
    )


def as_written(value: Decimal, say: Formats) -> str:
    """With the places it was written with: 0.30 is not 0.3 to whoever reads a gauge."""
    exponent = value.as_tuple().exponent
    return say.number(value, max(-exponent, 0) if isinstance(exponent, int) else 0)


def _measure(row: MeasureRow, answers: Answers, say: Formats, *, narrow: bool) -> BenchRow:
    value = answers.readings.get(row.id)
    measured = value if isinstance(value, Decimal) else None
    second = looked_word(row.kind) + (f", {row.unit}" if row.limits is not None else "")
    if narrow and row.limits is not None:
        limits = (row.limits.new, row.limits.rebuild, row.limits.service)
        second = " / ".join(as_written(one, say) for one in limits) + f" {row.unit}"
    if row.reading is not None and value is None:
        measured = row.reading.measured
        earlier = row.reading.reading if measured is None else as_written(measured, say)
        second = _("{value}, recorded by {who}").format(value=earlier, who=row.by)
    typed = as_written(value, say) if isinstance(value, Decimal) else value or ""
    return BenchRow(
        f"{MEASURE}/{row.id}", MEASURE, row.name, second, "ink3", typed, row.limits, measured,
        row=row,
    )  # fmt: skip


def _line(row: LineRow, answers: Answers, say: Formats) -> BenchRow:
    quoted = _("quoted {quantity} {unit}, {low} {dash} {high}").format(
        quantity=say.number(row.quantity), unit=row.unit, low=say.number(row.low), dash=DASH,
        high=say.number(row.high),
    )  # fmt: skip
    again = answers.lines.get(row.id)
    typed = ""
    if again is not None:
        value = again.value * 100 if again.by_factor else again.value
        typed = say.number(value) + (f" {PER_CENT}" if again.by_factor else "")
    answer = ""
    if row.measured is not None:
        quoted = _("measured: {was} \u2192 {now}").format(
            was=say.sum(row.measured.before), now=say.sum(row.measured.after)
        )
    elif row.as_priced:
        quoted = _("found as priced")
    open_ = row.measured is None and not row.as_priced
    return BenchRow(
        f"{LINE}/{row.id}", LINE, row.name, quoted, "ink3", typed, answer=answer, open_=open_,
        row=row,
    )  # fmt: skip


# What is typed


def read_typed(row: BenchRow, text: str, say: Formats) -> Decimal | str | MeasuredAgain | None:
    """The value of what was typed into a row; None takes it back. Raises NotValid, NotANumber."""
    text = " ".join(text.split())
    if not text:
        return None
    if len(text) > LONGEST_WORDS:
        raise NotValid(_("Longer than {n} signs. Say it shorter.").format(n=LONGEST_WORDS))
    if isinstance(row.row, LineRow):
        return _quantity(row.row, text, say)
    if isinstance(row.row, MeasureRow) and row.row.limits is not None:
        return _number(row.row, text, say)
    return text


def _number(row: MeasureRow, text: str, say: Formats) -> Decimal:
    number, unit = split_reading(text)
    value = say.read_number(number)
    if not unit:
        return value
    try:
        return converted(value, known_unit(unit), row.unit)
    except UnitError as error:
        raise NotValid(
            _("{error}. Write the reading in {unit}.").format(error=error, unit=row.unit)
        ) from None


def _quantity(row: LineRow, text: str, say: Formats) -> MeasuredAgain:
    by_factor = text.endswith(PER_CENT)
    value = say.read_number(text.removesuffix(PER_CENT).strip())
    if value < 0:
        raise NotValid(_("A quantity lies not below nought."))
    return MeasuredAgain(row.id, value / 100 if by_factor else value, by_factor)
