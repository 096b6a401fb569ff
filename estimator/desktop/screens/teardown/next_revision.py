"""What the strip showed on its way into the revision that is priced after it, where the teardown
alone was accepted."""

from __future__ import annotations

from PySide6.QtCore import QObject

from estimator.desktop.desk import Desk
from estimator.desktop.language import _, ngettext
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.workshop import Workshop
from estimator.domain.people import EDIT, ISSUE
from estimator.domain.record import next_revision
from estimator.services.after_strip import strip_findings, take_in_strip
from estimator.services.issue_quote import revise_job


class NextRevision(QObject):
    """The button that begins the revision after the strip, and later takes in what was found since.
    It is there only while nothing but the teardown is accepted."""

    def __init__(self, workshop: Workshop, desk: Desk, button: CommandButton) -> None:
        super().__init__(button)
        self.workshop, self.desk, self.button = workshop, desk, button
        button.clicked.connect(self.act)

    @property
    def _begins(self) -> bool:
        """Whether the revision is not begun yet, or issued already."""
        return self.desk.issued

    def _left(self) -> int:
        """Findings of the strip that the revision does not hold."""
        job, here = self.desk.job, self.desk.contract.here
        if job is None or here is None:
            return 0
        known = {one.id for one in job.findings}
        return sum(one.id not in known for one in strip_findings(here.contract))

    def show(self) -> None:
        """Say what the button does now."""
        job, desk, person = self.desk.job, self.desk, self.workshop.person
        self.button.setVisible(job is not None and desk.strip_alone)
        if job is None or not desk.strip_alone:
            return
        count = self._left()
        if self._begins:
            name = next_revision(job.revision)
            self.button.setText(_("Make rev {rev} with it").format(rev=name))
            may = person.may(ISSUE)
        else:
            self.button.setText(
                ngettext(
                    "Take {n} finding into rev {rev}", "Take {n} findings into rev {rev}", count
                ).format(n=count, rev=job.revision)
            )
            may = person.may(EDIT)
        reason = "" if count else _("Rev {rev} holds all that was found.").format(rev=job.revision)
        if not may:
            reason = _("{who} may look only.").format(who=person.name)
        self.button.set_available(reason)

    def act(self) -> None:
        """Begin the revision, or take in what was found since."""
        job = self.desk.job
        if job is None or not self.desk.strip_alone:
            return
        record, who, now = self.workshop.record, self.workshop.person, self.workshop.now()
        number = job.number
        if self._begins:
            self.workshop.runner.run(
                lambda _report: revise_job(record, number, who, now),
                lambda after: self._done(
                    _("Rev {rev} is begun with what the strip showed.").format(rev=after.revision)
                ),
            )
            return
        self.workshop.runner.run(
            lambda _report: take_in_strip(record, number, who, now),
            lambda _draft: self._done(_("What the strip showed is among the findings.")),
        )

    def _done(self, told: str) -> None:
        self.workshop.presenter.done(told)
        self.workshop.changed("jobs")
        self.desk.reread()
