"""What every paper of a contract is filled from: one reading of the record, names, sums with tax,
photographs, cautions."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal

from estimator.domain.catalogue.rows import Caution
from estimator.domain.catalogue.work_rows import Operation
from estimator.domain.contract.contract import Case
from estimator.domain.contract.effect import before_answer
from estimator.domain.contract.forms import FIXED
from estimator.domain.contract.papers import Answered, Head, MeasuredLine, Picture, Sum
from estimator.domain.contract.remeasure import asks_again
from estimator.domain.contract.states import DONE, RELEASED
from estimator.domain.contract.variation import (
    CHARGED_TO_NOBODY,
    CONTINGENCY,
    REMEASURED,
    Remeasured,
    Variation,
)
from estimator.domain.in_language import in_language
from estimator.domain.money import Money, money_half_up, money_sum
from estimator.domain.record import IssuedQuote, Photograph
from estimator.domain.teardown import with_tax
from estimator.services.frozen_quote import issued_revision
from estimator.services.open_record import Record
from estimator.services.photographs import picture_of
from estimator.services.write_contract import Here, contract_here
from estimator.storage import photograph_record
from estimator.storage.change_log import head as log_head

_KILOGRAMS = Decimal(1000)


@dataclass(frozen=True)
class Sources:
    """A contract as it stands, and what of the record goes on paper with it."""

    record: Record
    here: Here
    issued: IssuedQuote
    head: Head
    photographs: tuple[Photograph, ...]
    _read: dict[str, bytes] = field(default_factory=dict)

    def sum_of(self, net: Money) -> Sum:
        """A sum with the tax of its job."""
        return Sum(net, with_tax(net, self.here.job, self.here.work.cat).gross)

    def component(self, code: str) -> str:
        """Name of a component; its code where the catalogue has none."""
        row = self.here.work.cat.components.get(code)
        return row.name if row is not None else code

    def part(self, code: str) -> str:
        """Name of a part; its code where the catalogue has none."""
        row = self.here.work.cat.parts.get(code)
        return row.name if row is not None else code

    def components_of(self, variation: Variation) -> tuple[str, ...]:
        """The components that a variation touches: its own, else those of its parts and lines."""
        cat = self.here.work.cat
        if variation.component in cat.components:
            return (variation.component,)
        lines = {line.id: line.line.row.component for line in self.here.work.lines}
        found = [cat.parts[part].component for part in variation.parts if part in cat.parts]
        found += [lines[one.row_id] for one in variation.remeasured if one.row_id in lines]
        return tuple(dict.fromkeys(found))

    def held_by_group(self) -> dict[str, Money]:
        """What the accepted revision held for each component group, as it was issued."""
        currency = self.here.contract.currency
        if not self.here.contract.acceptance.contingency:
            return {}
        figures: Mapping[str, Mapping[str, str]] = json.loads(self.issued.figures)
        found = {}
        for code in self.here.work.cat.groups:
            figure = figures.get(f"group/{code}/contingency")
            if figure is not None:
                found[code] = _money(figure["value"], currency)
        return found

    def charged(self, variation: Variation) -> bool:
        """Whether the customer pays for a variation: not what the workshop or a supplier bears, nor
        what is found inside the scope of a fixed price."""
        if variation.end in CHARGED_TO_NOBODY:
            return False
        return not self.head.fixed or variation.end not in (CONTINGENCY, REMEASURED)

    def amount_of(self, variation: Variation) -> Money | None:
        """What a variation comes to for the customer, lines measured again included; None while it
        has no price."""
        currency = self.here.contract.currency
        if not self.charged(variation):
            return Money(0, currency)
        if not variation.is_priced:
            return None
        if variation.end != REMEASURED:
            return variation.amount(currency)
        return before_answer(self.here.contract, variation.number).would_change(variation)

    def measured_line(self, one: Remeasured, known: Remeasured | None = None) -> MeasuredLine:
        """A line measured again, by its printed name; it counts from `known` where it was measured
        before."""
        names = {line.id: line.line.row.name for line in self.here.work.lines}
        name = names.get(one.row_id, one.row_id)
        before = one.before if known is None else known.after
        return MeasuredLine(name, before, one.after, one.after - before, asks_again(one))

    def pictures(self, names: Iterable[str], of: Iterable[str], most: int) -> tuple[Picture, ...]:
        """Photographs by name, then those of these findings or variations, `most` of them."""
        return tuple(self._picture(one) for one in self.shown(names, of)[:most])

    def shown(self, names: Iterable[str], of: Iterable[str]) -> list[Photograph]:
        """Photographs by name, then those of these findings or variations."""
        by_name = {one.name: one for one in self.photographs}
        chosen = [by_name[name] for name in names if name in by_name]
        owners = set(of)
        chosen += [one for one in self.photographs if one.finding in owners]
        return list({one.id: one for one in chosen}.values())

    def _picture(self, one: Photograph) -> Picture:
        if one.id not in self._read:
            self._read[one.id] = picture_of(self.record, one)
        return Picture(one.name, one.caption, self._read[one.id], one.width, one.height)

    def cautions(self, components: Iterable[str], parts: Iterable[str] = ()) -> tuple[Caution, ...]:
        """Cautions of the work that puts these parts right; where there is none, of the scope's
        work on these components. In the order of the catalogue."""
        cat, wanted, where = self.here.work.cat, set(parts), set(components)
        rows = [row for row in cat.operations.values() if wanted & set(row.follows)]
        if not any(row.cautions for row in rows):
            rows = [
                line.line.row
                for line in self.here.work.lines
                if isinstance(line.line.row, Operation) and line.line.row.component in where
            ]
        used = {code for row in rows for code in row.cautions}
        return tuple(row for code, row in cat.cautions.items() if code in used)

    def in_language(self, language: str) -> Sources:
        """The same with the catalogue's names in a language."""
        work = in_language(self.here.work, language)
        if work is self.here.work:
            return self
        strip = self.here.strip and in_language(self.here.strip, language)
        here = replace(self.here, work=work, strip=strip)
        return replace(self, here=here, head=head_of(here, self.head.day, self.head.chain_head))


def read_sources(record: Record, number: str, day: date) -> Sources:
    """What the papers of a job's contract are filled from. Raises NotFound, NotReckoned."""
    with record.reading() as session:
        kept, here = contract_here(session, number)
        issued = issued_revision(session, number, here.contract.acceptance.revision)
        photographs = tuple(photograph_record.photographs(session, kept.id))
        chain_head = log_head(session)
    return Sources(record, here, issued, head_of(here, day, chain_head), photographs)


def head_of(here: Here, day: date, chain_head: str = "") -> Head:
    """What stands at the top of a contract's papers."""
    job, cat = here.job, here.work.cat
    tax, accepted = cat.tax[job.terms.tax_category], here.contract.acceptance
    return Head(
        number=job.number,
        revision=accepted.revision,
        workshop=job.workshop,
        customer=job.customer,
        machine=cat.machine_class.type,
        tonnes=cat.machine_class.operating_mass_kg / _KILOGRAMS,
        serial=job.machine.serial,
        hours=job.machine.hours,
        day=day,
        currency=job.terms.currency,
        quoting_unit=job.terms.quoting_unit,
        tax=tax.name,
        tax_percent=tax.rate_percent,
        order=here.contract.purchase_order,
        held=bool(accepted.contingency) and accepted.commercial_form != FIXED,
        fixed=accepted.commercial_form == FIXED,
        chain_head=chain_head,
    )


def _money(text: str, currency: str) -> Money:
    return money_half_up(Decimal(text), currency)


def answer_of(case: Case, currency: str) -> Answered | None:
    """The answer that a variation got; None while it has none."""
    steps = [one for one in case.steps if one.state not in (RELEASED, DONE)]
    step = steps[-1]
    if case.is_open or not case.agreed_by:
        return None
    amount = None
    if case.funding is not None:
        parts = (case.funding.from_contingency, case.funding.on_contract_sum,
                 case.funding.on_workshop)  # fmt: skip
        amount = money_sum(parts, currency)
    return Answered(
        step.state, step.who, step.capacity, case.agreed_side, step.channel, step.at, step.words,
        step.reason, amount, tuple(line + 1 for line in case.agreed_lines),
    )  # fmt: skip
