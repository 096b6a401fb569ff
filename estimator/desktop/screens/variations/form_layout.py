"""The plain fields of a variation's form: what was found, and what belongs to its answer."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from estimator.desktop.language import _
from estimator.desktop.screens.variations.form_fields import Fields
from estimator.desktop.variation_words import cause_words, end_words
from estimator.desktop.widgets.plain_label import heading_label
from estimator.services.write_contract import Here


def fill_found(column: QVBoxLayout, make: Fields, here: Here, *, new: bool) -> None:
    """What was found, where, why, who funds it, the reading. A `new` one may put right a part that
    is still exposed, which is resolved by it."""
    components = {"": _("not of one component")}
    components |= {code: row.name for code, row in here.work.cat.components.items()}
    first: list[QWidget] = [
        make.line("title", _("What was found, or is asked for")),
        make.combo("component", _("Component"), components),
    ]
    if new:
        still = [one for one in here.work.exposed if one.part not in here.contract.resolved]
        parts = {"": _("none of those exposed")} | {one.part: one.name for one in still}
        first.append(make.combo("part", _("Part found worn"), parts))
    column.addLayout(make.row(*first))
    column.addLayout(
        make.row(
            make.line("location", _("Where on the machine, exactly")),
            make.combo("cause", _("Cause"), cause_words()),
            make.combo("end", _("Funded by"), end_words()),
        )
    )
    column.addLayout(
        make.row(
            make.line("measured", _("Reading against limit")),
            make.line("not_seen", _("Why it was not seen before")),
        )
    )


def fill_answer(column: QVBoxLayout, make: Fields) -> None:
    """What declining means, safety, until when an answer is wanted, what waiting costs."""
    column.addWidget(heading_label(_("The answer")))
    column.addLayout(make.row(make.line("consequence", _("What declining means"))))
    column.addLayout(
        make.row(
            make.line("cannot", _("Why it cannot be declined, where it cannot")),
            make.tick("safety", _("A safety matter: somebody can be hurt")),
        )
    )
    column.addLayout(
        make.row(
            make.line("answer_by", _("Answer wanted by")),
            make.line("waiting_from", _("Waiting costs from")),
            make.line("waiting_per_day", _("Cost of a day in the bay")),
        )
    )
