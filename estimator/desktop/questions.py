"""Questions that need an answer before work goes on. None blocks: the answer comes by a call."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QHBoxLayout,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.language import _
from estimator.desktop.widgets.plain_label import plain_label


class Question(QDialog):
    """Words, then buttons. The first button is the safe answer, taken by Enter and by Esc."""

    def __init__(
        self, parent: QWidget, title: str, text: str, answers: Sequence[str], *, safe: int = 0
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setModal(True)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.answer = safe
        head = plain_label(title, "section", wrapped=True)
        body = plain_label(text, "", wrapped=True)
        self.body = QVBoxLayout()
        self.buttons = [QPushButton(words) for words in answers]
        row = QHBoxLayout()
        row.addStretch()
        for place, button in enumerate(self.buttons):
            button.clicked.connect(lambda _on=False, one=place: self._choose(one))
            row.addWidget(button)
        self.buttons[safe].setDefault(True)
        column = QVBoxLayout(self)
        column.setContentsMargins(24, 20, 24, 20)
        column.setSpacing(12)
        column.addWidget(head)
        column.addWidget(body)
        column.addLayout(self.body)
        column.addLayout(row)
        self.setMinimumWidth(440)

    def _choose(self, place: int) -> None:
        self.answer = place
        self.accept()


def ask(
    parent: QWidget,
    title: str,
    text: str,
    answers: Sequence[str],
    then: Callable[[int], object],
    *,
    safe: int = 0,
) -> Question:
    """Ask; `then` gets the number of the answer chosen, `safe` where the dialog was left."""
    question = Question(parent, title, text, answers, safe=safe)
    question.finished.connect(lambda _code: then(question.answer))
    question.open()
    return question


def ask_words(
    parent: QWidget, title: str, text: str, label: str, then: Callable[[str], object]
) -> Question:
    """Ask for a reason in words; `then` is called only with words that are not blank."""
    question = Question(parent, title, text, [_("Leave as it is"), _("Go on")])
    field = QPlainTextEdit()
    field.setAccessibleName(label)
    field.setTabChangesFocus(True)
    field.setFixedHeight(72)
    caption = plain_label(label, "head", wrapped=True)
    caption.setBuddy(field)
    question.body.addWidget(caption)
    question.body.addWidget(field)
    go_on = question.buttons[1]
    go_on.setEnabled(False)
    go_on.setProperty("primary", True)
    field.textChanged.connect(lambda: go_on.setEnabled(bool(field.toPlainText().strip())))
    field.setFocus()

    def ended(_code: int) -> None:
        text_given = " ".join(field.toPlainText().split())
        if question.answer == 1 and text_given:
            then(text_given)

    question.finished.connect(ended)
    question.open()
    return question


def ask_passphrase(
    parent: QWidget,
    title: str,
    text: str,
    name: str,
    then: Callable[[str, str], object],
    *,
    agree: tuple[str, str] | None = None,
) -> Question:
    """Ask for a name and that person's own passphrase; `then` gets both.

    With `agree`, (what is agreed to, words of the box), work goes on only once the box is ticked;
    it is where one begins.
    """
    question = Question(parent, title, text, [_("Leave as it is"), _("Go on")])
    box = _agreeing(question, agree) if agree is not None else None
    who, secret = QLineEdit(name), QLineEdit()
    secret.setEchoMode(QLineEdit.EchoMode.Password)
    for label, field in ((_("Name"), who), (_("Passphrase"), secret)):
        field.setAccessibleName(label)
        caption = plain_label(label, "head", wrapped=True)
        caption.setBuddy(field)
        question.body.addWidget(caption)
        question.body.addWidget(field)
    question.buttons[1].setProperty("primary", True)
    question.buttons[0].setDefault(False)
    question.buttons[0].setAutoDefault(False)
    question.buttons[1].setDefault(True)
    first: QWidget = secret if name else who
    (first if box is None else box).setFocus()

    def ended(_code: int) -> None:
        if question.answer == 1:
            then(who.text().strip(), secret.text())

    question.finished.connect(ended)
    question.open()
    return question


def _agreeing(question: Question, agree: tuple[str, str]) -> QCheckBox:
    """A box that must be ticked before the second answer can be given."""
    said, words = agree
    box = QCheckBox(words)
    box.setAccessibleDescription(said)
    question.body.addWidget(plain_label(said, "", wrapped=True))
    question.body.addWidget(box)
    go_on = question.buttons[1]
    go_on.setEnabled(False)
    box.toggled.connect(go_on.setEnabled)
    return box
