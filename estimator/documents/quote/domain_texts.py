"""Texts of the domain that stand on the customer's pages, named here so that they are gathered and
translated with the labels; `grammar/told.py` tells them."""

from __future__ import annotations

from estimator.domain.enquiry import BANDS
from estimator.domain.new_machine import KINDS
from estimator.domain.rebuild_or_new.noting import titled

STAGES = tuple(band.stage for band in BANDS.values())
FIGURES = tuple(kind.title for kind in KINDS.values())
MOVED = tuple(titled(name) for name in ("rebuild_price", "weeks_rebuild", "weeks_new"))
