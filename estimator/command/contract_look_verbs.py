"""The verbs that look at contracts: ledger, variations, what waits on whom, history."""

from __future__ import annotations

from typing import Any

from estimator.command.acting import now, record_verb
from estimator.command.answer import Options, answer, progress
from estimator.command.catalogue_verbs import working
from estimator.command.contract_acts import contract_verb
from estimator.domain.catalogue.rows import Closure
from estimator.domain.contract.states import STATES


def add_to(verbs: Any) -> None:
    """Add the verbs to the command line."""
    reading = contract_verb(verbs, "ledger", ledger, "show the contingency ledger event by event, "
                            "by component group, and the forecast", acts=False)  # fmt: skip
    reading.add_argument("--newest", action="store_true", help="the newest row alone: quicker")
    reading.add_argument("--quiet", action="store_true", help="no progress on stderr")
    listing = contract_verb(verbs, "variations", variations, "list a job's variations", acts=False)
    listing.add_argument("--state", choices=STATES, default="", help="only those in this state")
    waiting_ = record_verb(verbs, "waiting", waiting, "list what waits on whom over all jobs, and "
                           "what waiting costs", acts=False)  # fmt: skip
    waiting_.add_argument("--on", default="", help="only what waits on this role, or the customer")
    told = contract_verb(verbs, "history", history,
                         "who did what to a job, when, from what to what", acts=False)  # fmt: skip
    told.add_argument("--of", default="", metavar="V04", help="of this variation alone")


def ledger(options: Options) -> None:
    """Show the ledger."""
    from estimator.command.ledger_output import ledger_data, ledger_text
    from estimator.services.open_record import open_record
    from estimator.services.read_ledger import read_ledger

    say = progress(options)

    def tell(at: int, of: int) -> None:
        say("done" if at == of else f"event {at} of {of}")

    with open_record(options.record, now()) as record:
        found = read_ledger(record, options.number, every=not options.newest, progress=tell)
    answer(options, ledger_data(found), ledger_text(found))


def variations(options: Options) -> None:
    """List variations."""
    from estimator.command.variation_output import variations_data, variations_text
    from estimator.services.open_record import open_record
    from estimator.services.work_out_contract import read_contract

    at = now()
    with open_record(options.record, at) as record:
        here = read_contract(record, options.number)
    cases = [
        case
        for case in here.contract.cases.values()
        if not options.state or case.state == options.state
    ]
    answer(options, variations_data(here, cases, at), variations_text(here, cases))


def waiting(options: Options) -> None:
    """List what waits."""
    from estimator.command.variation_output import waiting_data, waiting_text
    from estimator.services.errors import NotFound
    from estimator.services.open_record import open_record
    from estimator.services.show_desk import WAITS_ON, show_desk

    if options.on and options.on not in WAITS_ON:
        raise NotFound(f"Nothing waits on {options.on!r}.", f"Say one of: {', '.join(WAITS_ON)}.")
    at = now()
    with open_record(options.record, at) as record:
        closed = [one.date for one in working(record, options).table("closures", Closure)]
        view = show_desk(record, at, closed)
    rows = [one for one in view.rows if not options.on or one.waits_on == options.on]
    answer(options, waiting_data(view, rows), waiting_text(view, rows))


def history(options: Options) -> None:
    """Tell the history."""
    from estimator.command.variation_output import history_data, history_text
    from estimator.services.history import read_history
    from estimator.services.open_record import open_record

    with open_record(options.record, now()) as record:
        found = read_history(record, options.number, options.of)
    answer(options, history_data(found), history_text(found))
