"""What is chosen at the bench and not recorded yet: kept by component, tried out, recorded."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal

from estimator.desktop.desk import Desk
from estimator.desktop.language import _, ngettext
from estimator.desktop.runner import RECORD
from estimator.desktop.screens.teardown.rows import LINE, MEASURE, BenchRow
from estimator.desktop.widgets.columns import Kept
from estimator.desktop.workshop import Workshop
from estimator.domain.contract.variation import WORN
from estimator.services.bench_notes import keep_bench, read_bench
from estimator.services.plan_opening import Answers, opening_of
from estimator.services.record_teardown import (
    MeasuredAgain,
    Opening,
    open_component,
    opening_events,
)
from estimator.services.show_bench import Bench, show_bench
from estimator.services.write_contract import Here

Value = Decimal | str | MeasuredAgain | None
WAIT_TO_KEEP = 1000  # ms after the last change


class Answering(QObject):
    """Signals: changed(): something is chosen otherwise now."""

    changed = Signal()

    def __init__(self, workshop: Workshop, desk: Desk, parent: QObject) -> None:
        super().__init__(parent)
        self.workshop, self.desk = workshop, desk
        self._answers: dict[str, Answers] = {}
        self._unkept: set[str] = set()  # components whose answers are younger than what is kept
        self._keeping = QTimer(self)
        self._keeping.setSingleShot(True)
        self._keeping.setInterval(WAIT_TO_KEEP)
        self._keeping.timeout.connect(self.keep)

    def forget(self) -> None:
        """Another job is on the desk: take up what was left on its bench."""
        self._keeping.stop()
        self._answers, self._unkept = {}, set()
        job, record, who = self.desk.job, self.workshop.record, self.workshop.person
        if job is None or not self.desk.contracted:
            return
        self.workshop.runner.run(
            lambda _report: read_bench(record, job.number, who),
            lambda found: self._take_up(job.number, found),
            lane=RECORD,
            subject="bench",
        )

    def _take_up(self, number: str, found: dict[str, Answers]) -> None:
        job = self.desk.job
        if job is None or job.number != number or not found:
            return
        self._answers = {**found, **self._answers}
        self.changed.emit()
        self.try_out()

    def keep(self) -> None:
        """Keep what is chosen and not recorded, so that a crash loses none of it."""
        job, record, who = self.desk.job, self.workshop.record, self.workshop.person
        chosen = {component: self.of(component) for component in self._unkept}
        self._unkept = set()
        if job is None or not chosen:
            return
        now = self.workshop.now()
        self.workshop.runner.run(
            lambda _report: keep_bench(record, job.number, chosen, who, now),
            lambda _done: None,
            lane=RECORD,  # without a subject: one that is begun later must not stop it
        )

    def _keep_soon(self, component: str) -> None:
        self._unkept.add(component)
        self._keeping.start()

    def of(self, component: str) -> Answers:
        """What is chosen of a component."""
        return self._answers.get(component, Answers())

    def unrecorded(self) -> list[str]:
        """Names of components with something that is not recorded."""
        here = self.desk.contract.here
        if here is None:
            return []
        names = here.work.cat.components
        return [names[code].name for code, one in self._answers.items() if not one.nothing]

    def _set(self, component: str, answers: Answers) -> None:
        self._answers[component] = answers
        self._keep_soon(component)
        self.changed.emit()
        self.try_out()

    # Choosing

    def tick(self, component: str, code: str, *, on: bool) -> None:
        """Tick a caution, or take the tick back."""
        before = self.of(component)
        ticked = before.ticked | {code} if on else before.ticked - {code}
        self._set(component, replace(before, ticked=ticked))

    def dispose(self, component: str, part: str, disposition: str) -> None:
        """Say what is to be done with a part; the same again takes it back."""
        before = self.of(component)
        after = dict(before.dispositions)
        if after.get(part) == disposition:
            del after[part]
        else:
            after[part] = disposition
        self._set(component, replace(before, dispositions=after))

    def type_in(self, component: str, row: BenchRow, value: Value) -> None:
        """A reading, words on a part, or a quantity; None takes it back."""
        before = self.of(component)
        name = {MEASURE: "readings", LINE: "lines"}.get(row.kind, "words")
        after: dict[str, Any] = dict(getattr(before, name))
        after.pop(row.code, None)
        if value is not None:
            after[row.code] = value
        changed: dict[str, Any] = {name: after}
        self._set(component, replace(before, **changed))

    def photograph(self, component: str, name: str, part: str) -> None:
        """A photograph was taken, of a part or of the whole component."""
        before = self.of(component)
        taken = (*before.photographs, (name, part))
        self._answers[component] = replace(before, photographs=taken)
        self._keep_soon(component)

    # Trying out

    def _openings(self, here: Here) -> list[Opening]:
        who, day = self.workshop.person.name, self.workshop.today()
        openings = []
        for component, answers in self._answers.items():
            if not answers.nothing:
                bench = show_bench(here, None, component)
                openings.append(opening_of(here, bench, answers, who, day))
        return [one for one in openings if one.found or one.measured]

    def try_out(self) -> None:
        """Work out the forecast of everything chosen; the last one to be asked for counts."""
        contract, who = self.desk.contract, self.workshop.person
        here = contract.here
        openings = self._openings(here) if here is not None else []
        if here is None or not openings:
            if contract.trial is not None:
                contract.try_out(None)
            return
        at = max(self.workshop.now(), here.contract.events[-1].at)
        contract.try_out(lambda now: opening_events(now, openings, who, at))

    # Recording

    def record(self, bench: Bench, kept: Mapping[tuple[str, str], Kept]) -> None:
        """Record what is chosen of the component on the bench."""
        contract, answers = self.desk.contract, self.of(bench.component)
        here, tell = contract.here, self.workshop.presenter
        if here is None or contract.acting:
            return
        if kept:
            tell.trouble(next(iter(kept.values())).reason)
            return
        opening = opening_of(here, bench, answers, self.workshop.person.name, self.workshop.today())
        if not (opening.found or opening.measured or opening.readings):
            tell.notice(_("Nothing is measured or chosen here yet."))
            return
        number = here.job.number
        contract.act(
            lambda record, who, now: open_component(record, number, opening, who, now),
            _("Recording the opening"),
            lambda after: self._on_recorded(bench, opening, here, after),
        )

    def _on_recorded(self, bench: Bench, opening: Opening, before: Here, after: Here) -> None:
        """What is recorded is taken off the bench; what waited for a tick stays."""
        left = self.of(bench.component)
        found = {one.part for one in opening.found}
        measured = {one.row_id for one in opening.measured}
        read = {one.measure for one in opening.readings}
        left = Answers(
            left.ticked - set(opening.cautions_ticked),
            {part: one for part, one in left.dispositions.items() if part not in found},
            {part: one for part, one in left.words.items() if part not in found},
            {code: one for code, one in left.readings.items() if code not in read},
            {line: one for line, one in left.lines.items() if line not in measured},
            () if found else left.photographs,
        )
        self._answers[bench.component] = left
        self._keep_soon(bench.component)
        self.workshop.presenter.done(self._told(bench, opening, before, after))
        self.changed.emit()

    @staticmethod
    def _told(bench: Bench, opening: Opening, before: Here, after: Here) -> str:
        worn = sum(one.state == WORN for one in opening.found)
        sound = len(opening.found) - worn
        told = []
        if opening.found:
            told.append(_("{worn} worn, {sound} sound").format(worn=worn, sound=sound))
        if opening.measured:
            count = len(opening.measured)
            told.append(ngettext("{n} line measured", "{n} lines measured", count).format(n=count))
        if opening.readings:
            count = len(opening.readings)
            told.append(ngettext("{n} reading", "{n} readings", count).format(n=count))
        raised = [name for name in after.contract.cases if name not in before.contract.cases]
        said = _("{component}: {what}.").format(component=bench.name, what=", ".join(told))
        if raised:
            said += " " + _("Raised: {names}.").format(names=", ".join(raised))
        return said
