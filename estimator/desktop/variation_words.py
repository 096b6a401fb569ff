"""Words that every page says of a variation: its state, who funds it, why it came about, which
limits hold."""

from __future__ import annotations

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.domain.contract import states
from estimator.domain.contract.authority import Together
from estimator.domain.contract.variation import (
    BY_SUPPLIER,
    BY_WORKSHOP,
    CONTINGENCY,
    CONTRACT_SUM,
    HIDDEN,
    MEASURED,
    OUTSIDE,
    OWN_ERROR,
    REMEASURED,
    REQUEST,
    SUPPLIERS,
)


def state_words() -> dict[str, str]:
    """States of a variation."""
    return {
        states.FOUND: _("Found"),
        states.DRAFT: _("To issue"),
        states.ISSUED: _("Issued"),
        states.QUERIED: _("Queried"),
        states.APPROVED: _("Approved"),
        states.PART_APPROVED: _("Approved in part"),
        states.DECLINED: _("Declined"),
        states.DEFERRED: _("Deferred"),
        states.LAPSED: _("Lapsed"),
        states.AGREED: _("Agreed"),
        states.CLOSED: _("Closed"),
        states.WITHDRAWN: _("Withdrawn"),
        states.RELEASED: _("In work"),
        states.DONE: _("Done"),
    }


def end_words() -> dict[str, str]:
    """What funds a variation."""
    return {
        CONTINGENCY: _("Contingency"),
        CONTRACT_SUM: _("Contract sum"),
        REMEASURED: _("Remeasured"),
        BY_WORKSHOP: _("Workshop"),
        BY_SUPPLIER: _("Supplier"),
    }


def cause_words() -> dict[str, str]:
    """Why it came about."""
    return {
        HIDDEN: _("hidden condition"),
        REQUEST: _("customer's request"),
        OUTSIDE: _("outside scope"),
        OWN_ERROR: _("our own error"),
        SUPPLIERS: _("supplier's fault"),
        MEASURED: _("measured again"),
    }


def limit_words() -> dict[str, tuple[str, str]]:
    """Limits by the code of their ground: in words where it holds, and where it does not."""
    return {
        "limit-each": (
            _("{amount} within {limit} for one"), _("{amount} above {limit} for one"),
        ),
        "limit-total": (
            _("{amount} within {limit} in all on this job"),
            _("{amount} above {limit} in all on this job"),
        ),
        "order": (
            _("sum of {amount} within the order's {limit}"),
            _("sum of {amount} above the order's {limit}"),
        ),
        "left": (
            _("{amount} within the {limit} left of the contingency"),
            _("{amount} more than the {limit} left of the contingency"),
        ),
    }  # fmt: skip


def together_words(before: Together, say: Formats) -> str:
    """What somebody agreed to on one component before, with this one."""
    return _(
        "With {numbers} on the same component this comes to {sum}, above {limit} for one."
    ).format(
        numbers=", ".join(before.numbers), sum=say.money(before.amount),
        limit=say.money(before.limit),
    )  # fmt: skip
