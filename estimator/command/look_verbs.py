"""The verbs of looks: which would tell most about a job, and putting one on its inspection."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from estimator.command.acting import now, record_verb, who_acts
from estimator.command.answer import Options, answer, progress
from estimator.command.catalogue_verbs import working
from estimator.command.job_verb import job_verb, priced_job

if TYPE_CHECKING:
    from estimator.services.show_open_first import LookRow, OpenFirst


def add_to(verbs: Any) -> None:
    """Add the verbs to the command line."""
    job_verb(verbs, "open-first", show_looks, "which look or test would tell most, before opening")
    adding = record_verb(verbs, "add-look", add_look, "put a look on a job's inspection as a task")
    adding.add_argument("number", help="number of the job")
    adding.add_argument("look", help="look as open-first names it, like open/P-TGR or T-ESC")


def show_looks(options: Options) -> None:
    """Looks still possible, the largest expected fall first."""
    from estimator.services.show_open_first import show_open_first

    priced = priced_job(options)
    found = show_open_first(priced, _counted(progress(options)))
    answer(options, looks_data(found), looks_text(found))


def _counted(say: Callable[[str], None]) -> Callable[[int, int], None]:
    def tell(done: int, of: int) -> None:
        say("done" if done == of else f"looks {done} of {of}")

    return tell


def add_look(options: Options) -> None:
    """Put a look on the inspection."""
    from estimator.services.add_look import add_look as service
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        catalogue = working(record, options)
        who = who_acts(record, options)
        added = service(record, options.number, options.look, catalogue, who, now())
    data = {"number": options.number, "look": options.look, "findings": list(added)}
    told = f"{', '.join(added)} of {options.number} waits to be done." if added else (
        f"It stands on the inspection of {options.number} already."
    )  # fmt: skip
    answer(options, data, told)


def looks_data(found: OpenFirst) -> dict[str, object]:
    """All looks with every figure, sums as text in the quote's currency."""
    limit = found.limit
    return {
        "spread": _sum(found.spread.amount),
        "currency": found.spread.currency,
        "confidence": f"{found.confidence}",
        "worth_rebuilding_to": {
            "limit": limit.code,
            "amount": _sum(limit.amount.amount),
            "share_of_new": f"{limit.share}",
            "new_price": _sum(limit.new_price.amount),
        },
        "inside": found.inside,
        "looks": [_look_data(row) for row in found.rows],
    }


def _look_data(row: LookRow) -> dict[str, object]:
    return {
        "id": row.id,
        "kind": row.kind,
        "name": row.name,
        "on": list(row.on),
        "parts": list(row.parts),
        "circuit": row.circuit,
        "expected_fall": _sum(row.fall.amount),
        "chance_worn": row.chance,
        "detects": None if row.detects is None else f"{row.detects}",
        "changes_disposition": row.changes_disposition,
        "changes_decision": row.changes_decision,
        "cost": None if row.cost is None else _sum(row.cost.amount),
        "hours": None if row.hours is None else f"{row.hours}",
        "days": None if row.days is None else f"{row.days}",
        "cautions": [one.id for one in row.cautions],
        "on_the_inspection": row.added,
    }


def _sum(amount: object) -> str:
    return f"{amount:f}"


def looks_text(found: OpenFirst) -> str:
    """The same as a table."""
    from estimator.command.columns import table
    from estimator.command.text_output import amount, percent

    limit, currency = found.limit, found.spread.currency
    where = "within" if found.inside else "above"
    head = (
        f"Percentile less mean at {percent(found.confidence, 0)}: {amount(found.spread)} "
        f"{currency}. The price is {where} {amount(limit.amount)}, {percent(limit.share, 0)} of "
        f"new ({limit.code}).\nA fall is no saving: opening moves money from exposed to firm."
    )
    if not found.rows:
        return f"{head}\n\nNothing is left to look at."
    rows = [
        (
            row.id,
            row.name,
            f"{row.fall.amount:,.0f}",
            percent(row.changes_disposition, 0),
            percent(row.changes_decision, 0),
            "" if row.cost is None else amount(row.cost),
            "" if row.hours is None else f"{row.hours.normalize():f}",
            "" if row.days is None else f"{row.days.normalize():f}",
            " ".join(one.id for one in row.cautions),
            "yes" if row.added else "",
        )
        for row in found.rows
    ]
    titles = ("Look", "What", "Fall", "Scope", "Decision", "Cost", "h", "Days", "Cautions", "Added")
    return f"{head}\n\n{table(titles, rows, right=(2, 3, 4, 5, 6, 7), whole=(8,))}"
