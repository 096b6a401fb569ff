"""Acts on the whole contract: another order of the customer's, or its limit raised; and the machine
handed over, with what is said to be done by then."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime

from PySide6.QtWidgets import QWidget

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.variations.ask_form import AskForm, NoSum, read_sum
from estimator.desktop.telling import told_of
from estimator.desktop.trade_words import roles_words
from estimator.domain.people import ACCEPT, SETTLE, Person
from estimator.services.open_record import Record
from estimator.services.settle_contract import Order, change_order, hand_over
from estimator.services.show_case import customers_approvers
from estimator.services.write_contract import Here

ORDER, HAND_OVER = "order", "hand over"
Make = Callable[[Record, Person, datetime], Here]


def job_act_words() -> dict[str, str]:
    """What the menu says of each."""
    return {ORDER: _("New order, or its limit"), HAND_OVER: _("Hand the machine over")}


def why_not(act: str, here: Here, person: Person) -> str:
    """Why an act on the contract cannot be done now; "" where it can."""
    right = {ORDER: ACCEPT, HAND_OVER: SETTLE}[act]
    if here.contract.handed_over:
        return _("the machine is handed over")
    if not person.may(right):
        return _("for: {roles}").format(roles=roles_words(right))
    return ""


def order_form(parent: QWidget, say: Formats, here: Here, act: Callable[[Make], object]) -> AskForm:
    """Asks for another order; `act` gets what records it."""
    contract = here.contract

    def take(form: AskForm) -> Mapping[str, str]:
        missing = _("Say it; it is kept with the order.")
        faults = {
            key: missing
            for key in ("order", "by", "capacity", "channel", "words")
            if not form.said(key)
        }
        limit = None
        if form.said("limit"):
            try:
                limit = read_sum(form.said("limit"), say, contract.currency)
            except NoSum as error:
                faults["limit"] = told_of(error)
        if faults:
            return faults
        order = Order(
            purchase_order=form.said("order"), limit=limit, by=form.said("by"),
            capacity=form.said("capacity"), channel=form.said("channel"), words=form.said("words"),
        )  # fmt: skip
        act(lambda record, who, now: change_order(record, here.job.number, order, who, now))
        return {}

    form = AskForm(
        parent,
        job_act_words()[ORDER],
        _(
            "What is agreed to from now on is held against the newest order. Its limit holds what "
            "was agreed to by now: {sum}."
        ).format(sum=say.money(contract.current_sum)),
        take,
    )
    fields = form.fields
    form.add(fields.line("order", _("Order")), fields.line("limit", _("Its limit, blank: none")))
    form.add(fields.line("by", _("Who gave it")), fields.line("capacity", _("In which capacity")))
    form.add(fields.line("channel", _("How it came")))
    form.add(fields.line("words", _("In which words, exactly")))
    fields.set_text("order", contract.purchase_order)
    if contract.order_limit is not None:
        fields.set_text("limit", say.sum(contract.order_limit))
    return form


def hand_over_form(parent: QWidget, here: Here, act: Callable[[Make], object]) -> AskForm:
    """Asks who takes the machine, and whether what was agreed to is done."""
    waiting = here.contract.not_recorded_as_done()

    def take(form: AskForm) -> Mapping[str, str]:
        if not form.said("by"):
            return {"by": _("Say who took it.")}
        numbers = tuple(case.variation.number for case in waiting)
        if left := [one for one in numbers if not form.fields.ticked(one)]:
            return {
                "": _(
                    "{numbers}: agreed to, and not said to be done. What was not done is called "
                    "off first, with the customer's word."
                ).format(numbers=", ".join(left))
            }
        by, words, note = form.said("by"), form.said("words"), form.said("note")
        act(
            lambda record, who, now: hand_over(
                record, here.job.number, by, words, who, now, note, numbers
            )
        )
        return {}

    text = _("What is left of the contingency goes where the terms say.")
    if waiting:
        text = _(
            "Nobody has recorded that this work is done. Tick what is; your name is kept with it."
        )
    form = AskForm(parent, job_act_words()[HAND_OVER], text, take)
    fields = form.fields
    for case in waiting:
        one = case.variation
        form.add(
            fields.tick(
                one.number,
                _("{number} is done: {title}").format(number=one.name, title=one.title),
            )
        )
    form.add(fields.line("by", _("Who took it")))
    form.add(fields.line("words", _("In which words, exactly")))
    form.add(fields.line("note", _("Open snags, papers handed over")))
    named = customers_approvers(here.contract)
    fields.set_text("by", named[0].name if named else "")
    return form
