"""A quote as it leaves the workshop: every figure and text a document needs, nothing to reckon.

Documents take a `Quote` and give bytes. Clauses come from the catalogue by language; one that a
language lacks is taken in English, and said so.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from decimal import Decimal

from estimator.domain.adoption import STARTING_VALUE
from estimator.domain.catalogue.catalogue import ClassCatalogue, fits
from estimator.domain.catalogue.names import lacking, stages_in
from estimator.domain.catalogue.rows import Caution, Clause, Warranty
from estimator.domain.catalogue.work_rows import CalledRow, Operation, PartsGroup
from estimator.domain.exposure.contingency import PERCENTILE, Share
from estimator.domain.in_language import in_language, offer_in
from estimator.domain.job_data import findings_as_data, job_as_data
from estimator.domain.language import ENGLISH, is_english
from estimator.domain.money import Money, money_half_up
from estimator.domain.options import LevelOption, level_option, level_options
from estimator.domain.priced_job import PricedJob
from estimator.domain.pricing import exchange_rate
from estimator.domain.quote_length import STANDARD, section_in, stands_in
from estimator.domain.scope import PARTS
from estimator.domain.teardown import TeardownOffer, teardown_offer

LONG_LEAD_WEEKS = Decimal(4)
EARNED_CASES = 10  # own teardowns behind a chance before print states odds that rest on it
FILL_IN = re.compile(r"\{(\w+)\}")


@dataclass(frozen=True, slots=True)
class ExchangeUnit:
    """A unit sent back against a charge that is held until it is accepted."""

    name: str
    quantity: Decimal
    charge_each: Money


@dataclass(frozen=True, slots=True)
class LongLead:
    """A part in the scope that takes long to come."""

    name: str
    weeks: Decimal


@dataclass(frozen=True, slots=True)
class ClauseText:
    """A clause as it will be printed; `in_english` where the document's language lacks it,
    `unconfirmed` where it is a translation that nobody at the workshop has confirmed."""

    id: str
    section: str
    text: str
    in_english: bool
    unconfirmed: bool = False


@dataclass(frozen=True, slots=True)
class Quote:
    """Everything that a printed quote holds."""

    priced: PricedJob
    language: str
    valid_until: date
    ready_likely: date  # half of the scenarios end by this day
    ready_covered: date  # as many as the contingency covers
    ready_nothing_worn: date
    clauses: Mapping[str, tuple[ClauseText, ...]]  # by section, in order
    cautions: tuple[Caution, ...]
    warranty: tuple[tuple[str, Warranty], ...]  # (group name, row), groups in this scope
    exchange_units: tuple[ExchangeUnit, ...]
    long_leads: tuple[LongLead, ...]
    unseen: tuple[str, ...]  # names of the exposed parts nobody could see, largest share first
    left_out: tuple[str, ...]  # groups not in this scope, and parts excluded from it
    added: tuple[str, ...]  # lines put in by hand
    removed: tuple[str, ...]  # catalogue rows taken out by hand
    not_held: tuple[str, ...]  # kinds of work that may be found, for which nothing is held
    not_looked_at: tuple[str, ...]  # parts nobody looked at, priced at nothing
    order_by: date  # order to be here by then for the dates to hold
    shares: tuple[Share, ...]
    teardown: TeardownOffer
    options: tuple[LevelOption, ...]
    record: str  # fingerprint of everything that made the figures
    stage_names: Mapping[str, str] = field(default_factory=dict)  # of stages the language names
    names_lacking: int = 0  # names of the catalogue that stayed English in another language
    length: str = STANDARD  # short, standard or full: how much is printed

    @property
    def unconfirmed(self) -> tuple[ClauseText, ...]:
        """The clauses that are translations which nobody at the workshop has confirmed."""
        return tuple(one for texts in self.clauses.values() for one in texts if one.unconfirmed)

    @property
    def partly_english(self) -> bool:
        """Whether some of its text is left in English, in another language than that."""
        if is_english(self.language):
            return False
        clauses = (one.in_english for texts in self.clauses.values() for one in texts)
        return bool(self.names_lacking) or any(clauses)

    @property
    def starting_values(self) -> bool:
        """Whether any chance behind the contingency rests on a starting value."""
        return any(p.chance.rests_on == "starting value" for p in self.priced.exposed)

    @property
    def own_cases(self) -> bool:
        """Whether any chance behind the contingency rests on the workshop's own cases."""
        return any(part.chance.own_cases for part in self.priced.exposed)

    @property
    def odds_earned(self) -> bool:
        """Whether print may say how often the contingency is enough: every open part rests on the
        workshop's own cases, enough of them, no cost is a starting value, and the sum is the one
        that so many outcomes do not exceed, not the mean."""
        exposed, found = self.priced.exposed, self.priced.found
        enough = exposed and all(part.chance.own_cases >= EARNED_CASES for part in exposed)
        origins = {way.rests_on for part in exposed for way in part.ways}
        origins |= {one.row.origin for one in found}
        known = STARTING_VALUE not in origins
        return bool(enough) and known and self.priced.contingency.bound == PERCENTILE

    @property
    def most_of_it(self) -> tuple[tuple[str, Money], ...]:
        """(component group, its share): the fewest groups that hold more than half of the
        contingency together, the largest first; none where nothing is held."""
        price, found = self.priced.price, list[tuple[str, Money]]()
        left = price.contingency.minor
        for group in sorted(price.groups, key=lambda one: (-one.contingency.minor, one.group)):
            if 2 * left < price.contingency.minor or not price.contingency:
                break
            found.append((group.name, group.contingency))
            left -= group.contingency.minor
        return tuple(found)


def build_quote(
    priced: PricedJob, language: str = "en", *, with_options: bool = True, length: str = STANDARD
) -> Quote:
    """The quote of a priced job, in a language and a length; clauses and names of the catalogue
    that the language lacks are left in English one by one.

    `with_options` reckons the other rebuild level too, which takes as long as the job itself.
    """
    english, priced = priced, in_language(priced, language)
    job, cat = priced.job, priced.cat
    teardown = teardown_offer(job, english.cat, dict(priced.scope.judgements), priced.reasons)
    confidence = float(job.terms.confidence)
    quote = Quote(
        priced=priced,
        language=language,
        valid_until=job.date + timedelta(days=job.terms.valid_days),
        ready_likely=priced.finish.days[0.5],
        ready_covered=priced.finish.days[confidence],
        ready_nothing_worn=priced.programme.finish_day,
        clauses=_clauses(priced, language, length),
        cautions=_cautions(priced),
        warranty=_warranty(priced),
        exchange_units=tuple(_exchange_units(priced)),
        long_leads=tuple(_long_leads(priced)),
        unseen=_unseen(priced),
        left_out=tuple(_left_out(priced)),
        added=tuple(one.line.row.name for one in priced.lines if one.line.by_hand),
        removed=_removed(priced),
        not_held=_not_held(priced),
        not_looked_at=tuple(cat.parts[part].name for part in priced.scope.not_looked_at),
        order_by=min(job.date + timedelta(days=job.terms.valid_days), job.start),
        shares=priced.contingency.shares,
        teardown=offer_in(teardown, english.cat, language),
        options=level_options(priced) if with_options else (level_option(priced),),
        record="",
        stage_names=stages_in(cat.catalogue, language, (one.when for one in job.terms.stages)),
        names_lacking=lacking(english.cat, language),
        length=length,
    )
    return replace(quote, record=record_of(quote))


def record_of(quote: Quote) -> str:
    """SHA-256 over job, catalogue edition, every figure, option and clause.

    Equal papers have equal records; a changed word or sum changes it.
    """
    priced = quote.priced
    digest = hashlib.sha256()

    def take(*texts: object) -> None:
        digest.update("\0".join(str(text) for text in texts).encode() + b"\0\0")

    take(priced.cat.catalogue.fingerprint, job_as_data(priced.job), quote.language)
    take(findings_as_data(priced.job.findings))
    for name in sorted(priced.reasons.figures):
        take(name, priced.reasons.figures[name].value)
    take(*map(repr, quote.options))
    for section in sorted(quote.clauses):
        take(section, *(clause.text for clause in quote.clauses[section]))
    if quote.unconfirmed:
        take("unconfirmed", *(clause.id for clause in quote.unconfirmed))
    return digest.hexdigest()


def _clauses(priced: PricedJob, language: str, length: str) -> dict[str, tuple[ClauseText, ...]]:
    catalogue, cat = priced.cat.catalogue, priced.cat
    chosen = [c for c in catalogue.clauses.get("en", ()) if _applies(c, priced, cat)]
    printed = [c for c in chosen if section_in(c.section, length)]
    replaced = {section_in(c.section, length) for c in printed if stands_in(c.section, length)}
    english = [c for c in printed if stands_in(c.section, length) or c.section not in replaced]
    translated = {
        clause.id: clause
        for clause in catalogue.clauses.get(language, ())
        if _applies(clause, priced, cat)
    }
    values = _fill_ins(priced)
    found: dict[str, list[ClauseText]] = {}
    for clause in sorted(english, key=lambda one: (one.section, one.order)):
        own = translated.get(clause.id) if language != ENGLISH else clause
        shown = own or clause
        left = own is None and not is_english(language)
        foreign = shown is not clause and not is_english(language)
        unconfirmed = foreign and not shown.confirmed_by
        section = section_in(clause.section, length)
        found.setdefault(section, []).append(
            ClauseText(clause.id, section, filled(shown.text, values), left, unconfirmed)
        )
    return {section: tuple(clauses) for section, clauses in found.items()}


def _applies(clause: Clause, priced: PricedJob, cat: ClassCatalogue) -> bool:
    machine_class = cat.catalogue.machine_class(cat.machine_class.id)  # its type is a trait too
    if not fits(clause, machine_class.all_traits):
        return False
    if not clause.is_for(priced.job.level):
        return False
    if not _promised(clause, priced, cat):
        return False
    if not clause.when:
        return True
    return {
        "contingency": bool(priced.contingency.amount),
        "provisional": bool(priced.price.provisional_lines),
        "exchange units": any(True for _ in _exchange_units(priced)),
        "starting values": any(p.chance.rests_on == "starting value" for p in priced.exposed),
    }[clause.when]


def _promised(clause: Clause, priced: PricedJob, cat: ClassCatalogue) -> bool:
    """Whether the rows a clause speaks of are in the scope, those of them that the class has."""
    if not clause.rows:
        return True
    in_scope = {one.id for one in priced.lines}
    known = {*cat.operations, *cat.parts, *cat.outwork}
    return all(row in in_scope for row in clause.rows if row in known)


def _fill_ins(priced: PricedJob) -> dict[str, str]:
    """Numbers that clauses may name in braces. Texts only: documents format sums and dates."""
    job, terms = priced.job, priced.job.terms
    return {
        "machine": priced.cat.machine_class.type,
        "components": " · ".join(
            priced.cat.components[one.row_id].name
            for one in job.repaired
            if one.row_id in priced.cat.components
        ),
        "life_wanted": f"{job.machine.life_wanted:,f}",
        "answer_days": str(terms.answer_days),
        "storage_free_days": str(terms.storage_free_days),
        "removed_parts_days": str(terms.removed_parts_days),
        "teardown_longest_days": str(terms.teardown_longest_days),
        "valid_days": str(terms.valid_days),
    }


def filled(text: str, values: Mapping[str, str]) -> str:
    """`text` with each {name} of `values` filled in; other braces stay as they are."""
    return FILL_IN.sub(lambda found: values.get(found[1], found[0]), text)


def _cautions(priced: PricedJob) -> tuple[Caution, ...]:
    """Cautions of every operation in the scope, in the order of the catalogue."""
    used = {
        code
        for one in priced.lines
        if isinstance(one.line.row, Operation)
        for code in one.line.row.cautions
    }
    return tuple(row for code, row in priced.cat.cautions.items() if code in used)


def _warranty(priced: PricedJob) -> tuple[tuple[str, Warranty], ...]:
    in_scope = {one.line.group for one in priced.lines}
    return tuple(
        (priced.cat.groups[group].name, row)
        for group, row in priced.cat.warranty.items()
        if group in in_scope and row.months
    )


def _exchange_units(priced: PricedJob) -> list[ExchangeUnit]:
    currency = priced.job.terms.currency
    found = []
    for one in priced.lines:
        row = one.line.row
        if isinstance(row, PartsGroup) and row.exchange_charge:
            rate = exchange_rate(priced.job, priced.cat.settings.currency)
            charge = money_half_up(row.exchange_charge * rate, currency)
            found.append(ExchangeUnit(row.name, one.line.quantity, charge))
    return found


def _long_leads(priced: PricedJob) -> list[LongLead]:
    rows = {
        one.line.row.id: one.line.row
        for one in priced.lines
        if one.line.kind == PARTS and isinstance(one.line.row, PartsGroup)
    }
    long = [row for row in rows.values() if row.lead_weeks >= LONG_LEAD_WEEKS]
    return [LongLead(row.name, row.lead_weeks) for row in sorted(long, key=lambda r: -r.lead_weeks)]


def _removed(priced: PricedJob) -> tuple[str, ...]:
    """Names of the rows that were taken out by hand and would else have been in the scope."""
    cat, idle = priced.cat, set(priced.scope.idle_changes)
    rows: dict[str, CalledRow] = {**cat.operations, **cat.parts, **cat.outwork}
    return tuple(
        rows[change.row_id].name
        for change in priced.scope.removed
        if change.row_id in rows and change.row_id not in idle
    )


def _not_held(priced: PricedJob) -> tuple[str, ...]:
    """Names of the kinds of work that may be found and were taken out by hand."""
    kinds, job = priced.cat.found_work, priced.job
    return tuple(
        kinds[change.row_id].name
        for change in priced.scope.removed
        if change.row_id in kinds and job.takes(kinds[change.row_id])
    )


def _unseen(priced: PricedJob) -> tuple[str, ...]:
    weight = {share.id: share.contribution for share in priced.contingency.shares}
    ordered = sorted(priced.exposed, key=lambda part: -weight.get(part.part, 0.0))
    return tuple(part.name for part in ordered)


def _left_out(priced: PricedJob) -> list[str]:
    cat, job = priced.cat, priced.job
    in_scope = {one.line.group for one in priced.lines}
    groups = [row.name for code, row in cat.groups.items() if code not in in_scope]
    excluded = [
        row.name for row in cat.parts.values() if row.called_by == "excluded" and job.takes(row)
    ]
    return [*groups, *excluded]
