"""Rows of an opened variation in words: evidence, effect, approvals, waiting, time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.desktop.drawing.marks import Mark
from estimator.desktop.formats import Formats
from estimator.desktop.language import _, ngettext
from estimator.desktop.screens.variations import act_words, words
from estimator.desktop.variation_words import state_words
from estimator.domain.money import Money
from estimator.services.show_case import CaseView, GroundRow
from estimator.services.try_answer import WhatItDoes

NAME = 108  # px


@dataclass(frozen=True, slots=True)
class Told:
    """A row: a mark, a name, words in a tone, something quiet at the right."""

    text: str
    name: str = ""
    right: str = ""
    tone: str = "second"
    mark: Mark | None = None
    spoken: str = ""  # what the mark says to those who cannot see it
    name_wide: int = NAME
    text_share: int = 3
    right_share: int = 2


def evidence(view: CaseView, say: Formats) -> list[Told]:
    """What was seen and read, why not before, what may hurt somebody."""
    variation = view.variation
    rows = []
    for title, text in (
        (_("Reading"), variation.measured),
        (_("Not seen before"), variation.not_seen_before),
        (_("If declined"), variation.consequence),
        (_("Cannot be declined"), variation.cannot_be_declined),
    ):
        if text and not (text == variation.consequence and title == _("Cannot be declined")):
            rows.append(Told(text, name=title))
    if variation.range is not None:
        likely = say.money(variation.range.likely)
        between = words.range_words(variation.range.low, variation.range.high, say)
        text = _("{range}, likely {likely}").format(range=between, likely=likely)
        rows.append(Told(text, name=_("No price yet")))
    if variation.safety:
        said = _("Safety: keep clear and secured until it is mended; local rules come first.")
        if view.case.made_safe:
            said = _("Safety: made safe before an answer; local rules come first.")
        rows.append(Told(said, mark=Mark.TAKE_CARE, tone="strong", spoken=_("Caution")))
    return rows


def effects(does: WhatItDoes, say: Formats) -> list[Told]:
    """Sum, contingency, exposed and finish, before and after."""
    share = say.percent(does.after.here.job.terms.confidence)
    same = _("no change")
    early, late = does.finish
    days = say.day(early) if early == late else f"{say.short_day(early)} \u2192 {say.day(late)}"
    adds = words.signed(does.adds, say) if does.adds else same
    draws = _("draws {sum}").format(sum=say.sum(does.draws)) if does.draws else same
    rows = [
        _effect(_("Current sum"), does.current_sum, adds, say),
        _effect(_("Contingency left"), does.left, draws, say),
        _effect(
            _("Exposed at {share}").format(share=share), does.exposed,
            same if does.exposed[0] == does.exposed[1] else _("its range is settled"), say,
        ),
        Told(days, name=_("Finish, {share}").format(share=share), tone="strong",
             text_share=2, right_share=1,
             right=same if early == late else ""),
    ]  # fmt: skip
    if does.workshop:
        rows.append(Told(say.money(does.workshop), name=_("Borne by us"), tone="strong"))
    return rows


def _effect(name: str, pair: tuple[Money, Money], note: str, say: Formats) -> Told:
    before, after = (say.money(one) for one in pair)
    text = before if pair[0] == pair[1] else f"{before} \u2192 {after}"
    return Told(text, name=name, tone="strong", right=note, text_share=2, right_share=1)


def approvals(view: CaseView, say: Formats) -> list[Told]:
    """Who raised and priced it, and everybody who may agree to something on this job."""
    variation, rows = view.variation, []
    who = variation.priced_by or variation.finder
    raised = view.states[0]
    at = f"{say.short_day(raised.at.astimezone().date())} {say.clock(raised.at)}"
    rows.append(
        Told(_("raised {when}").format(when=at), name=who, mark=Mark.DONE, name_wide=88,
             text_share=1, right_share=1,
             spoken=_("done"), right=_("no approval of own"))
    )  # fmt: skip
    answered = view.case.agreed_by
    for one in view.approvers:
        mark, text = Mark.NOT_BEGUN, one.capacity
        if one.name == answered:
            mark, text = Mark.DONE, _answer_told(view, say)
        elif one.asked:
            mark = Mark.WAITS
            by = variation.answer_by
            text = _("{capacity}, asked").format(capacity=one.capacity)
            if by is not None:
                day = say.short_day(by)
                text = _("{capacity}, asked, by {day}").format(capacity=one.capacity, day=day)
        rows.append(
            Told(text, name=one.name, mark=mark, right=act_words.limits_words(one, say),
                 name_wide=88, text_share=1, right_share=1, spoken=_("asked") if one.asked else "")
        )  # fmt: skip
    return rows


def grounds_told(grounds: Sequence[GroundRow], say: Formats) -> list[Told]:
    """Each ground for or against somebody's agreeing."""
    return [
        Told(
            act_words.ground_words(one, say),
            mark=Mark.DONE if one.holds else Mark.NEEDS_YOU,
            spoken=_("holds") if one.holds else _("does not hold"),
        )
        for one in grounds
    ]


def _answer_told(view: CaseView, say: Formats) -> str:
    answer = next(
        (one for one in view.states if one.who == view.case.agreed_by and one.words),
        view.states[-1],
    )
    state = state_words()[answer.state].lower()
    day = say.short_day(answer.at.astimezone().date())
    if not answer.words:
        return f"{day}, {state}"
    return _("{day}, {state}: \u201c{words}\u201d").format(day=day, state=state, words=answer.words)


def waiting_told(view: CaseView, say: Formats) -> list[Told]:
    """What waiting costs, on whom it waits, until when an answer is wanted."""
    waiting, rows = view.waiting, []
    if waiting.on:
        whom = words.waits_words(waiting.on, waiting.ask)
        rows.append(Told(_("Waits on {who}.").format(who=whom)))
    if waiting.per_day is not None and waiting.begins is not None and view.case.is_open:
        so_far = ngettext("{n} working day so far", "{n} working days so far", waiting.days)
        rows.append(
            Told(
                _("{sum} a working day in the bay from {day}; {days}, {cost}.").format(
                    sum=say.money(waiting.per_day), day=say.short_day(waiting.begins),
                    days=so_far.format(n=waiting.days), cost=say.money(waiting.cost),
                )
            )
        )  # fmt: skip
    elif waiting.cost:
        rows.append(Told(_("{cost} in the bay until the answer.").format(
            cost=say.money(waiting.cost))))  # fmt: skip
    if waiting.answer_by is not None and view.case.is_open:
        day = say.day(waiting.answer_by)
        if waiting.overdue:
            text = _("An answer was wanted by {day}. No answer is not approval.")
            rows.append(Told(text.format(day=day), mark=Mark.NEEDS_YOU, spoken=_("Late")))
        else:
            text = _("An answer is wanted by {day}. No answer is not approval.")
            rows.append(Told(text.format(day=day)))
    elif view.case.is_open and waiting.on:
        rows.append(Told(_("No answer is not approval.")))
    return rows


def states_told(view: CaseView, say: Formats) -> list[Told]:
    """Each state it was in: since when, how long, through whom, in which words."""
    rows = []
    for one in view.states:
        at = f"{say.short_day(one.at.astimezone().date())} {say.clock(one.at)}"
        who = ", ".join(part for part in (one.who, one.channel) if part)
        text = f"{at}, {who}"
        if said := one.words or one.reason:
            text = _("{what}: \u201c{words}\u201d").format(what=text, words=said)
        lasted = words.span_words(one.hours, say)
        rows.append(
            Told(
                text, name=state_words().get(one.state, one.state), name_wide=NAME,
                right=_("{time} so far").format(time=lasted) if one.now else lasted,
                text_share=3, right_share=1,
            )
        )  # fmt: skip
    return rows
