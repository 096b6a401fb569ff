"""The house style as a value: contrast, faults, whose signature is printed."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.domain.house_style import (
    PLAIN,
    PNG,
    Drawing,
    HouseStyle,
    Signature,
    check_style,
    contrast_on_white,
    style_data,
)

SCRAWL = Drawing(PNG, b"scrawl", 300, 100)


# Worked examples of WCAG 2.x: black on white is 21 to 1; #767676 is the palest grey that passes
# 4.5 to 1 and #949494 the palest that passes 3 to 1.
@pytest.mark.parametrize(
    ("colour", "ratio"),
    [("#000000", "21.00"), ("#FFFFFF", "1.00"), ("#767676", "4.54"), ("#777777", "4.47"),
     ("#949494", "3.03"), ("#959595", "2.99"), ("#FF0000", "3.99"), ("#0000FF", "8.59")],
)  # fmt: skip
def test_contrast_on_white_paper(colour, ratio):
    assert contrast_on_white(colour) == Decimal(ratio)


def codes(style: HouseStyle) -> list[tuple[str, str]]:
    return [(one.code, one.place.column) for one in check_style(style)]


def test_the_plain_style_has_no_fault():
    assert codes(PLAIN) == []


def test_a_pale_colour_is_refused_with_its_ratio():
    (fault,) = check_style(replace(PLAIN, head_colour="#777777"))
    assert "4.47 to 1" in fault.message
    assert "4.5 to 1" in fault.message
    assert check_style(replace(PLAIN, rule_colour="#777777")) == []
    (fault,) = check_style(replace(PLAIN, rule_colour="#959595"))
    assert "2.99 to 1" in fault.message


@pytest.mark.parametrize(
    ("change", "found"),
    [
        ({"head_colour": "red"}, ("no-colour", "head_colour")),
        ({"rule_colour": "#12345"}, ("no-colour", "rule_colour")),
        ({"email": "office at example"}, ("no-address", "email")),
        ({"paper": "A5"}, ("no-paper", "paper")),
        ({"footer": ("x",) * 4}, ("too-many", "footer")),
        ({"footer": ("x" * 121,)}, ("too-long", "footer")),
        ({"phone": "1" * 121}, ("too-long", "phone")),
        ({"terms": "x" * 20_001}, ("too-long", "terms")),
        ({"signatures": (Signature(" ", "", SCRAWL),)}, ("no-name", "signatures")),
        ({"signatures": (Signature("A B", "", SCRAWL), Signature("a  b", "", SCRAWL))},
         ("twice", "signatures")),
    ],
)  # fmt: skip
def test_every_fault_is_named_by_its_field(change, found):
    assert codes(replace(PLAIN, **change)) == [found]


def test_a_signature_is_found_by_its_own_name_alone():
    style = HouseStyle(signatures=(Signature("J. Tarn", "Service manager", SCRAWL),))
    assert style.signature_of("j. tarn") is style.signatures[0]
    assert style.signature_of("J. Tarn, service manager") is style.signatures[0]
    assert style.signature_of("J. Tarnbeck") is None
    assert style.signature_of("") is None
    assert style.signed_by("Somebody Else").signatures == ()
    assert style.signed_by("J. Tarn").signatures == style.signatures


def test_every_field_counts_in_the_identity():
    style = HouseStyle(logo=SCRAWL)
    changes = (
        {"phone": "1"}, {"email": "a@b"}, {"web": "w"}, {"registration": ("r",)},
        {"footer": ("f",)}, {"rule_colour": "#000000"}, {"head_colour": "#000000"},
        {"paper": "A4"}, {"terms": "t"}, {"logo": None},
        {"logo": replace(SCRAWL, data=b"other")}, {"signatures": (Signature("A", "", SCRAWL),)},
    )  # fmt: skip
    ids = {style.id, *(replace(style, **change).id for change in changes)}
    assert len(ids) == len(changes) + 1
    named = {name for change in changes for name in change}
    assert named == set(style_data(style))
