"""People of the workshop: who may do what, and enrolling somebody."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.desk import Desk
from estimator.desktop.key_names import key_names
from estimator.desktop.language import _
from estimator.desktop.page import Page
from estimator.desktop.questions import ask_passphrase
from estimator.desktop.trade_words import role_word
from estimator.desktop.widgets.columns import Column
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.row_model import RowModel
from estimator.desktop.workshop import Workshop
from estimator.domain.people import MAY, ROLES, Person
from estimator.services.enrol_person import enrol_person, know_person, list_people


class PeoplePage(Page):
    """Everyone enrolled; a service manager enrols others; anyone can take the seat."""

    def __init__(self, workshop: Workshop, desk: Desk) -> None:
        super().__init__(workshop, desk)
        self.setAccessibleName(_("People"))
        words = {role: role_word(role) for role in ROLES}
        self.model = RowModel(
            (
                Column("name", _("Name"), lambda p: p.name, 260, strong=lambda _p: True),
                Column("role", _("Role"), lambda p: words.get(p.role, p.role), 180),
                Column("may", _("May"), _rights, 480, tip=_rights),
            ),
            lambda person: person.id,
        )
        self.grid = Grid(self.model, _("People"), row_height=36)
        self.grid.set_widths(2)
        self.grid.opened.connect(self._take_seat)
        self.name, self.secret, self.again = QLineEdit(), QLineEdit(), QLineEdit()
        self.role = QComboBox()
        self.role.addItems([words[role] for role in ROLES])
        for field, label in (
            (self.name, _("Name")),
            (self.secret, _("Passphrase, ten characters or more")),
            (self.again, _("The same passphrase again")),
        ):
            field.setAccessibleName(label)
        self.role.setAccessibleName(_("Role"))
        for field in (self.secret, self.again):
            field.setEchoMode(QLineEdit.EchoMode.Password)
        self.enrol = QPushButton(_("Enrol") + "   " + key_names("Ctrl+Enter"))
        self.enrol.setProperty("primary", True)
        self.enrol.clicked.connect(self.main_action)
        self._note = QLabel()
        self._note.setProperty("tone", "second")
        self._note.setWordWrap(True)
        self._build()
        workshop.record_changed.connect(lambda kinds: self.stale() if "people" in kinds else None)
        workshop.person_changed.connect(lambda _person: self.stale())

    def _build(self) -> None:
        title = QLabel(_("People"))
        title.setProperty("tone", "title")
        seat = QLabel(_("Enter on a name: that person works here, with their own passphrase."))
        seat.setProperty("tone", "second")
        form = QFormLayout()
        form.setLabelAlignment(Qt.AlignmentFlag.AlignLeft)
        form.setSpacing(10)
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapAllRows)
        for field in (self.name, self.role, self.secret, self.again):
            caption = QLabel(field.accessibleName())
            caption.setBuddy(field)
            form.addRow(caption, field)
        side = QFrame()
        side.setProperty("look", "side")
        side.setMinimumWidth(340)
        side.setMaximumWidth(460)
        column = QVBoxLayout(side)
        column.setContentsMargins(20, 18, 20, 18)
        head = QLabel(_("Enrol somebody"))
        head.setProperty("tone", "section")
        column.addWidget(head)
        column.addLayout(form)
        row = QHBoxLayout()
        row.addStretch()
        row.addWidget(self.enrol)
        column.addLayout(row)
        column.addWidget(self._note)
        column.addStretch()
        left = QVBoxLayout()
        left.setContentsMargins(24, 18, 0, 0)
        for widget in (title, seat):
            left.addWidget(widget)
        left.addWidget(self.grid, 1)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addLayout(left, 5)
        whole.addWidget(side, 4)

    def keys(self) -> Sequence[tuple[str, str]]:
        """The keys that count here."""
        return (
            ("Enter", _("works here")),
            ("F6", _("next pane")),
            ("Ctrl+Enter", _("enrol")),
            ("Alt+Home", _("Jobs")),
        )

    def panes(self) -> Sequence[QWidget]:
        """The list, the form."""
        return (self.grid, self.name)

    def take_focus(self) -> None:
        """Into the list."""
        self.grid.setFocus()

    def refresh(self) -> None:
        """Read who is enrolled."""
        record = self.workshop.record
        self.workshop.runner.run(
            lambda _report: list_people(record), self.model.set_rows, subject="people"
        )
        may = self.workshop.person.may("enrol people")
        for widget in (self.name, self.role, self.secret, self.again, self.enrol):
            widget.setEnabled(may)
        self._say("" if may else _("Enrolling is for a service manager."))

    def main_action(self) -> None:
        """Enrol whoever the form names."""
        if not self.enrol.isEnabled():
            return
        if self.secret.text() != self.again.text():
            self._refuse(_("The two passphrases differ. Type them again."), self.again)
            return
        if not self.name.text().strip():
            self._refuse(_("Nobody is named yet."), self.name)
            return
        record, by, now = self.workshop.record, self.workshop.person, self.workshop.now()
        name, secret = self.name.text().strip(), self.secret.text()
        role = ROLES[self.role.currentIndex()]
        self.workshop.runner.run(
            lambda _report: enrol_person(record, name, role, secret, by, now),
            self._enrolled,
            subject="enrol",
        )

    def _refuse(self, text: str, field: QWidget) -> None:
        self._say(text, "attention")
        field.setFocus()

    def _say(self, text: str, tone: str = "second") -> None:
        self._note.setText(text)
        self._note.setProperty("tone", tone)
        self._note.style().polish(self._note)

    def _enrolled(self, person: Person) -> None:
        for field in (self.name, self.secret, self.again):
            field.clear()
        self._say("")
        self.workshop.presenter.done(_("{name} is enrolled.").format(name=person.name))
        self.workshop.changed("people")

    def unfinished(self) -> str:
        """Somebody half enrolled."""
        if not self.enrol.isEnabled() or not self.name.text().strip():
            return ""
        return _("{name} is not enrolled yet.").format(name=self.name.text().strip())

    def _take_seat(self, person: Person) -> None:
        record = self.workshop.record

        def known(name: str, secret: str) -> None:
            self.workshop.runner.run(
                lambda _report: know_person(record, name, secret), self.workshop.take_person
            )

        ask_passphrase(
            self,
            _("Who works here?"),
            _("{name} works here from now on.").format(name=person.name),
            person.name,
            known,
        )


def _rights(person: Person) -> str:
    rights = {
        "take in a job": _("take in jobs"),
        "record findings": _("record findings"),
        "edit more than findings and photographs": _("edit jobs"),
        "issue a quote": _("issue quotes"),
        "release a quote": _("release quotes"),
        "enrol people": _("enrol people"),
        "keep past work": _("keep past work"),
    }
    mine = [rights.get(act, act) for act in MAY if person.may(act)]
    return ", ".join(mine) or _("look, change nothing")
