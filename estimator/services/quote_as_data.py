"""The quotation that an issued quote's print carries as data, for order systems."""

from __future__ import annotations

import re
from datetime import datetime

from estimator.documents.files.quote_rows import FileQuote
from estimator.documents.files.quote_ubl import quote_ubl
from estimator.documents.grammar.archive import ALTERNATIVE, Attached
from estimator.domain.quote import Quote

_NAMED_BY = "UBL 2.1 Quotation"  # a name of the standard, the same in every language
_UNFIT = re.compile(r"[^\w.\-]+")


def quotation_of(quote: Quote, at: datetime, chain_head: str) -> tuple[Attached, ...]:
    """The quote in UBL, telling as much as the print does; nothing where no line is priced: the
    standard asks for one at least. `at` is when it is issued."""
    try:
        data = quote_ubl(FileQuote(quote, at, quote.length, True, chain_head))
    except ValueError:
        return ()
    job = quote.priced.job
    name = _UNFIT.sub("_", f"{job.number}-{job.revision}") + ".xml"
    return (Attached(name, "application/xml", data, _NAMED_BY, ALTERNATIVE),)
