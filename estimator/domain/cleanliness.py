"""ISO 4406:1999 cleanliness codes of a fluid.

Table of upper limits (particles per millilitre) as reproduced in a filter supplier's catalogue;
the value above code 28 is not given there. Sizes are >= 4, >= 6 and >= 14 um(c). The limits are
no exact powers of two, so the table is used, never a formula.
"""

from __future__ import annotations

import re
from decimal import Decimal

_LIMITS = (
    "0.01 0.02 0.04 0.08 0.16 0.32 0.64 1.3 2.5 5 10 20 40 80 160 320 640 1300 2500 5000 "
    "10000 20000 40000 80000 160000 320000 640000 1300000 2500000"
)
UPPER_LIMITS: tuple[Decimal, ...] = tuple(map(Decimal, _LIMITS.split()))
"""Particles per mL up to and including which code 0, 1, 2 ... 28 holds."""

_CODE = re.compile(r"(\d{1,2})/(\d{1,2})/(\d{1,2})\Z")


class CleanlinessError(ValueError):
    """A count or code that ISO 4406 does not know."""


def scale_number(particles_per_ml: Decimal) -> int:
    """ISO 4406 scale number of a count: more than the limit before, up to and including its own.

    Raises CleanlinessError on a negative count or one above the table.
    """
    if particles_per_ml < 0:
        raise CleanlinessError(f"a particle count cannot be {particles_per_ml}")
    for number, limit in enumerate(UPPER_LIMITS):
        if particles_per_ml <= limit:
            return number
    raise CleanlinessError(f"{particles_per_ml} particles per mL is above the table (code 28)")


def code_of(at_4: Decimal, at_6: Decimal, at_14: Decimal) -> str:
    """Three-part code from counts per mL of particles >= 4, >= 6 and >= 14 um(c).

    Raises CleanlinessError where a coarser count exceeds a finer one.
    """
    if not at_4 >= at_6 >= at_14:
        raise CleanlinessError("counts must fall from 4 to 6 to 14 um: they are cumulative")
    return "/".join(str(scale_number(count)) for count in (at_4, at_6, at_14))


def parsed(code: str) -> tuple[int, int, int]:
    """The three scale numbers of a code such as 18/16/13. Raises CleanlinessError."""
    found = _CODE.match(code.strip())
    if not found:
        raise CleanlinessError(f"{code!r} is no code like 18/16/13")
    numbers = (int(found[1]), int(found[2]), int(found[3]))
    if not numbers[0] >= numbers[1] >= numbers[2]:
        raise CleanlinessError(f"{code}: the numbers must not rise from left to right")
    if numbers[0] >= len(UPPER_LIMITS):
        raise CleanlinessError(f"{code}: the table ends at 28")
    return numbers


def codes_over(code: str, target: str) -> int:
    """By how many codes the worst of the three exceeds its target; negative where all are under."""
    return max(found - wanted for found, wanted in zip(parsed(code), parsed(target), strict=True))
