"""Terms and caution families of the catalogue beside the standards they name.

Subjects of the standards: those of the US codes, SAE J1273, AWS D14.3, HSE INDG314, NFPA 51B,
AS 5062, ISO 3450, ISO 5010, ISO 3471 and ISO 3449 as published abstracts state them, read in
excerpts; all others from memory. A caution that names a standard must speak of its subject, so that
a number that slipped into the wrong row is found. Families of machines: ISO 6165:2022 sorts
earth-moving machinery into these (its abstract was read, the list is from memory); mobile crushers
and screens stand outside it (ISO 21873, from memory).
"""

from __future__ import annotations

import re

import pytest

from estimator.domain.catalogue.rows import Caution, MachineClass
from estimator.services.open_catalogue import open_catalogue

CATALOGUE = open_catalogue()
EARTH_MOVING = {
    "dozer", "loader", "backhoe loader", "excavator", "trencher", "dumper", "scraper", "grader",
    "landfill compactor", "roller", "pipelayer", "material handler",
}  # fmt: skip
OUTSIDE = {"mobile crusher", "mobile screen"}
SUBJECTS = {
    "29 CFR 1910.147": "isolate|lock",
    "29 CFR 1910.177": "rim|tyre",
    "29 CFR 1910.1001": "asbestos",
    "40 CFR 82": "refrigerant",
    "40 CFR 279": "oil",
    "TM 5-2410": "track",
    "ISO 14118": "isolate|lock|start",
    "ISO 4413": "hydraulic|oil side|pressure",
    "ISO 20474": "prop|lock|chock|clear|support|stand|machine",
    "ISO 12100": "guard|zone",
    "ISO 9712": "certificated|trained",
    "ISO 17638": "crack|magnetic",
    "ISO 3471": "structure|label",
    "ISO 3449": "structure|label",
    "ISO 3450": "brake",
    "ISO 5010": "steer",
    "ISO 13333": "body",
    "ISO 10268": "retarder|grade|haul",
    "ISO 10570": "articulat",
    "ISO 5349": "vibrat|grinder|shak",
    "ISO 2631": "vibrat|shak",
    "ISO 21873": "crush|screen|fold|exciter|jaw|chamber",
    "ISO 14119": "interlock",
    "ISO 14120": "guard",
    "ISO 13850": "emergency",
    "ISO 13849": "interlock|emergency|remote|control",
    "ISO 5149": "refrigerant|gas",
    "ISO 14990": "volt|electric|coil|drive",
    "ISO 11228": "lift|kg",
    "ISO 25980": "arc|screen",
    "IEC 62745": "remote|radio",
    "IEC 60204": "volt|electric|coil|drive",
    "EN 620": "belt|conveyor",
    "SAE J1273": "injection|grease|oil|pressure",
    "AWS D14.3": "weld",
    "NFPA 51B": "permit|fire",
    "NFPA 17": "actuat|suppression|recharge",
    "HSE INDG314": "tank|permit",
    "AS 5062": "actuat|suppression|recharge",
    "AS 4457": "tyre",
}
NUMBERED = re.compile(r"\b(?:29 CFR|40 CFR|ISO|IEC|EN|SAE|AWS|NFPA|AS|TM)\s?[A-Z]?[\d.]+[\d.]*")


@pytest.mark.parametrize("row", CATALOGUE.table("cautions", Caution), ids=lambda row: row.id)
def test_a_caution_speaks_of_what_its_standards_are_about(row):
    said = f"{row.hazard} {row.caution}".casefold()
    for number in NUMBERED.findall(row.family):
        known = [name for name in SUBJECTS if number.startswith(name) or name.startswith(number)]
        assert known, f"{number} is not among the standards whose subject is stated here"
        assert any(re.search(SUBJECTS[name], said) for name in known), f"{number}: {said}"


def test_what_is_from_memory_says_so():
    """Only what was read as an excerpt may stand without it."""
    read = (
        "29 CFR", "40 CFR", "SAE", "AWS", "HSE INDG", "NFPA 51B", "ISO 3450; ISO 5010", "ISO 3471",
        "TM 5-2410",
    )  # fmt: skip
    for row in CATALOGUE.table("cautions", Caution):
        if NUMBERED.search(row.family) and not any(one in row.family for one in read):
            assert "from memory" in row.family, row.id


def test_every_caution_defers_to_local_codes_and_licensed_practice():
    for row in CATALOGUE.table("cautions", Caution):
        assert "local codes" in row.defers_to
        assert "licensed" in row.defers_to


def test_families_are_those_of_the_standard_or_outside_it_and_say_so():
    for row in CATALOGUE.table("classes", MachineClass):
        assert row.family in EARTH_MOVING | OUTSIDE, row.id
        assert ("outside ISO 6165" in row.source) == (row.family in OUTSIDE), row.id


def test_mass_bands_of_a_kind_follow_each_other_without_an_overlap():
    kinds: dict[str, list[MachineClass]] = {}
    for row in CATALOGUE.table("classes", MachineClass):
        kinds.setdefault(row.type, []).append(row)
    for rows in kinds.values():
        rows.sort(key=lambda row: row.mass_from_kg)
        for small, large in zip(rows, rows[1:], strict=False):
            assert small.mass_to_kg == large.mass_from_kg, (small.id, large.id)
