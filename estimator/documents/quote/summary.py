"""What is read first: whose machine, the three figures, how sure they are, what is in and what is
not, the contingency in plain words, payment."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from estimator.documents.grammar import labels
from estimator.documents.grammar.certainty_bar import (
    CONTINGENCY_PART,
    FIRM_PART,
    PROVISIONAL_PART,
    CertaintyBar,
    Swatch,
)
from estimator.documents.grammar.columns import Beside, Columns, Rule, together
from estimator.documents.grammar.fonts import REGULAR, marked
from estimator.documents.grammar.look import GAP, WIDTH, face_of, style
from estimator.documents.grammar.text import Text
from estimator.documents.grammar.wording import NOTHING, apart
from estimator.documents.quote.contingency_words import contingency_words
from estimator.documents.quote.how_it_works import pairs
from estimator.documents.quote.payment import stage_payments
from estimator.documents.quote.sheet import Sheet
from estimator.domain.money import round_half_up

_PARTIES = 0.6  # share of the line that the two parties take, who need more room than dates


def summary(sheet: Sheet) -> list[Any]:
    """Everything a reader needs who turns no page."""
    return [
        *_opening(sheet),
        Rule(strong=True),
        *_three_figures(sheet),
        *([] if sheet.fixed else _how_sure(sheet)),
        Rule(),
        _in_and_out(sheet),
        *(_fixed_words(sheet) if sheet.fixed else contingency_words(sheet)),
        *_payment(sheet),
    ]


def _opening(sheet: Sheet) -> list[Any]:
    quote, job, words = sheet.quote, sheet.priced.job, sheet.words
    row = sheet.priced.cat.machine_class
    tonnes = round_half_up(row.operating_mass_kg / 1000, Decimal(1))
    line = labels.MACHINE_LINE.format(
        mass=words.quantity(tonnes), serial=job.machine.serial,
        hours=words.quantity(job.machine.hours), day=words.day(job.inspected),
    )  # fmt: skip
    life = labels.LIFE_WANTED.format(hours=words.quantity(job.machine.life_wanted))
    left = [
        (title, [party.name, *party.address, party.contact])
        for title, party in ((labels.TO, job.customer), (labels.FROM, job.workshop))
    ]
    left.append((labels.PRICED_FOR, [life]))
    whole = (WIDTH - GAP) * _PARTIES
    rest = WIDTH - GAP - whole
    right = [
        (labels.LEVEL, [labels.LEVELS.get(job.level, job.level)]),
        (labels.WRITTEN, [job.estimator]),
        (labels.RELEASED, [job.releaser]),
        (labels.STANDS, [words.day(quote.valid_until)]),
    ]
    return [
        *sheet.section(labels.TITLE.format(machine=row.type), "summary", name="title"),
        sheet.text(line, "second", after=5),
        Columns(
            [[pairs(sheet, left, 50, whole=whole)], [pairs(sheet, right, whole=rest)]],
            [whole, rest],
        ),
    ]


def _three_figures(sheet: Sheet) -> list[Any]:
    words, price, quote = sheet.words, sheet.price, sheet.quote
    taxes = [
        labels.TAX_LINE.format(tax=name, base=words.money(base),
                               amount=words.money(tax, exact=True))
        for name, base, tax in sheet.taxes(price.totals)
    ]  # fmt: skip
    first = [
        sheet.text(labels.PRICE, "head"),
        sheet.figure(words.money(price.net)),
        sheet.text(labels.BEFORE_TAX, "second"),
        *(sheet.text(one, "second") for one in taxes),
        sheet.text(labels.GROSS_LINE.format(amount=words.money(price.totals.gross, exact=True)),
                   "cell strong"),
        *(sheet.text(one, "note") for one in sheet.exemptions()),
    ]  # fmt: skip
    held = bool(price.contingency)
    third = [
        sheet.text(labels.READY, "head"),
        sheet.figure(words.day(quote.ready_covered)),
        sheet.text((labels.READY_WORDS if held else labels.READY_PLAIN).format(
            likely=words.day(quote.ready_likely), earliest=words.day(quote.ready_nothing_worn),
            order_by=words.day(quote.order_by),
        ), "second"),
    ]  # fmt: skip
    return [Columns([first, _second_figure(sheet), third], [1, 1, 1.08])]


def _second_figure(sheet: Sheet) -> list[Any]:
    """The contingency; in a fixed price, that there is nothing of the kind."""
    held = sheet.price.contingency
    if sheet.fixed:
        risk = sheet.clause(f"{sheet.form}: at our risk")
        return [sheet.text(labels.INSIDE_SCOPE, "head"), sheet.figure(labels.AT_RISK),
                sheet.text(risk, "second")]  # fmt: skip
    unspent = sheet.clause(f"{sheet.form}: unspent")
    return [
        sheet.text(labels.CONTINGENCY_HELD, "head"),
        sheet.figure(sheet.words.money(held) if held else NOTHING),
        sheet.text(f"{labels.INSIDE_PRICE}. {unspent}" if held else labels.NONE_HELD, "second"),
    ]


def _how_sure(sheet: Sheet) -> list[Any]:
    """The bar of firm, provisional and contingency, and its key."""
    price = sheet.price
    bar = CertaintyBar([
        (FIRM_PART, price.firm.minor),
        (PROVISIONAL_PART, price.provisional_lines.minor),
        (CONTINGENCY_PART, price.contingency.minor),
    ])  # fmt: skip
    bar.spaceBefore, bar.spaceAfter = 5, 4
    return [bar, _key(sheet)]


def _key(sheet: Sheet) -> Columns:
    """What each pattern means, with its sum and one line."""
    price, form = sheet.price, sheet.form
    parts = (
        (FIRM_PART, labels.FIRM, price.firm, "sure: firm"),
        (PROVISIONAL_PART, labels.PROVISIONAL, price.provisional_lines,
         f"{form}: sure provisional"),
        (CONTINGENCY_PART, labels.CONTINGENCY, price.contingency, f"{form}: sure contingency"),
    )  # fmt: skip
    columns = []
    for kind, name, amount, section in parts:
        sums = marked(sheet.words.money(amount) if amount else NOTHING, REGULAR, tagged=True)
        title = Text(
            f'{marked(name, face_of(kind))} &nbsp;<font color="#16212B">{sums}</font>', style(kind)
        )
        meaning = sheet.text(sheet.clause(section), "second")
        columns.append([Beside(Swatch(kind), [title], 21), meaning])
    return Columns(columns, [1, 1, 1.08])


def _in_and_out(sheet: Sheet) -> Columns:
    included = [
        sheet.heading(labels.INCLUDED, "included"),
        *(sheet.bullet(text) for text in included_points(sheet)),
    ]
    excluded = [
        sheet.heading(labels.NOT_INCLUDED, "not included"),
        *(sheet.bullet(text, cross=True) for text in not_included_points(sheet)),
        sheet.text(sheet.clause("included: annex"), "second", before=6),
    ]
    return Columns([included, excluded], rule=True)


def included_points(sheet: Sheet) -> list[str]:
    """What the price holds, point by point."""
    return [*sheet.clauses("included"), *_named(labels.ADDED, sheet.quote.added)]


def not_included_points(sheet: Sheet) -> list[str]:
    """What it does not hold, point by point: what is named of this job first."""
    quote = sheet.quote
    return [
        *_named(labels.LEFT_OUT, quote.left_out),
        *_named(labels.TAKEN_OUT, quote.removed),
        *_not_held(sheet),
        *_named(labels.NOT_LOOKED_AT, quote.not_looked_at),
        *sheet.clauses("not_included"),
    ]


def _not_held(sheet: Sheet) -> list[str]:
    """Kinds of work that may be found and that the price does not hold: many stand in the annex."""
    names = sheet.quote.not_held
    if not sheet.not_held_in_annex:
        return _named(labels.NOT_HELD, names)
    return [labels.NOT_HELD_MANY.format(count=len(names), page=sheet.pages.of("annex"))]


def _named(label: str, names: tuple[str, ...]) -> list[str]:
    """A point that names them all; none where there are none."""
    return [label.format(names=apart(names))] if names else []


def stage_name(sheet: Sheet, when: str) -> str:
    """What a stage payment is called; the last is the balance."""
    name = sheet.quote.stage_names.get(when, when)
    return name[:1].upper() + name[1:] or labels.BALANCE


def _fixed_words(sheet: Sheet) -> list[Any]:
    """What stands behind one fixed price."""
    return [
        Rule(),
        *sheet.section(labels.FIXED_WORDS, "contingency", need=60),
        sheet.text(sheet.clause(f"{sheet.form}: covers"), "list"),
    ]


def _payment(sheet: Sheet) -> list[Any]:
    """Stages with sums that add up to the price; the last is the balance."""
    words, totals = sheet.words, sheet.price.totals
    payments = stage_payments(sheet.priced.job, totals)
    rows = [sheet.cells((labels.STAGE, labels.SHARE, f"{labels.NET}, {words.symbol}",
                         f"{labels.TAX}, {words.symbol}", f"{labels.TO_PAY}, {words.symbol}"),
                        "head")]  # fmt: skip
    rows += [
        sheet.cells((stage_name(sheet, one.when),
                     words.share(one.share, 1), words.sum(one.net, exact=True),
                     words.sum(one.tax, exact=True), words.sum(one.gross, exact=True)))
        for one in payments
    ]  # fmt: skip
    whole = (words.sum(amount, exact=True) for amount in (totals.net, totals.tax, totals.gross))
    rows.append(sheet.cells((labels.STAGE_SUM, words.share(Decimal(1)), *whole), "cell strong"))
    notes = ("payment: stages", f"{sheet.form}: balance", "payment: exchange units")
    note = " ".join(filter(None, map(sheet.clause, notes)))
    sums = [WIDTH * share for share in (0.36, 0.1, 0.18, 0.18, 0.18)]
    return together([
        Rule(),
        *sheet.section(labels.PAYMENT, "payment"),
        sheet.table(rows, sums, total=1, pad=1),
        sheet.text(note, "second", before=3),
    ])  # fmt: skip
