"""Terms of the quote as fields and tables: what an estimator sets, and the quote prints. No Qt."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import Any

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.enquiry import reading
from estimator.desktop.screens.enquiry.fields import CHOICE, Field
from estimator.desktop.screens.enquiry.reading import Between
from estimator.desktop.screens.enquiry.tables import Table, TableColumn
from estimator.desktop.widgets.columns import NotValid
from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.catalogue.rows import TaxCategory
from estimator.domain.job import ExchangeRate, Job, Stage
from estimator.domain.money import MINOR_DIGITS, minor_digits

MOST_UNIT, MOST_RATE = 100, 1_000_000


def form_words() -> tuple[tuple[str, str], ...]:
    """The commercial forms a quote may have."""
    return (
        ("base and named contingency", _("Base and named contingency")),
        ("fixed price", _("Fixed price")),
        ("not to exceed", _("Not to exceed")),
    )


def terms_fields(formats: Formats, catalogue: Catalogue) -> list[Field]:
    """What is agreed beside the scope; the confidence is set on Exposure."""
    taxes = tuple((row.id, f"{row.id}  {row.name}") for row in catalogue.table("tax", TaxCategory))
    currencies = tuple((one, one) for one in MINOR_DIGITS)

    def days(key: str, label: str, name: str, low: int, high: int, hint: str = "") -> Field:
        return Field(
            ("terms", key), label, name,
            lambda _job, t: reading.whole(formats, t, Between(low, high)), hint, _("days"),
        )  # fmt: skip

    return [
        Field(
            ("terms", "commercial_form"), _("Commercial form"), _("commercial form"), _needed,
            _("What of the sum may move"), kind=CHOICE, wide=True, choices=form_words(),
        ),
        Field(
            ("terms", "currency"), _("Currency"), _("currency"), _needed, kind=CHOICE,
            choices=currencies,
        ),
        Field(
            ("terms", "tax_category"), _("Tax"), _("tax category"), _needed, kind=CHOICE,
            choices=taxes,
        ),
        Field(
            ("terms", "discount_share"), _("Discount"), _("discount"),
            lambda _job, t: reading.share(formats, t, Between(0, 90)),
            _("On firm parts lines"), "%", shown=lambda one: formats.number(one * 100),
        ),
        Field(
            ("terms", "quoting_unit"), _("Quoted to"), _("quoting unit"),
            lambda job, t: _unit(formats, job, t), _("Sums are rounded to this"),
            shown=formats.number,
        ),
        days("valid_days", _("Valid for"), _("validity"), 1, 365),
        days("answer_days", _("Customer's answer"), _("days to answer"), 1, 60,
             _("Working days to answer a finding")),
        days("storage_free_days", _("Storage free for"), _("free storage"), 0, 365),
        Field(
            ("terms", "storage_per_day"), _("Storage a day"), _("storage charge"),
            lambda _job, t: reading.number(formats, t, Between(0, 1_000_000)),
            shown=formats.number,
        ),
        days("removed_parts_days", _("Removed parts kept"), _("removed parts"), 0, 365),
        days("teardown_longest_days", _("Longest teardown"), _("longest teardown"), 1, 250),
    ]  # fmt: skip


def _unit(formats: Formats, job: Job, typed: str) -> Decimal:
    value = reading.number(formats, typed, Between(above=0, high=MOST_UNIT))
    minor = Decimal(1).scaleb(-minor_digits(job.terms.currency))
    if value % minor or MOST_UNIT % value:
        raise NotValid(
            _("Write {minor}, 1, 10 or another that divides 100.").format(
                minor=formats.number(minor)
            )
        )
    return value


def stages_table(formats: Formats) -> Table:
    """Stage payments: a share of the net price when something is reached."""

    def share(job: Job, place: int, typed: str) -> Decimal:
        value = reading.share(formats, typed, Between(above=0, high=100))
        others = sum(
            (one.share for at, one in enumerate(job.terms.stages) if at != place), Decimal(0)
        )
        if value + others > 1:
            raise NotValid(_("All stages would be more than the whole price. Lower one."))
        return value

    return Table(
        key=("terms", "stages"),
        title=_("Stage payments"),
        hint=_("Shares of the price before tax; what is left is due at the end"),
        name=_("stage payments"),
        columns=(
            TableColumn("share", _("Share, %"), 90, lambda one: formats.number(one * 100),
                        share, right=True),
            TableColumn("when", _("When"), 240, str,
                        lambda _job, _place, t: reading.needed_text(t)),
        ),
        rows=lambda job: job.terms.stages,
        write=lambda job, rows: replace(job, terms=replace(job.terms, stages=tuple(rows))),
        blank=lambda _job: Stage(Decimal("0.05"), _("order")),
        first="share",
        says="when",
    )  # fmt: skip


def rates_table(formats: Formats, today: Callable[[], Any]) -> Table:
    """Exchange rates, frozen for the job."""

    def currency(job: Job, place: int, typed: str) -> str:
        code = typed.strip().upper()
        if code not in MINOR_DIGITS:
            raise NotValid(_("Not a currency. Write its three letters, like EUR."))
        if code == job.terms.currency:
            raise NotValid(_("That is the quote's own currency; it has no rate."))
        others = [one for at, one in enumerate(job.exchange_rates) if at != place]
        if code in others:
            raise NotValid(_("{code} stands here already.").format(code=code))
        return code

    bounds = Between(above=0, high=MOST_RATE)
    return Table(
        key=("exchange_rates",),
        title=_("Exchange rates"),
        hint=_("What one unit costs in the quote's currency, frozen for this job"),
        name=_("exchange rates"),
        columns=(
            TableColumn("currency", _("Currency"), 80, str, currency),
            TableColumn(
                "rate", _("Costs"), 90, formats.number,
                lambda _job, _place, t: reading.number(formats, t, bounds),
                right=True,
            ),
            TableColumn(
                "date", _("Date"), 100, lambda day: str(day.isoformat()),
                lambda _job, _place, t: reading.day(formats, t),
            ),
            TableColumn("source", _("Source"), 200, str,
                        lambda _job, _place, t: reading.needed_text(t)),
        ),
        rows=lambda job: tuple(job.exchange_rates.values()),
        write=lambda job, rows: replace(
            job, exchange_rates={one.currency: one for one in rows}
        ),
        blank=lambda _job: ExchangeRate("", Decimal(1), today(), _("typed")),
        first="currency",
        says="source",
    )  # fmt: skip


def _needed(_job: Job, typed: str) -> str:
    return reading.needed_text(typed)
