"""Price lines, lines measured again and ways as typed, and what each comes to. No Qt."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.telling import told_of
from estimator.domain.contract.remeasure import NotInQuote, Wanted, priced_line, remeasured_line
from estimator.domain.contract.variation import Remeasured, VariationLine
from estimator.domain.money import Money, money_sum
from estimator.domain.pricing import NoRate
from estimator.domain.scope_line import LABOUR, PARTS
from estimator.services.write_contract import Here


@dataclass(frozen=True, slots=True)
class LineText:
    """A price line as typed."""

    id: str
    kind: str = PARTS
    what: str = ""
    quantity: str = "1"
    trade: str = ""
    cost: str = ""
    currency: str = ""
    markup: str = ""
    part: str = ""
    unit: str = ""


@dataclass(frozen=True, slots=True)
class MeasureText:
    """A line of the quote measured again, as typed."""

    id: str
    row_id: str = ""
    quantity: str = ""


@dataclass(frozen=True, slots=True)
class WayText:
    """A way offered, as typed."""

    id: str
    way: str = "recondition"
    what: str = ""
    price: str = ""
    days: str = "0"
    warranty: str = ""
    note: str = ""


def is_blank(text: LineText | MeasureText | WayText) -> bool:
    """Whether nobody has written into a row."""
    if isinstance(text, LineText):
        return not text.what.strip() and not text.cost.strip()
    if isinstance(text, MeasureText):
        return not text.row_id and not text.quantity.strip()
    return not text.what.strip() and not text.price.strip()


def line_of(text: LineText, here: Here, say: Formats) -> tuple[VariationLine | None, str]:
    """A price line at the quote's own rates, or why it is none yet."""
    if not text.what.strip():
        return None, _("Say what it is.")
    labour = text.kind == LABOUR
    try:
        quantity = say.read_number(text.quantity)
        cost = Decimal(0) if labour else say.read_number(text.cost)
        wanted = Wanted(
            kind=text.kind, what=" ".join(text.what.split()), quantity=quantity,
            unit="" if labour else text.unit, trade=text.trade if labour else "", unit_cost=cost,
            currency="" if labour else text.currency, markup="" if labour else text.markup,
            part=text.part,
        )  # fmt: skip
        return priced_line(here.work, wanted), ""
    except (NotInQuote, NoRate, ValueError) as error:
        return None, _reason(error)


def _reason(error: Exception) -> str:
    said = told_of(error)
    return said[:1].upper() + said[1:]


def measure_of(text: MeasureText, here: Here, say: Formats) -> tuple[Remeasured | None, str]:
    """A line of the quote measured again, or why it is none yet."""
    if not text.row_id:
        return None, _("Choose a line of the quote.")
    try:
        quantity = say.read_number(text.quantity)
        return remeasured_line(here.work, text.row_id, by_factor=False, value=quantity), ""
    except (NotInQuote, ValueError) as error:
        return None, _reason(error)


def lines_sum(texts: Iterable[LineText], here: Here, say: Formats) -> Money:
    """What the lines that can be priced come to."""
    found = (line_of(one, here, say)[0] for one in texts)
    return money_sum((one.amount for one in found if one is not None), here.contract.currency)


def measures_sum(texts: Iterable[MeasureText], here: Here, say: Formats) -> Money:
    """What the lines measured again change of the sum."""
    found = (measure_of(one, here, say)[0] for one in texts)
    return money_sum((one.change for one in found if one is not None), here.contract.currency)
