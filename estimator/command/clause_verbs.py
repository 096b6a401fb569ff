"""A verb about translated clauses: how far a language is confirmed, and confirming it."""

from __future__ import annotations

from typing import Any

from estimator.command.acting import now, record_verb, who_acts
from estimator.command.answer import Options, answer
from estimator.command.catalogue_verbs import working
from estimator.command.columns import table


def add_to(verbs: Any) -> None:
    """Make the verb known."""
    text = "confirm translated clauses for the workshop, so that quotes that print them may go out"
    confirming = record_verb(verbs, "confirm-clauses", confirm, text)
    confirming.add_argument("language", help="language of the clauses, such as de")
    confirming.add_argument("--why", required=True, help="who read them, and how; kept on record")
    confirming.add_argument("--clause", dest="ids", action="append", default=[], metavar="ID",
                            help="only this clause; may stand more than once")  # fmt: skip
    text = "show which translated clauses of a language nobody has confirmed"
    showing = record_verb(verbs, "clauses", show, text, acts=False)
    showing.add_argument("language", help="language of the clauses, such as de")


def confirm(options: Options) -> None:
    """Confirm the clauses of a language as they are worded now."""
    from estimator.services.confirm_clauses import confirm_clauses
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        catalogue = working(record, options)
        who = who_acts(record, options)
        count = confirm_clauses(
            record, catalogue, options.language, who, now(), options.why, options.ids
        )
    data = {"language": options.language, "confirmed": count}
    answer(options, data, f"Clauses confirmed in {options.language}: {count}.")


def show(options: Options) -> None:
    """Show the clauses of a language that nobody has confirmed, to be read."""
    from estimator.services.confirm_clauses import show_clauses
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        catalogue = working(record, options)
        found = show_clauses(record, catalogue, options.language)
    rows = [(one.id, one.text) for one in found.unconfirmed]
    data = {
        "language": found.language,
        "count": found.count,
        "lacking": list(found.lacking),
        "unconfirmed": dict(rows),
    }
    text = table(("Clause", "Not confirmed"), rows) if rows else "All are confirmed."
    if found.lacking:
        text += f"\nPrinted in English: {', '.join(found.lacking)}."
    answer(options, data, text)
