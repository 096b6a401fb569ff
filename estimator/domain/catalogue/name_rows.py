"""Rows of `names/LANGUAGE.csv`: texts of the catalogue in another language."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from estimator.domain.catalogue.column import column
from estimator.domain.catalogue.rows import Row

PRINTED: Mapping[str, tuple[str, ...]] = {
    "classes": ("type",),
    "class_masses": ("piece",),
    "groups": ("name", "summary"),
    "circuits": ("name",),
    "components": ("name",),
    "suppliers": ("supplies",),
    "markups": ("name",),
    "trades": ("name",),
    "levies": ("name",),
    "tax": ("name", "exemption"),
    "cautions": ("hazard", "caution", "family", "defers_to"),
    "warranty": ("note",),
    "operations": ("name", "range_reason"),
    "parts": ("name", "range_reason"),
    "outwork": ("name", "range_reason", "certificate"),
    "found_work": ("name",),
    "tests": ("name", "alarm"),
    "measures": ("name",),
    "activities": ("name", "bay"),
}
"""Fields of each table that print or the internal sheet may show, the first of them the name."""

STAGES = "stages"  # payment stages stand in a job and no table: their id is their English


@dataclass(frozen=True, slots=True, kw_only=True)
class CatalogueName(Row):
    """A text of the catalogue in another language."""

    table: str = column("table it stands in", choices=(*PRINTED, STAGES))
    field: str = column("its column there; the name where blank", default="")
    id: str = column("code of its row; of a stage its English text")
    english: str = column("the English text it translates")
    text: str = column("the translation")
    confirmed_by: str = column("who at the workshop has confirmed it", default="")

    @property
    def column(self) -> str:
        """The column of its table that it translates."""
        return self.field or (PRINTED[self.table][0] if self.table in PRINTED else "")
