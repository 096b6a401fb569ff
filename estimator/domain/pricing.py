"""From a scope to prices, line by line.

Labour: charged hours x rate. Parts: quantity x cost x exchange rate x (1 + markup). Outwork the
same. Each line is rounded half-up to the quoting unit; nothing before it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import Operation, Outwork, PartsGroup
from estimator.domain.charge_rate import charge_rate, cost_rate, note_rate
from estimator.domain.job import Job
from estimator.domain.money import Money, money_half_up
from estimator.domain.reasons import Figure, Reasons
from estimator.domain.scope import Scope
from estimator.domain.scope_line import ScopeLine
from estimator.domain.typed_lines import TYPED


class NoRate(ValueError):
    """A currency that the job holds no frozen exchange rate for."""


@dataclass(frozen=True, slots=True)
class PricedLine:
    """A scope line with its price (likely, low, high) and the workshop's own cost of it."""

    line: ScopeLine
    amount: Money
    low: Money
    high: Money
    cost: Decimal  # in the quote's currency, not rounded; never printed for the customer

    @property
    def id(self) -> str:
        """The line's catalogue code."""
        return self.line.id


@dataclass(frozen=True, slots=True)
class Unit:
    """What one unit (an hour, a piece) sells for and costs, in the quote's currency."""

    price: Decimal
    cost: Decimal
    inputs: tuple[str, ...]
    numbers: tuple[tuple[str, str], ...]
    formula: str


def exchange_rate(job: Job, currency: str) -> Decimal:
    """What one unit of `currency` costs in the quote's. Raises NoRate."""
    if currency == job.terms.currency:
        return Decimal(1)
    try:
        return job.exchange_rates[currency].rate
    except KeyError:
        raise NoRate(f"no exchange rate for {currency}") from None


def price_lines(
    job: Job, cat: ClassCatalogue, scope: Scope, reasons: Reasons
) -> tuple[PricedLine, ...]:
    """Every line of the scope with its price; how each was reached goes into `reasons`."""
    step, currency = job.terms.quoting_unit, job.terms.currency
    by_trade: dict[str, Unit] = {}  # one rate for all lines of a trade
    priced = []
    for line in scope.lines:
        if isinstance(line.row, Operation):
            trade = line.row.trade
            if trade not in by_trade:
                by_trade[trade] = unit_price(line.row, job, cat, reasons)
            unit = by_trade[trade]
        else:
            unit = unit_price(line.row, job, cat, reasons)
        amount = low = high = money_half_up(line.quantity * unit.price, currency, step)
        if line.low != line.quantity:
            low = money_half_up(line.low * unit.price, currency, step)
        if line.high != line.quantity:
            high = money_half_up(line.high * unit.price, currency, step)
        priced.append(PricedLine(line, amount, low, high, line.quantity * unit.cost))
        _note_line(line, unit, amount, cat, reasons)
        if line.worked_out is not None:
            _note_worked_out(line, line.worked_out, job, cat, reasons)
        if line.low != line.high:
            _note_range(line, low, high, reasons)
    return tuple(priced)


def unit_price(row: object, job: Job, cat: ClassCatalogue, reasons: Reasons | None = None) -> Unit:
    """What one unit of a catalogue row sells for. Raises NoRate."""
    if isinstance(row, Operation):
        return _labour_unit(row, job, cat, reasons)
    if isinstance(row, PartsGroup):
        cost, currency, markup_id = row.unit_cost, row.currency, row.markup
    else:
        assert isinstance(row, Outwork)
        cost, currency, markup_id = row.cost_each, row.currency, row.markup
    rate = exchange_rate(job, currency)
    markup = cat.markups[markup_id]
    numbers = [("cost of one", f"{cost} {currency} ({row.price_date.isoformat()})")]
    if currency != job.terms.currency:
        frozen = job.exchange_rates[currency]
        numbers.append(
            (
                "exchange rate",
                f"{rate} {job.terms.currency} per {currency} "
                f"({frozen.date.isoformat()}, {frozen.source})",
            )
        )
    numbers.append(("markup", f"{markup.share:%} on cost ({markup.name}, {markup.place})"))
    return Unit(
        price=cost * rate * (1 + markup.share),
        cost=cost * rate,
        inputs=(),
        numbers=tuple(numbers),
        formula="quantity x cost"
        + (" x exchange rate" if currency != job.terms.currency else "")
        + " x (1 + markup)",
    )


def _labour_unit(row: Operation, job: Job, cat: ClassCatalogue, reasons: Reasons | None) -> Unit:
    trade = cat.trades[row.trade]
    inputs = (note_rate(trade, reasons),) if reasons is not None else ()
    rate = exchange_rate(job, trade.currency)
    return Unit(
        charge_rate(trade) * rate, cost_rate(trade) * rate, inputs, (), "charged hours x rate"
    )


def _note_line(
    line: ScopeLine, unit: Unit, amount: Money, cat: ClassCatalogue, reasons: Reasons
) -> None:
    row = line.row
    inputs = tuple(f"finding/{one}" for one in line.because)
    numbers = unit.numbers
    if isinstance(row, Operation):
        inputs = (_note_hours(line, row, cat, reasons), *unit.inputs, *inputs)
    else:
        numbers = (("quantity", _quantity(line)), *unit.numbers)
    source, origin = f"{row.place}" + (f"; {row.source}" if row.source else ""), row.origin
    if line.typed is not None:
        inputs = (*inputs, f"line/{line.id}/worked_out")
        numbers = (*numbers, *_typed_numbers(line))
        source = origin = TYPED
    elif line.own is not None:
        numbers = (*numbers, ("reason", line.own.reason), ("by", line.own.by))
        source = origin = TYPED
    reasons.note(
        Figure(
            name=f"line/{line.id}",
            title=row.name,
            value=amount,
            formula=f"{unit.formula}, half-up to the quoting unit",
            inputs=inputs,
            numbers=numbers,
            rule=f"{line.certainty}: {line.why}",
            source=source,
            origin=origin,
        )
    )


def _quantity(line: ScopeLine) -> str:
    return f"{line.quantity.normalize():f} {line.unit}"


def _typed_numbers(line: ScopeLine) -> list[tuple[str, str]]:
    """What was worked out, what was typed instead, why, by whom and when."""
    change, before = line.typed, line.worked_out
    assert change is not None
    assert before is not None  # the two go together
    numbers = []
    if change.quantity is not None:
        numbers += [("worked out", _quantity(before)), ("typed", _quantity(line))]
    if change.unit_cost is not None and isinstance(before.row, PartsGroup | Outwork):
        old, currency = _cost_of_one(before.row), before.row.currency
        numbers += [
            ("cost of one in the catalogue", f"{old} {currency}"),
            ("cost of one typed", f"{change.unit_cost} {currency}"),
        ]
    return [
        *numbers,
        ("reason", change.reason),
        ("by", change.by),
        ("date", change.date.isoformat()),
    ]


def _cost_of_one(row: PartsGroup | Outwork) -> Decimal:
    return row.unit_cost if isinstance(row, PartsGroup) else row.cost_each


def _note_worked_out(
    line: ScopeLine, before: ScopeLine, job: Job, cat: ClassCatalogue, reasons: Reasons
) -> None:
    """What the line would come to, had nobody typed it over."""
    unit = unit_price(before.row, job, cat, reasons)
    reasons.note(
        Figure(
            name=f"line/{line.id}/worked_out",
            title=f"{before.row.name}, as worked out",
            value=money_half_up(
                before.quantity * unit.price, job.terms.currency, job.terms.quoting_unit
            ),
            formula=f"{unit.formula}, half-up to the quoting unit",
            inputs=(*unit.inputs, *(f"finding/{one}" for one in before.because)),
            numbers=(("quantity", _quantity(before)), *unit.numbers),
            rule=f"{before.certainty}: {before.why}",
            source=f"{before.row.place}",
            origin=before.row.origin,
        )
    )


def _note_hours(line: ScopeLine, row: Operation, cat: ClassCatalogue, reasons: Reasons) -> str:
    name = f"hours/{line.id}"
    if line.own is not None or (line.typed is not None and line.typed.quantity is not None):
        inputs: tuple[str, ...] = ()
        numbers: list[tuple[str, str]] = [("crew", f"{row.crew}")]
        if line.worked_out is not None:
            inputs = (_note_worked_hours(f"{name}/worked_out", line.worked_out, row, cat, reasons),)
            numbers = _typed_numbers(line)
        reasons.note(
            Figure(
                name=name,
                title=f"Charged hours, {row.name}",
                value=line.quantity,
                unit="h",
                formula="as typed",
                inputs=inputs,
                numbers=tuple(numbers),
                source=TYPED,
                origin=TYPED,
            )
        )
        return name
    return _note_worked_hours(name, line, row, cat, reasons)


def _note_worked_hours(
    name: str, line: ScopeLine, row: Operation, cat: ClassCatalogue, reasons: Reasons
) -> str:
    difficulty = cat.difficulty[row.difficulty]
    home = row.at_class or cat.settings.reference_class
    scale = cat.scale_factors.get((row.scaling, home), Decimal(1))
    numbers = (
        (
            "hours at the class",
            f"{row.hours} h" + (f" for each of {row.hours_per}" if row.hours_per else ""),
        ),
        ("size factor", f"{scale} ({row.scaling}, from {home})"),
        ("difficulty", f"{difficulty.factor} ({difficulty.when})"),
        ("crew", f"{row.crew} (changes elapsed time, not hours)"),
    )
    reasons.note(
        Figure(
            name=name,
            title=f"Charged hours, {row.name}",
            value=line.quantity,
            unit="h",
            formula="hours at the class x difficulty"
            + (" x quantity counted" if row.hours_per else "")
            + (" x number of parts" if len(row.follows) > 1 else ""),
            numbers=numbers,
            source=f"{row.place}",
            origin=row.origin,
        )
    )
    return name


def _note_range(line: ScopeLine, low: Money, high: Money, reasons: Reasons) -> None:
    for label, amount, quantity in (("low", low, line.low), ("high", high, line.high)):
        reasons.note(
            Figure(
                name=f"line/{line.id}/{label}",
                title=f"{line.row.name}, {label}",
                value=amount,
                formula="as the line, at this quantity",
                inputs=(f"line/{line.id}",),
                numbers=(("quantity", f"{quantity.normalize():f} {line.unit}"),),
                rule=line.row.range_reason or line.why,
                source=f"{line.row.place}",
                origin=line.row.origin,
            )
        )
