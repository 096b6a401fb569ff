"""Prove the record: its log's chain, what was issued and the events of contracts, all of it."""

from __future__ import annotations

from estimator.desktop.language import _, ngettext
from estimator.desktop.workshop import Workshop
from estimator.services.verify_record import Verified, verify_record


def prove(workshop: Workshop) -> None:
    """Verify the whole record in the background and say what came of it."""
    record = workshop.record
    workshop.runner.run(
        lambda _report: verify_record(record),
        lambda verified: _tell(workshop, verified),
        subject="prove",
        says=_("Proving the record"),
    )


def _tell(workshop: Workshop, verified: Verified) -> None:
    if verified.faults:
        workshop.presenter.trouble(
            _("The record does not hold together."), "\n".join(verified.faults[:5])
        )
        return
    entries = ngettext("{n} entry", "{n} entries", verified.entries).format(n=verified.entries)
    workshop.presenter.done(
        _("The record holds together: {entries}, {issued} issued, chain {head}.").format(
            entries=entries, issued=verified.issued, head=verified.head[:12]
        )
    )
