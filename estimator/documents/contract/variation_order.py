"""A variation order: what was found, how it can be put right, what that does, and where to sign."""

from __future__ import annotations

from typing import Any

from reportlab.platypus import KeepTogether

from estimator.documents.contract import contract_labels as labels
from estimator.documents.contract.contract_paper import (
    HALF,
    ContractPaper,
    SafetyMark,
    contract_pdf,
)
from estimator.documents.grammar.certainty_bar import TickBox
from estimator.documents.grammar.columns import Beside, Columns, Rule
from estimator.documents.grammar.look import GAP, WIDTH
from estimator.documents.grammar.pictures import picture_rows
from estimator.documents.grammar.spoken import in_language_of_locale
from estimator.documents.grammar.wording import apart, unit_of, within
from estimator.domain.contract.papers import VariationOrder
from estimator.domain.contract.states import DRAFT, FOUND
from estimator.domain.contract.variation import CHARGED_TO_NOBODY, CONTINGENCY, REMEASURED

_LEFT = WIDTH * 0.56
_RIGHT = WIDTH - GAP - _LEFT


@in_language_of_locale
def variation_pdf(order: VariationOrder, locale: str = "en_GB") -> bytes:
    """The variation order as PDF: one page where it can be. The same order and locale give the same
    bytes. Raises ValueError for a locale whose formats are not known."""
    title = labels.VARIATION.format(name=order.name)
    reference = labels.VARIATION_REFERENCE.replace("{name}", _braced(order.name))

    def story(paper: ContractPaper) -> list[Any]:
        return [
            *_opening(paper, order),
            Rule(strong=True, before=3, after=2),
            *_found(paper, order),
            *picture_rows(paper, order.pictures, high=66),
            *_more(paper, order),
            Rule(before=5, after=3),
            Columns(
                [[*_takes(paper, order), *_undone(paper, order)], _effect(paper, order)],
                [_LEFT, _RIGHT],
            ),
            *_ways(paper, order),
            KeepTogether([_answer(paper, order)]),
            *paper.cautions(order.cautions),
        ]

    return contract_pdf(order.head, locale, title, reference, story)


def _braced(text: str) -> str:
    """Text from outside, safe inside a form that is still to be filled in."""
    return text.replace("{", "{{").replace("}", "}}")


def _opening(paper: ContractPaper, order: VariationOrder) -> list[Any]:
    words = paper.words
    found = labels.AT_BY.format(day=words.day(order.found_at.date()), who=order.finder)
    right = [
        (labels.ISSUED, _sent(paper, order)),
        (labels.STATE, labels.STATES.get(order.state, order.state)),
    ]
    if order.answer_by:
        right.append((labels.ANSWER_BY, words.day(order.answer_by)))
    right.append((labels.FUNDED_BY, _funded(order)))
    if order.supersedes:
        right.append((labels.REPLACES, order.supersedes))
    left = [*paper.parties(), (labels.WHERE, _where(order)), (labels.FOUND_BY, found)]
    title = labels.VARIATION.format(name=order.name)
    return [*paper.opening(title, "variation", order.title), paper.facts(left, right)]


def _sent(paper: ContractPaper, order: VariationOrder) -> str:
    """When it went out, or why it has not."""
    if order.issued is not None:
        return paper.words.day(order.issued)
    if order.answered is not None:
        return labels.WITHIN_AUTHORITY
    if not order.charged:
        return labels.INFORMATION_MARK
    return labels.DRAFT_MARK if order.state != FOUND else labels.NOTICE_MARK


def _where(order: VariationOrder) -> str:
    if not order.component or order.component.casefold() in order.location.casefold():
        return order.location
    return labels.WHERE_ON.format(location=order.location, component=within(order.component))


def _funded(order: VariationOrder) -> str:
    """Who pays for it, and from what."""
    end = labels.FUNDED.get(order.end, order.end)
    if order.end in CHARGED_TO_NOBODY:
        return end
    if not order.charged:
        return labels.AT_OUR_RISK
    if order.end == CONTINGENCY and not order.head.held:
        end = labels.FUNDED["contract sum"]
    return labels.REST_OURS.format(end=end) if order.effect.on_workshop else end


def _found(paper: ContractPaper, order: VariationOrder) -> list[Any]:
    cause = labels.CAUSES.get(order.cause, order.cause)
    why = labels.NOT_SEEN if order.not_seen_before else labels.CAUSE
    if order.not_seen_before:
        unseen = labels.NOT_SEEN_WHY.get(order.not_seen_before, order.not_seen_before)
        cause = labels.CAUSE_WHY.format(cause=cause, why=unseen)
    rows = [(labels.READING, order.measured), (why, cause)]
    found: list[Any] = [paper.pairs([row for row in rows if row[1]], 92, WIDTH)]
    if order.safety or order.cannot_be_declined:
        found.append(_safety(paper, order))
    return found


def _safety(paper: ContractPaper, order: VariationOrder) -> Beside:
    said = [labels.SAFETY_WORDS if order.safety else ""]
    if order.cannot_be_declined:
        why = order.cannot_be_declined.rstrip(".")
        plain = "cannot be declined" in why.casefold()
        said.append(_sentence(why) if plain else labels.CANNOT_DECLINE.format(why=why))
    if order.made_safe:
        said.append(labels.MADE_SAFE)
    text = " ".join(filter(None, said))
    mark = Beside(SafetyMark(), [paper.lead(f"{labels.SAFETY_MATTER}.", text, "second")], 20)
    mark.spaceBefore = 3
    return mark


def _more(paper: ContractPaper, order: VariationOrder) -> list[Any]:
    if not order.more_pictures:
        return []
    return [paper.text(labels.AND_MORE.format(count=order.more_pictures), "note", before=2)]


def _takes(paper: ContractPaper, order: VariationOrder) -> list[Any]:
    """The lines and what they come to; a range where there is no price."""
    head = paper.part(labels.PRICE, "price")
    if order.price is None:
        title = paper.part(labels.NO_PRICE, "price")
        if order.range is None:
            return [title]
        spread = paper.spread(order.range)
        return [title, paper.text(labels.NO_PRICE_WORDS.format(range=spread), "body")]
    if not order.charged:
        return [head, paper.text(labels.NO_CHARGE, "strong")]
    found: list[Any] = [head]
    if order.lines:
        found.append(_lines(paper, order))
    if order.measured_lines:
        found += measured_table(paper, order.measured_lines, _LEFT)
    return [*found, _totals(paper, order)]


def _lines(paper: ContractPaper, order: VariationOrder) -> Any:
    words, symbol = paper.words, paper.words.symbol
    head = ("", labels.LINE, labels.QUANTITY, symbol)
    rows = [paper.mixed(head, (1,), "head")]
    for number, line in enumerate(order.lines, 1):
        unit = unit_of(line.unit, line.quantity)
        quantity = f"{words.quantity(line.quantity)}\u00a0{unit}"
        texts = (str(number), line.what, quantity, words.sum(line.amount))
        rows.append(paper.mixed(texts, (1,), "cell"))
    return paper.table(rows, [12, _LEFT - 112, 46, 54], pad=1)


def measured_table(paper: ContractPaper, lines: Any, whole: float) -> list[Any]:
    """Lines of the quote measured again: quoted, now, change."""
    words = paper.words
    head = (labels.MEASURED_LINE, labels.QUOTED, labels.NOW, labels.CHANGE)
    rows = [paper.cells(head, "head")]
    for one in lines:
        name = f"{one.what}\u00a0*" if one.ask_again else one.what
        rows.append(paper.cells(
            (name, words.sum(one.before), words.sum(one.after), paper.signed(one.change))
        ))  # fmt: skip
    note = [paper.text(labels.ASK_AGAIN, "note", before=1)] if any(
        one.ask_again for one in lines) else []  # fmt: skip
    return [paper.table(rows, [whole - 150, 50, 50, 50], pad=1), *note]


def _totals(paper: ContractPaper, order: VariationOrder) -> Any:
    assert order.price is not None
    with_tax = labels.TOTAL_WITH_TAX.format(tax=paper.tax())
    rows = [
        (labels.TOTAL, paper.money(order.price.net), True),
        (with_tax, paper.gross(order.price.gross), False),
    ]
    table = paper.sums(rows, _LEFT)
    table.spaceBefore = 2
    return table


def _effect(paper: ContractPaper, order: VariationOrder) -> list[Any]:
    effect, words = order.effect, paper.words
    known = order.price is not None
    rows: list[tuple[str, str, bool]] = [
        (labels.ORIGINAL, paper.money(effect.contract_sum), False),
        (labels.AGREED_BEFORE, paper.signed(effect.agreed_before), False),
    ]
    if known:
        rows += [(labels.THIS_ONE, paper.signed(effect.this_one), False),
                 (labels.REVISED, paper.money(effect.revised), True)]  # fmt: skip
    if effect.on_workshop:
        rows.append((labels.ON_WORKSHOP, words.money(effect.on_workshop), False))
    held: list[tuple[str, str, bool]] = []
    if order.head.held:
        held.append((labels.LEFT_BEFORE, paper.money(effect.left_before), False))
        if known:
            held += [(labels.DRAWN, paper.signed(-effect.drawn), False),
                     (labels.LEFT_AFTER, paper.money(effect.left_after), True)]  # fmt: skip
    dates = [(labels.READY_BEFORE, words.day(order.before.planned), False)]
    if order.days:
        dates.append((labels.DAYS_ADDED, f"+{words.quantity(order.days)}", False))
    if known:
        dates.append((labels.READY_AFTER, words.day(order.after.planned), True))
    stacks = [paper.sums(one, _RIGHT) for one in (rows, held, dates) if one]
    for one in stacks[1:]:
        one.spaceBefore = 5
    note = labels.DATES_NOTE if known else f"{labels.UNKNOWN_EFFECT} {labels.DATES_NOTE}"
    title = paper.part(labels.EFFECT if known else labels.STANDS, "effect")
    return [title, *stacks, paper.text(note, "note", before=2)]


def _ways(paper: ContractPaper, order: VariationOrder) -> list[Any]:
    if not order.ways:
        return []
    words = paper.words
    tax = labels.AMOUNT_WITH_TAX.format(currency=words.symbol, tax=paper.tax())
    head = ("", labels.WAY, labels.AMOUNT.format(currency=words.symbol), tax, labels.DAYS_SHORT,
            labels.WARRANTY)  # fmt: skip
    rows = [paper.mixed(head, (1, 5), "head")]
    for way in order.ways:
        name = labels.WAYS.get(way.way, way.way)
        what = f"{name}: {way.what}" if way.what else name
        if way.priced_here:
            what = f"{what} ({labels.PRICED_ABOVE})"
        follows = apart(filter(None, (way.warranty, way.note)))
        texts = (what, words.sum(way.price.net), words.sum(way.price.gross, exact=True),
                 paper.days(way.days), follows)  # fmt: skip
        rows.append([TickBox(), *paper.mixed(("", *texts), (1, 5), "cell")[1:]])
    widths = [16.0, WIDTH * 0.32, 56.0, 68.0, 40.0]
    table = paper.table(rows, [*widths, WIDTH - sum(widths)], pad=1.2)
    return [paper.part(labels.WAYS_HEAD, "ways", before=7), table]


def _undone(paper: ContractPaper, order: VariationOrder) -> list[Any]:
    """What follows from declining, and what waiting costs."""
    if not order.charged or (order.end == REMEASURED and not order.consequence):
        return []
    since = labels.SINCE.format(day=paper.words.day(order.waiting_from)) if (
        order.waiting_from) else ""  # fmt: skip
    waiting = labels.NO_WAITING
    if order.waiting_per_day:
        amount = paper.money(order.waiting_per_day)
        waiting = labels.WAITING_COST.format(amount=amount, since=since)
    consequence = order.consequence or labels.UNDONE_UNKNOWN
    return [
        paper.part(labels.UNDONE, "undone", before=6),
        paper.text(_sentence(consequence), "second"),
        paper.part(labels.WAITING, "waiting", before=5),
        paper.text(waiting, "second"),
    ]


def _sentence(text: str) -> str:
    """The text of a cell as a sentence."""
    text = text.strip()
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith(('.', '!', '?')) else '.'}"


def _answer(paper: ContractPaper, order: VariationOrder) -> Any:
    """Where to tick and sign; what was answered, where it was."""
    title = labels.ANSWER.format(name=order.name)
    if order.answered is not None:
        return Columns([paper.answered(order.answered)], before=4)
    if not order.charged:
        return paper.text(labels.NOTHING_TO_ANSWER, "strong", before=6)
    if order.price is None or order.state in (FOUND, DRAFT):
        text = labels.PRICE_FOLLOWS if order.price is None else labels.DRAFT_MARK
        return paper.text(f"{text} {labels.NO_ANSWER}", "strong", before=6)
    return paper.sign_here(_ticks(paper, order), f"{title}. {labels.NO_ANSWER}")


def _ticks(paper: ContractPaper, order: VariationOrder) -> list[Any]:
    if order.end == REMEASURED:
        return [Columns([[paper.tick(labels.AGREE)], [paper.tick(labels.DISAGREE)]],
                        [HALF, HALF])]  # fmt: skip
    boxes = [labels.APPROVE]
    if len(order.lines) > 1:
        boxes.append(f"{labels.APPROVE_PART} ________")
    boxes.append(labels.STOP_SAFE if order.cannot_be_declined else labels.DECLINE)
    shares = {2: [0.4, 0.6], 3: [0.18, 0.4, 0.42]}[len(boxes)]
    return [Columns([[paper.tick(one)] for one in boxes], shares, gap=8)]
