"""What a user does with a row of the scope: overrule, choose, take out, put in, keep."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from estimator.desktop.language import _
from estimator.desktop.page import Page
from estimator.desktop.questions import ask, ask_words
from estimator.desktop.screens.scope.choose_row import RowChooser
from estimator.desktop.screens.scope.decide import (
    EITHER,
    PROPOSAL,
    REFUSED,
    WAY,
    Decision,
    decision,
)
from estimator.desktop.trade_words import disposition_word, level_word
from estimator.domain.catalogue.work_rows import CalledRow
from estimator.domain.job import Job
from estimator.domain.scope_edits import (
    as_proposed,
    overruled,
    rows_to_put_in,
    with_both_kept,
    with_level,
    with_line_back,
    with_line_out,
    with_one_kept,
    with_row_in,
    with_way,
    without_idle,
)
from estimator.services.show_scope import GONE, IDLE, ScopeRow

KEEP_ONE, KEEP_BOTH = "reuse", "recondition"  # Alt+1 and Alt+2 on a pair
MOST_NAMED = 4


class ScopeActs:
    """Acts on the row one is on; says plainly where an act is not possible.

    `row` answers that row, `why_not` why nothing can be changed ("" where it can); `show_all` takes
    filters away, so that a new row is seen.
    """

    def __init__(
        self,
        page: Page,
        row: Callable[[], ScopeRow | None],
        why_not: Callable[[], str],
        show_all: Callable[[], None],
    ) -> None:
        self.page = page
        self._row, self._why_not, self._show_all = row, why_not, show_all

    def _ready(self) -> Job | None:
        """The job, if it may be changed."""
        page = self.page
        if reason := self._why_not():
            page.workshop.presenter.notice(reason)
            return None
        return page.desk.job

    def _edit(self, name: str, after: Job) -> None:
        self.page.desk.edit(name, after)

    @property
    def _who(self) -> str:
        return self.page.workshop.person.name

    # Dispositions

    def choose(self, disposition: str) -> None:
        """Alt+1 to Alt+5 on the row."""
        job, row = self._ready(), self._row()
        if job is None or row is None:
            return
        if row.twice is not None and disposition in (KEEP_ONE, KEEP_BOTH):
            (self.keep_one if disposition == KEEP_ONE else self.keep_both)()
            return
        found = decision(row, disposition)
        if found.what == REFUSED:
            self.page.workshop.presenter.notice(f"{row.name}: {found.words}")
        elif found.what == PROPOSAL:
            name = _("{part} as proposed").format(part=row.id)
            self._edit(name, as_proposed(job, row.finding))
        elif found.what == WAY:
            self._take_way(row, disposition)
        elif found.what == EITHER:
            self._ask_which(row, disposition, found)
        else:
            self._ask_reason(row, disposition, found)

    def _ask_which(self, row: ScopeRow, disposition: str, found: Decision) -> None:
        """An open part: what if it is worn, or put right without waiting to see?"""
        word = disposition_word(disposition)
        ask(
            self.page,
            _("{way}: if it is found worn, or in any case?").format(way=word),
            _(
                "{part} is not seen yet. It can stay open, with this way if it is found worn; or"
                " the finding is overruled, and it is priced now."
            ).format(part=row.name),
            [_("Leave as it is"), _("If found worn"), _("Price it now")],
            lambda answer: (
                self._take_way(row, disposition)
                if answer == 1
                else self._ask_reason(row, disposition, found)
                if answer > 1
                else None
            ),
        )

    def _take_way(self, row: ScopeRow, way: str) -> None:
        job = self.page.desk.job
        if job is not None:
            name = _("way of {part}").format(part=row.id)
            self._edit(name, with_way(job, row.id, way))

    def _ask_reason(self, row: ScopeRow, disposition: str, found: Decision) -> None:
        word = disposition_word(disposition)
        ask_words(
            self.page,
            _("{way} {part}").format(way=word, part=row.name),
            found.words,
            _("Reason, which stays on record"),
            lambda reason: self._overrule(row, disposition, reason),
        )

    def _overrule(self, row: ScopeRow, disposition: str, reason: str) -> None:
        job = self.page.desk.job
        newest = self.page.desk.work or self.page.desk.priced
        if job is None or newest is None:
            return
        by = newest.scope.judgements.get(row.finding)
        if by is not None:
            name = _("disposition of {part}").format(part=row.id)
            self._edit(name, overruled(job, by, row.id, disposition, reason, self._who))

    # Options

    def choose_way(self, way: str) -> None:
        """A way was chosen in the columns: of an open part it is kept as the way if worn, of a
        part in the scope its finding is overruled."""
        job, row = self._ready(), self._row()
        if job is None or row is None:
            return
        settled = row.finding and not row.rests.unseen
        if settled:
            self.choose(way)
        else:
            self._take_way(row, way)

    def choose_level(self, level: str) -> None:
        """How far to go with the machine."""
        job = self._ready()
        if job is not None and level != job.level:
            name = _("level {level}").format(level=level_word(level).casefold())
            self._edit(name, with_level(job, level))

    # Lines

    def take_out(self, row: Any) -> None:
        """Del: a line goes out with a reason; one taken out comes back; an idle change goes."""
        job = self._ready()
        if job is None or not isinstance(row, ScopeRow):
            return
        if row.kind == GONE:
            self._edit(_("{row} put back").format(row=row.id), with_line_back(job, row.id))
        elif row.kind == IDLE:
            self._edit(_("change of {row}").format(row=row.id), without_idle(job, row.id))
        elif row.rests.how == "own":
            self.page.workshop.presenter.notice(
                _("{row} is a line of your own: take it out on Price (Ctrl+4).").format(row=row.id)
            )
        elif row.lines or row.rests.unseen:
            self._ask_out(row)
        else:
            self.page.workshop.presenter.notice(
                _("{part} has no line in the scope.").format(part=row.name)
            )

    def _ask_out(self, row: ScopeRow) -> None:
        codes = row.lines or (row.id,)
        named = ", ".join(codes[:MOST_NAMED]) + (" \u2026" if len(codes) > MOST_NAMED else "")
        text = (
            _("Goes out of the scope: {lines}.").format(lines=named)
            if row.lines
            else _("It is open, and then no longer part of the exposure.")
        )
        ask_words(
            self.page,
            _("Take out {part}").format(part=row.name),
            text,
            _("Reason, which stays on record"),
            lambda reason: self._out(row, codes, reason),
        )

    def _out(self, row: ScopeRow, codes: tuple[str, ...], reason: str) -> None:
        job = self.page.desk.job
        if job is None:
            return
        for code in codes:
            job = with_line_out(job, code, reason, self._who)
        self._edit(_("{row} taken out").format(row=row.id), job)

    def put_row_in(self) -> None:
        """Ins: a row of the catalogue that is not in the scope."""
        job = self._ready()
        newest = self.page.desk.work or self.page.desk.priced
        if job is None or newest is None:
            return
        rows = rows_to_put_in(job, newest.cat, (line.id for line in newest.lines))
        RowChooser(self.page, rows, self._put_in).open()

    def _put_in(self, row: CalledRow, reason: str) -> None:
        job = self.page.desk.job
        if job is not None:
            name = _("{row} put in").format(row=row.id)
            self._edit(name, with_row_in(job, row.id, reason, self._who))
            self._show_all()

    # Operations counted twice

    def keep_one(self) -> None:
        """The included operation goes out: counted twice."""
        job, row = self._ready(), self._row()
        if job is not None and row is not None and row.twice is not None:
            name = _("one of {pair}").format(pair=" + ".join(row.twice))
            self._edit(name, with_one_kept(job, row.twice, self._who))

    def keep_both(self) -> None:
        """Both stay, for a reason."""
        job, row = self._ready(), self._row()
        if job is None or row is None or row.twice is None:
            return
        pair = row.twice
        ask_words(
            self.page,
            _("Keep both"),
            _("{one} includes {other}. Both stay in the price.").format(one=pair[0], other=pair[1]),
            _("Reason, which stays on record"),
            lambda reason: self._both(pair, reason),
        )

    def _both(self, pair: tuple[str, str], reason: str) -> None:
        job = self.page.desk.job
        if job is not None:
            name = _("both of {pair}").format(pair=" + ".join(pair))
            self._edit(name, with_both_kept(job, pair, reason, self._who))
