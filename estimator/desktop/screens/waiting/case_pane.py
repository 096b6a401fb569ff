"""What whoever answers has before them: evidence, what is approved, the contingency after it, and
ground by ground whether they may."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from PySide6.QtCore import Signal
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from estimator.desktop.drawing.marks import TABLE_MARK, Mark
from estimator.desktop.formats import Formats
from estimator.desktop.language import _, ngettext
from estimator.desktop.screens.waiting import words
from estimator.desktop.screens.waiting.after_bar import AfterBar
from estimator.desktop.screens.waiting.facts import FactRows, GroundRows, TickLines, hairline
from estimator.desktop.variation_words import cause_words, end_words
from estimator.desktop.widgets.mark import MarkLabel
from estimator.desktop.widgets.photo_strip import Photo, PhotoStrip
from estimator.desktop.widgets.plain_label import plain_label
from estimator.domain.contract.variation import CHARGED_TO_NOBODY, REMEASURED
from estimator.domain.money import Money
from estimator.services.show_approval import After, ApprovalView, in_part
from estimator.services.show_case import GroundRow


class CasePane(QWidget):
    """Shows an ApprovalView.

    Signals: photograph_asked(object): its name; ticks_changed(): other lines are ticked
    """

    photograph_asked = Signal(object)
    ticks_changed = Signal()

    def __init__(self, say: Formats) -> None:
        super().__init__()
        self._say = say
        self._view: ApprovalView | None = None
        self._person = ""
        self._activities: Mapping[str, str] = {}
        self.finish: tuple[date, date] | None = None  # before and after it, once worked out
        self.setProperty("look", "side")
        self.photos = PhotoStrip("")
        self.photos.set_locked(True)
        self.photos.setAccessibleName(_("Photographs"))
        self.photos.full_size_asked.connect(self.photograph_asked)
        self.measured = plain_label("", "strong", wrapped=True)
        self.evidence = plain_label("", "second", wrapped=True)
        self.lines, self.facts, self.grounds = TickLines(), FactRows(), GroundRows()
        self.lines.changed.connect(self._on_ticks)
        self.caution = plain_label("", "strong", wrapped=True)
        self.bar, self.after = AfterBar(say), plain_label("", "second", wrapped=True)
        self._build()

    def _build(self) -> None:
        safety = QWidget()
        row = QHBoxLayout(safety)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        row.addWidget(MarkLabel(Mark.TAKE_CARE, size=TABLE_MARK))
        row.addWidget(self.caution, 1)
        self._safety = safety
        self._after_head = plain_label(_("Contingency after it"), "head")
        self._may_head = plain_label(_("May you?"), "head")
        self._evidence_line = hairline()
        self._after_line, self._may_line = hairline(), hairline()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        for widget in (
            self.photos, self.measured, self.evidence, self._evidence_line,
            plain_label(_("What you approve"), "head"), self.lines, self.facts, safety,
            self._after_line, self._after_head, self.bar, self.after,
            self._may_line, self._may_head, self.grounds,
        ):  # fmt: skip
            column.addWidget(widget)

    # What is shown

    def show_view(self, view: ApprovalView, person: str, activities: Mapping[str, str]) -> None:
        """Show one variation, or several together."""
        before = self._view
        self._view, self._person, self._activities = view, person, activities
        self.finish = None
        if before is None or before.cases != view.cases:
            self._show_lines(view)
        self._show_evidence(view)
        self._show_amounts()

    def show_finish(self, before: date, after: date) -> None:
        """What agreeing to it does to the day by which the machine is ready."""
        self.finish = (before, after)
        self._show_amounts()

    @property
    def ticked_part(self) -> tuple[int, ...]:
        """The lines ticked, where they are some and not all; else none."""
        return self.lines.ticked if self.lines.in_part else ()

    @property
    def part_grounds(self) -> tuple[GroundRow, ...]:
        """The grounds for agreeing to the lines ticked."""
        if self._view is None or not self.ticked_part:
            return ()
        return in_part(self._view, self._person, self.ticked_part)[2]

    def _on_ticks(self) -> None:
        self._show_amounts()
        self.ticks_changed.emit()

    def _show_lines(self, view: ApprovalView) -> None:
        say, lines = self._say, []
        if len(view.cases) == 1 and view.act("approve in part").may:
            variation = view.case.variation
            lines = [(line.what, say.sum(line.amount)) for line in variation.lines]
        self.lines.show_lines(lines)

    def _show_evidence(self, view: ApprovalView) -> None:
        one = view.case.variation if len(view.cases) == 1 else None
        photos = view.photographs
        self.photos.set_photos(
            [Photo(p.name, p.caption or p.name, QImage.fromData(p.thumbnail)) for p in photos]
        )
        self.photos.setVisible(bool(photos))
        self.measured.setText(one.measured if one is not None else "")
        self.measured.setVisible(bool(self.measured.text()))
        told = ""
        if one is not None:
            cause = cause_words().get(one.cause, one.cause)
            parts = (one.location, cause, one.not_seen_before)
            told = "\n".join(part for part in parts if part)
        self.evidence.setText(told)
        self.evidence.setVisible(bool(told))
        self._evidence_line.setVisible(bool(told or photos))

    def _show_amounts(self) -> None:
        view = self._view
        assert view is not None
        amount, left, grounds = view.amount, view.after.left_after, view.grounds
        if self.ticked_part:
            amount, left, grounds = in_part(view, self._person, self.ticked_part)
        self.facts.show_facts(self._facts(view, amount))
        cautions = [case.variation.title for case in view.cases if case.variation.safety]
        self._safety.setVisible(bool(cautions))
        self.caution.setText(self._caution(view, cautions))
        self._show_after(view.after, left, drawn=self._draws(view))
        self._show_grounds(grounds)

    def _facts(self, view: ApprovalView, amount: Money | None) -> list[tuple[str, str]]:
        say, facts = self._say, []
        if len(view.cases) > 1:
            for case in view.cases:
                sum_ = say.sum(case.variation.amount(view.contract.currency))
                facts.append((f"{case.variation.name}  {case.variation.title}", sum_))
            facts.append((_("Together"), say.money(amount) if amount is not None else "?"))
            return facts
        variation = view.case.variation
        way = next((one.what for one in variation.ways if one.way == variation.chosen), "")
        if amount is None:
            range_ = variation.range
            shown = words.range_words(
                range_.low if range_ else None, range_.high if range_ else None, say
            )
            facts.append((_("No price yet"), shown))
        elif variation.end in CHARGED_TO_NOBODY:
            cost = variation.workshop_cost
            facts.append((_("Not charged; costs us"), say.money(cost) if cost else "?"))
        else:
            facts.append((way or _("What it comes to"), say.money(amount)))
        facts.append((_("Funded by"), end_words().get(variation.end, variation.end)))
        facts.append((_("Days"), self._days(view)))
        facts.append((self._finish_title(view), self._finish(view)))
        if variation.consequence:
            facts.append((_("If left"), variation.consequence))
        return facts

    def _days(self, view: ApprovalView) -> str:
        variation = view.case.variation
        if not variation.days:
            return _("none added")
        name = self._activities.get(variation.activity, variation.activity)
        days = self._say.number(variation.days)
        return _("+{days} d, {activity}").format(days=days, activity=name)

    def _finish_title(self, view: ApprovalView) -> str:
        return _("Finish, {share}").format(share=self._say.percent(view.confidence))

    def _finish(self, view: ApprovalView) -> str:
        say = self._say
        if self.finish is not None:
            before, after = self.finish
            if before == after:
                return _("{day}, unchanged").format(day=say.short_day(after))
            return f"{say.short_day(before)} \u2192 {say.short_day(after)}"
        if view.finish is None or view.after.behind:
            return _("not worked out yet")
        return _("{day} before it").format(day=say.short_day(view.finish))

    def _caution(self, view: ApprovalView, titles: list[str]) -> str:
        if len(view.cases) > 1:
            return _("Safety: {titles}").format(titles=", ".join(titles))
        fixed = view.case.variation.cannot_be_declined
        said = _("Safety: people can be hurt where it is left.")
        if fixed:
            because = _("It cannot be declined: {why}.").format(why=fixed)
            return f"{said} {because}"
        return said

    def _draws(self, view: ApprovalView) -> bool:
        free = (*CHARGED_TO_NOBODY, REMEASURED)
        return view.amount is not None and all(c.variation.end not in free for c in view.cases)

    def _show_after(self, after: After, left: Money, *, drawn: bool) -> None:
        shown = bool(after.held)
        for widget in (self._after_line, self._after_head, self.bar, self.after):
            widget.setVisible(shown)
        self.bar.set_after(after)
        say = self._say
        said = _("{left} left").format(left=say.money(after.left_before))
        if drawn:
            said = _("{before} \u2192 {after} left").format(
                before=say.money(after.left_before), after=say.money(left)
            )
        parts = [said + "."]
        if after.unpriced:
            names = ", ".join(after.unpriced)
            parts.append(
                ngettext(
                    "Not yet enough: {names} has no price.",
                    "Not yet enough: {names} have no price.",
                    len(after.unpriced),
                ).format(names=names)
            )
        elif after.exposed is not None and not after.behind:
            parts.append(self._enough(after))
        if after.behind:
            parts.append(_("What may still be found was worked out before the last event."))
        self.after.setText(" ".join(parts))

    def _enough(self, after: After) -> str:
        if after.short:
            return _("Short by {sum}: what waits and may still be found come to more.").format(
                sum=self._say.money(after.short)
            )
        return _("Enough for what waits and what may still be found.")

    def _show_grounds(self, grounds: tuple[GroundRow, ...]) -> None:
        view = self._view
        by = {case.variation.priced_by for case in view.cases} if view is not None else set()
        priced_by = by.pop() if len(by) == 1 else ""
        priced_by = "" if priced_by == self._person else priced_by
        told = [(row.holds, words.ground_words(row, self._say, priced_by)) for row in grounds]
        for widget in (self._may_line, self._may_head, self.grounds):
            widget.setVisible(bool(told))
        self.grounds.show_grounds(told)
