"""What changed since the revision before: compared in the background, shown as a list."""

from __future__ import annotations

from collections.abc import Sequence

from estimator.desktop.language import _
from estimator.desktop.runner import WORK
from estimator.desktop.screens.quote.layout import QuoteParts
from estimator.desktop.screens.quote.words import SectionHead, section_names
from estimator.desktop.widgets.row_model import Section
from estimator.desktop.workshop import Workshop
from estimator.domain.priced_job import PricedJob
from estimator.domain.record import IssuedQuote
from estimator.services.compare_revisions import Difference, as_issued, as_priced, compare


class Comparing:
    """Fills the list of what changed."""

    def __init__(self, workshop: Workshop, parts: QuoteParts) -> None:
        self.workshop, self._parts = workshop, parts
        self._shown: tuple[object, ...] = ()

    def show(
        self,
        issued: Sequence[IssuedQuote],
        here: IssuedQuote | None,
        priced: PricedJob | None,
    ) -> None:
        """Compare the issued revision `here` with the one before it; None: the job as reckoned now
        (`priced`, None while it is not known) with the newest."""
        place = len(issued) if here is None else list(issued).index(here)
        before = issued[place - 1] if place else None
        asked = (before, here, priced)
        if len(self._shown) == len(asked) and all(
            one is two for one, two in zip(asked, self._shown, strict=True)
        ):
            return
        self._shown = asked
        if before is None or (here is None and priced is None):
            self._fill(None, before)
            return

        def work(_report: object) -> tuple[Difference, ...]:
            if here is not None:
                return compare(as_issued(before), as_issued(here))
            assert priced is not None
            return compare(as_issued(before), as_priced(priced))

        self.workshop.runner.run(
            work, lambda found: self._fill(found, before), lane=WORK, subject="differences"
        )

    def _fill(self, found: tuple[Difference, ...] | None, before: IssuedQuote | None) -> None:
        parts = self._parts
        title, note = _("What changed"), ""
        if before is not None:
            title = _("What changed since rev {rev}").format(rev=before.revision)
        if before is None:
            note = _("Nothing was issued before this revision.")
        elif found is None:
            note = _("Known once the job is priced.")
        elif not found:
            note = _("Nothing: figures, scope, findings and terms are the same.")
        parts.changes_title.set_text(title)
        parts.changes_note.setText(note)
        parts.changes_note.setVisible(bool(note))
        sections = [
            Section(SectionHead(key, name), rows)
            for key, name in section_names().items()
            if (rows := tuple(one for one in found or () if one.section == key))
        ]
        parts.changes.rows.set_sections(sections)
        parts.changes.setVisible(bool(sections))
