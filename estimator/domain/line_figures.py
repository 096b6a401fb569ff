"""How the price of a line was reached, as figures that can be asked why.

Each is made only when somebody asks: a job has hundreds, and is priced with each key typed.
"""

from __future__ import annotations

from decimal import Decimal
from functools import partial

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import CalledRow, Operation, Outwork, PartsGroup
from estimator.domain.fixed_words import fixed
from estimator.domain.job import Job
from estimator.domain.money import Money
from estimator.domain.reasons import Figure, Reasons, measured, source_of
from estimator.domain.scope_line import ScopeLine
from estimator.domain.typed_lines import TYPED
from estimator.domain.wording import Worded, worded

Numbers = tuple[tuple[str, str], ...]


def note_line(
    line: ScopeLine,
    unit_inputs: tuple[str, ...],
    amount: Money,
    job: Job,
    cat: ClassCatalogue,
    reasons: Reasons,
) -> None:
    """The line's price, and its charged hours where it is labour. `unit_inputs` are the figures
    that what one unit sells for rests on."""
    inputs = tuple(f"finding/{one}" for one in line.because)
    if isinstance(line.row, Operation):
        inputs = (_note_hours(line, line.row, cat, reasons), *unit_inputs, *inputs)
    if line.typed is not None:
        inputs = (*inputs, f"line/{line.id}/worked_out")
    reasons.later(f"line/{line.id}", partial(_line, line, inputs, amount, job, cat))


def note_worked_out(
    line: ScopeLine,
    before: ScopeLine,
    unit_inputs: tuple[str, ...],
    amount: Money,
    job: Job,
    cat: ClassCatalogue,
    reasons: Reasons,
) -> None:
    """What the line would come to, had nobody typed it over."""
    reasons.later(
        f"line/{line.id}/worked_out",
        lambda: Figure(
            name=f"line/{line.id}/worked_out",
            title=worded("{name}, as worked out", name=before.row.name),
            value=amount,
            formula=_formula(before.row, job),
            inputs=(*unit_inputs, *(f"finding/{one}" for one in before.because)),
            numbers=((worded("quantity"), _quantity(before)), *_unit_numbers(before.row, job, cat)),
            rule=_rule(before),
            source=before.row.place.said,
            origin=fixed(before.row.origin),
        ),
    )


def note_range(line: ScopeLine, low: Money, high: Money, reasons: Reasons) -> None:
    """Both ends of a line that may still move."""
    for end, amount, quantity in (("low", low, line.low), ("high", high, line.high)):
        reasons.later(f"line/{line.id}/{end}", partial(_end, line, end, amount, quantity))


def _line(
    line: ScopeLine, inputs: tuple[str, ...], amount: Money, job: Job, cat: ClassCatalogue
) -> Figure:
    row = line.row
    numbers = _unit_numbers(row, job, cat)
    if not isinstance(row, Operation):
        numbers = ((worded("quantity"), _quantity(line)), *numbers)
    source, origin = source_of(row.place, row.source), fixed(row.origin)
    if line.typed is not None:
        numbers = (*numbers, *_typed_numbers(line))
        source = origin = fixed(TYPED)
    elif line.own is not None:
        numbers = (*numbers, (worded("reason"), line.own.reason), (worded("by"), line.own.by))
        source = origin = fixed(TYPED)
    return Figure(
        name=f"line/{line.id}",
        title=row.name,
        value=amount,
        formula=_formula(row, job),
        inputs=inputs,
        numbers=numbers,
        rule=_rule(line),
        source=source,
        origin=origin,
    )


def _formula(row: CalledRow, job: Job) -> Worded:
    formula = worded("quantity x cost x (1 + markup)")
    if isinstance(row, Operation):
        formula = worded("charged hours x rate")
    elif isinstance(row, PartsGroup | Outwork) and row.currency != job.terms.currency:
        formula = worded("quantity x cost x exchange rate x (1 + markup)")
    return worded("{formula}, half-up to the quoting unit", formula=formula)


def _rule(line: ScopeLine) -> Worded:
    return worded("{certainty}: {why}", certainty=fixed(line.certainty), why=line.why)


def _quantity(line: ScopeLine) -> Worded:
    return measured(line.quantity.normalize(), line.unit)


def _unit_numbers(row: CalledRow, job: Job, cat: ClassCatalogue) -> Numbers:
    """What one unit of parts or outwork costs and is sold at. An hour has a figure of its own."""
    if not isinstance(row, PartsGroup | Outwork):
        return ()
    cost, currency, own = _cost_of_one(row), row.currency, job.terms.currency
    markup = cat.markups[row.markup]
    numbers: Numbers = (
        (
            worded("cost of one"),
            worded("{cost} {currency} ({day})", cost=cost, currency=currency, day=row.price_date),
        ),
    )
    if currency != own:
        frozen = job.exchange_rates[currency]
        rate = worded(
            "{rate} {own} per {currency} ({day}, {source})",
            rate=frozen.rate,
            own=own,
            currency=currency,
            day=frozen.date,
            source=frozen.source,
        )
        numbers = (*numbers, (worded("exchange rate"), rate))
    share = worded(
        "{share:%} on cost ({name}, {place})",
        share=markup.share,
        name=markup.name,
        place=markup.place.said,
    )
    return (*numbers, (worded("markup"), share))


def _typed_numbers(line: ScopeLine) -> Numbers:
    """What was worked out, what was typed instead, why, by whom and when."""
    change, before = line.typed, line.worked_out
    assert change is not None
    assert before is not None  # the two go together
    numbers: list[tuple[str, str]] = []
    if change.quantity is not None:
        numbers += [
            (worded("worked out"), _quantity(before)),
            (worded("typed"), _quantity(line)),
        ]
    if change.unit_cost is not None and isinstance(before.row, PartsGroup | Outwork):
        old, currency = _cost_of_one(before.row), before.row.currency
        numbers += [
            (worded("cost of one in the catalogue"), measured(old, currency)),
            (worded("cost of one typed"), measured(change.unit_cost, currency)),
        ]
    return (
        *numbers,
        (worded("reason"), change.reason),
        (worded("by"), change.by),
        (worded("date"), worded("{day}", day=change.date)),
    )


def _cost_of_one(row: PartsGroup | Outwork) -> Decimal:
    return row.unit_cost if isinstance(row, PartsGroup) else row.cost_each


def _note_hours(line: ScopeLine, row: Operation, cat: ClassCatalogue, reasons: Reasons) -> str:
    name = f"hours/{line.id}"
    if line.own is None and (line.typed is None or line.typed.quantity is None):
        return reasons.later(name, partial(_worked_hours, name, line, row, cat))
    inputs: tuple[str, ...] = ()
    if (before := line.worked_out) is not None:
        worked = f"{name}/worked_out"
        inputs = (reasons.later(worked, partial(_worked_hours, worked, before, row, cat)),)
    return reasons.later(name, partial(_typed_hours, name, line, row, inputs))


def _typed_hours(name: str, line: ScopeLine, row: Operation, inputs: tuple[str, ...]) -> Figure:
    typed = line.worked_out is not None
    return Figure(
        name=name,
        title=worded("Charged hours, {name}", name=row.name),
        value=line.quantity,
        unit="h",
        formula=worded("as typed"),
        inputs=inputs,
        numbers=_typed_numbers(line)
        if typed
        else ((worded("crew"), worded("{value}", value=row.crew)),),
        source=fixed(TYPED),
        origin=fixed(TYPED),
    )


_HOURS = {  # (counted by a part, following several parts)
    (False, False): worded("hours at the class x difficulty"),
    (True, False): worded("hours at the class x difficulty x quantity counted"),
    (False, True): worded("hours at the class x difficulty x number of parts"),
    (True, True): worded("hours at the class x difficulty x quantity counted x number of parts"),
}


def _worked_hours(name: str, line: ScopeLine, row: Operation, cat: ClassCatalogue) -> Figure:
    difficulty = cat.difficulty[row.difficulty]
    home = row.at_class or cat.settings.reference_class
    scale = cat.scale_factors.get((row.scaling, home), Decimal(1))
    hours = worded("{hours} h", hours=row.hours)
    if row.hours_per:
        hours = worded("{hours} h for each of {part}", hours=row.hours, part=row.hours_per)
    numbers = (
        (worded("hours at the class"), hours),
        (
            worded("size factor"),
            worded(
                "{factor} ({scaling}, from {home})", factor=scale, scaling=row.scaling, home=home
            ),
        ),
        (
            worded("difficulty"),
            worded("{factor} ({when})", factor=difficulty.factor, when=difficulty.when),
        ),
        (worded("crew"), worded("{crew} (changes elapsed time, not hours)", crew=row.crew)),
    )
    return Figure(
        name=name,
        title=worded("Charged hours, {name}", name=row.name),
        value=line.quantity,
        unit="h",
        formula=_HOURS[bool(row.hours_per), len(row.follows) > 1],
        numbers=numbers,
        source=row.place.said,
        origin=fixed(row.origin),
    )


def _end(line: ScopeLine, end: str, amount: Money, quantity: Decimal) -> Figure:
    return Figure(
        name=f"line/{line.id}/{end}",
        title=worded("{name}, {end}", name=line.row.name, end=fixed(end)),
        value=amount,
        formula=worded("as the line, at this quantity"),
        inputs=(f"line/{line.id}",),
        numbers=((worded("quantity"), measured(quantity.normalize(), line.unit)),),
        rule=line.row.range_reason or line.why,
        source=line.row.place.said,
        origin=fixed(line.row.origin),
    )
