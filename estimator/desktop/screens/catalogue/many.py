"""Questions for acts on many rows: make them our own, and a class scaled from a like one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from PySide6.QtWidgets import QComboBox, QLineEdit, QPushButton, QWidget

from estimator.desktop.formats import Formats
from estimator.desktop.language import _, ngettext
from estimator.desktop.questions import Question
from estimator.desktop.telling import told_of
from estimator.desktop.widgets.field_frame import FieldFrame
from estimator.domain.catalogue.new_class import WantedClass
from estimator.domain.catalogue.own_values import COSTS, HOURS

ADOPT = "adopt"


@dataclass(frozen=True, slots=True)
class OurOwn:
    """What is to be done to the rows that are listed."""

    what: str  # ADOPT, HOURS or COSTS
    factor: Decimal
    why: str


def ask_our_own(
    parent: QWidget, count: int, say: Formats, then: Callable[[OurOwn], object]
) -> Question:
    """Ask how the listed rows are made our own."""
    text = ngettext(
        "{n} row is listed. What is done to it is shown before it is kept.",
        "{n} rows are listed. What is done to them is shown before it is kept.",
        count,
    ).format(n=say.number(count))
    question = Question(
        parent, _("Make our own"), text, [_("Leave as it is"), _("Show the changes")]
    )
    what, factor, why = QComboBox(), QLineEdit("1"), QLineEdit()
    for words, key in (
        (_("Adopt the values as they stand"), ADOPT),
        (_("Multiply hours"), HOURS),
        (_("Multiply costs"), COSTS),
    ):
        what.addItem(words, key)
    frames = _framed(question, ((_("What is done"), what), (_("Factor"), factor), (_("Why"), why)))
    frames[1].setEnabled(False)
    what.currentIndexChanged.connect(lambda place: frames[1].setEnabled(bool(place)))
    go_on = _go_on(question)

    def look() -> None:
        number = _read(frames[1], factor, say)
        go_on.setEnabled(bool(why.text().strip()) and number is not None)

    for line in (factor, why):
        line.textChanged.connect(lambda _text: look())
    look()
    what.setFocus()

    def ended(_code: int) -> None:
        if question.answer == 1:
            number = _read(frames[1], factor, say) or Decimal(1)
            then(OurOwn(str(what.currentData()), number, why.text().strip()))

    question.finished.connect(ended)
    question.open()
    return question


def ask_new_class(
    parent: QWidget,
    classes: Sequence[tuple[str, str]],
    today: date,
    say: Formats,
    then: Callable[[str, WantedClass], object],
) -> Question:
    """Ask what a new class is like, and its size and prices."""
    text = _(
        "Rows that stand under the like class alone are copied and scaled: proposals to look at. "
        "All others fit the new class by its traits."
    )
    question = Question(parent, _("New class"), text, [_("Leave as it is"), _("Show the changes")])
    like = QComboBox()
    for code, kind in classes:
        like.addItem(f"{code}  {kind}", code)
    texts = [QLineEdit() for _at in range(2)]
    numbers = [QLineEdit() for _at in range(5)]
    titles = (
        _("Operating mass, kg"), _("Net power, kW"), _("New machine, low"),
        _("New machine, likely"), _("New machine, high"),
    )  # fmt: skip
    _framed(question, ((_("Like"), like), (_("Code"), texts[0]), (_("Type"), texts[1])))
    frames = _framed(question, tuple(zip(titles, numbers, strict=True)))
    go_on = _go_on(question)

    def values() -> list[Decimal | None]:
        return [_read(frame, field, say) for frame, field in zip(frames, numbers, strict=True)]

    def look() -> None:
        named = all(line.text().strip() for line in texts)
        go_on.setEnabled(named and all(one is not None for one in values()))

    for line in (*texts, *numbers):
        line.textChanged.connect(lambda _text: look())
    look()
    like.setFocus()

    def ended(_code: int) -> None:
        found = [one for one in values() if one is not None]
        if question.answer == 1 and len(found) == len(numbers):
            code, kind = (line.text().strip() for line in texts)
            mass, power, low, likely, high = found
            wanted = WantedClass(code, kind, mass, power, low, likely, high, today)
            then(str(like.currentData()), wanted)

    question.finished.connect(ended)
    question.open()
    return question


def _framed(question: Question, fields: Sequence[tuple[str, QWidget]]) -> list[FieldFrame]:
    frames = [FieldFrame(title, field) for title, field in fields]
    for frame in frames:
        question.body.addWidget(frame)
    return frames


def _go_on(question: Question) -> QPushButton:
    go_on = question.buttons[1]
    go_on.setProperty("primary", True)
    question.buttons[0].setAutoDefault(False)
    question.buttons[0].setDefault(False)
    go_on.setDefault(True)
    return go_on


def _read(frame: FieldFrame, field: QLineEdit, say: Formats) -> Decimal | None:
    """The number that is typed; None, and said at the field, where it is none."""
    if not field.text().strip():
        frame.mark_valid()
        return None
    try:
        number = say.read_number(field.text())
    except ValueError as error:
        frame.mark_invalid(told_of(error))
        return None
    frame.mark_valid()
    return number
