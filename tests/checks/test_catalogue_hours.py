"""The catalogue's hours beside published maintenance allocation charts, as orders of magnitude.

Sources, as quoted in excerpts: US Army TM 5-3895-373-20, page B-3 (roller with a four-cylinder
engine: engine replace 19.7 man-hours, repair 13.9; cylinder head replace 5.2; crankshaft bearings
8.5) and TM 5-3810-306-20, page B-7 (radiator replace 3.5, repair 4.0). Their times are average
man-hours under typical field conditions, preparation and fault-finding included; ours are workshop
hours of a rebuild, which does more to each. A factor of three is held to be the same order: no
closer figure of this class of machine was found.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.catalogue.rows import MachineClass
from estimator.services.open_catalogue import open_catalogue

CATALOGUE = open_catalogue()
SMALL_ENGINES = [row.id for row in CATALOGUE.table("classes", MachineClass)
                 if row.net_power_kw <= 110]  # fmt: skip
SAME_ORDER = Decimal(3)
CHARTS = {
    "engine, replace": (("O0101", "O0110"), Decimal("19.7")),
    "engine, replace and repair": (("O0101", "O0103", "O0110"), Decimal("19.7") + Decimal("13.9")),
    "cylinder head": (("O0104",), Decimal("5.2")),
    "radiator, replace and repair": (("O0201", "O0202"), Decimal("3.5") + Decimal("4.0")),
}


def test_there_are_machines_of_that_size():
    assert len(SMALL_ENGINES) >= 3


@pytest.mark.parametrize("code", SMALL_ENGINES)
@pytest.mark.parametrize("work", CHARTS)
def test_hours_are_of_the_order_of_published_charts(code, work):
    cat = for_class(CATALOGUE, code)
    operations, published = CHARTS[work]
    ours = sum((cat.operations[one].hours for one in operations), Decimal(0))
    assert published / SAME_ORDER <= ours <= published * SAME_ORDER
