"""Make the papers of a contract as PDF and put them where the user wants them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from estimator.domain.language import language_of
from estimator.domain.wording import worded
from estimator.services.errors import NotFound, NotWritten
from estimator.services.house_style import in_house_style
from estimator.services.open_record import Record
from estimator.services.paper_parts import Sources, read_sources
from estimator.services.print_quote import known_locale
from estimator.services.work_out_contract import ContractNow
from estimator.services.write_file import write_whole

VARIATION, STRIP, DECLINED, LEDGER, STOP = "variation", "strip", "declined", "ledger", "stop"
KINDS = (VARIATION, STRIP, DECLINED, LEDGER, STOP)


@dataclass(frozen=True, slots=True, kw_only=True)
class Print:
    """Which paper: one of `KINDS`, dated `day`; a variation order by its variation's number."""

    kind: str
    day: date
    variation: str = ""
    locale: str = "en_GB"


def paper_bytes(record: Record, number: str, what: Print, now: ContractNow | None = None) -> bytes:
    """A paper of a job's contract as PDF: the same record and day give the same bytes. `now`,
    where the contract is worked out already, spares working it out again.

    Raises NotFound where there is no contract, no such paper or variation, or a locale whose
    formats are not known; NotReckoned; Conflict for a stop of what can be stopped no more.
    """
    known_locale(what.locale)
    known_paper(what.kind)
    return paper_of(record, read_sources(record, number, what.day), what, now)


def known_paper(kind: str) -> None:
    """Raises NotFound where there is no paper of this kind."""
    if kind not in KINDS:
        known = ", ".join(KINDS)
        raise NotFound(
            worded("There is no paper called {kind!r}.", kind=kind),
            worded("Papers are: {known}.", known=known),
        )


def paper_of(
    record: Record, sources: Sources, what: Print, now: ContractNow | None = None
) -> bytes:
    """The same from what was read of the record, whose house style it wears. Raises as
    `paper_bytes`."""
    locale = known_locale(what.locale)
    sources = sources.in_language(language_of(locale))
    with in_house_style(record):
        if what.kind == VARIATION:
            return _variation(sources, what.variation, locale, now)
        if what.kind == LEDGER:
            return _ledger(sources, locale, now)
        return {STRIP: _strip, DECLINED: _declined, STOP: _stop}[what.kind](sources, locale)


def _variation(sources: Sources, number: str, locale: str, now: ContractNow | None) -> bytes:
    from estimator.documents.contract.variation_order import variation_pdf
    from estimator.services.variation_paper import variation_order

    return variation_pdf(variation_order(sources, number, now), locale)


def _ledger(sources: Sources, locale: str, now: ContractNow | None) -> bytes:
    from estimator.documents.contract.ledger_statement import ledger_pdf
    from estimator.services.ledger_paper import ledger_statement

    return ledger_pdf(ledger_statement(sources, now), locale)


def _strip(sources: Sources, locale: str) -> bytes:
    from estimator.documents.contract.strip_report import strip_pdf
    from estimator.services.strip_paper import strip_report

    return strip_pdf(strip_report(sources), locale)


def _declined(sources: Sources, locale: str) -> bytes:
    from estimator.documents.contract.declined_list import declined_pdf
    from estimator.services.variation_paper import declined_list

    return declined_pdf(declined_list(sources), locale)


def _stop(sources: Sources, locale: str) -> bytes:
    from estimator.documents.contract.stop_paper import stop_pdf
    from estimator.services.strip_paper import stop_paper

    return stop_pdf(stop_paper(sources), locale)


def print_paper(
    record: Record,
    number: str,
    what: Print,
    path: Path,
    *,
    replace: bool = False,
    now: ContractNow | None = None,
) -> Path:
    """Write a paper of a job's contract to `path` and return the path. Raises NotFound,
    NotReckoned, NotWritten.

    A file that exists is kept unless `replace` is true; none is left half-written.
    """
    if path.exists() and not replace:
        raise NotWritten(
            worded("{path} is there already.", path=str(path)),
            worded("Choose another name, or say --replace."),
        )
    return write_whole(path, paper_bytes(record, number, what, now))
