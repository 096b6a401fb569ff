"""Columns of the findings grid that show one field each, as it is kept."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Any

from estimator.desktop.language import _
from estimator.desktop.screens.inspection.rows import FindingRow
from estimator.desktop.screens.inspection.typed import Typed, words_for
from estimator.desktop.widgets.columns import Column
from estimator.domain.catalogue.work_rows import FINDING_KINDS
from estimator.domain.findings import RESULTS


class FieldColumns:
    """The views beside the readings: words, amounts and oil, limits and parts."""

    def __init__(self, typed: Typed) -> None:
        self._typed = typed

    def words(self) -> list[Column]:
        """What was seen, by whom and when."""
        return [
            self._choice("result", _("Result"), 92, ("", *RESULTS)),
            self._text("note", _("Note"), 150),
            self._text("inspector", _("Inspector"), 100),
            self._cell(
                "date", _("Date"), 96,
                lambda row: self._typed.formats.day(row.finding.date),
                edit=lambda row: row.finding.date.isoformat(),
                sort=lambda row: row.finding.date,
            ),
        ]  # fmt: skip

    def amounts(self) -> list[Column]:
        """How much is needed, oil, and what bears on wear."""
        return [
            self._figure("quantity_low", _("Low"), 58),
            self._figure("quantity", _("Likely"), 58),
            self._figure("quantity_high", _("High"), 58),
            self._list("metals", _("Metals, ppm"), 120),
            self._text("cleanliness", _("ISO 4406"), 80),
            self._figure("hours_on_part", _("Hours on part"), 92),
            self._figure("gauge_error", _("Gauge \u00b1"), 64),
        ]

    def limits(self) -> list[Column]:
        """What is looked at, and limits of its own."""
        return [
            self._choice("kind", _("Kind"), 92, ("", *FINDING_KINDS)),
            self._text("what", _("What was looked at"), 120),
            self._text("component", _("Component"), 76),
            self._list("part", _("Parts"), 84),
            self._list("sign_of", _("Sign of"), 70),
            self._text("test", _("Test"), 66),
            self._text("unit", _("Unit"), 54),
            self._figure("new", _("New"), 56),
            self._figure("rebuild_limit", _("Rebuild"), 60),
            self._figure("service_limit", _("Service"), 60),
        ]

    def _text(self, key: str, title: str, width: int) -> Column:
        return self._cell(
            key, title, width, lambda row: str(getattr(row.finding, key)),
            edit=lambda row: str(getattr(row.saved, key)),
        )  # fmt: skip

    def _list(self, key: str, title: str, width: int) -> Column:
        return self._cell(
            key, title, width, lambda row: "; ".join(getattr(row.finding, key)),
            edit=lambda row: "; ".join(getattr(row.saved, key)),
        )  # fmt: skip

    def _figure(self, key: str, title: str, width: int) -> Column:
        def value(row: FindingRow) -> Decimal | None:
            own: Decimal | None = getattr(row.finding, key)
            return own

        return self._cell(
            key, title, width, lambda row: self._typed.number(value(row)), sort=value, right=True,
            edit=lambda row: self._typed.number(getattr(row.saved, key)),
        )  # fmt: skip

    def _choice(self, key: str, title: str, width: int, known: Sequence[str]) -> Column:
        return self._cell(
            key, title, width, lambda row: words_for(getattr(row.finding, key)),
            choices=lambda _row: [words_for(one) for one in known],
        )  # fmt: skip

    def _cell(
        self,
        key: str,
        title: str,
        width: int,
        shown: Callable[[FindingRow], str],
        *,
        edit: Callable[[FindingRow], str] | None = None,
        sort: Callable[[FindingRow], Any] | None = None,
        choices: Callable[[Any], Sequence[str]] | None = None,
        right: bool = False,
    ) -> Column:
        def only_findings(of: Callable[[FindingRow], Any], else_: Any) -> Callable[[Any], Any]:
            return lambda row: of(row) if isinstance(row, FindingRow) else else_

        return Column(
            key, title, only_findings(shown, ""), width, right=right,
            sort=only_findings(sort, None) if sort else None,
            read=self._read(key), editable=lambda row: isinstance(row, FindingRow), choices=choices,
            edit_text=only_findings(edit, "") if edit else None,
            tip=only_findings(shown, ""),
        )  # fmt: skip

    def _read(self, key: str) -> Callable[[FindingRow, str], Any]:
        return lambda row, text: self._typed.read(row, key, text)
