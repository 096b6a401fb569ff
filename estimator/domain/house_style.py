"""A workshop's own look on paper: logo, colours, lines in head and foot, signatures, paper, terms.

It dresses a document and says nothing of its own about a job: whose quote it is, the job's own
workshop party says. Its colours are for rules and headings and never carry meaning.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import ROUND_FLOOR, Decimal
from typing import Any

from estimator.domain.problem import Place, Problem
from estimator.domain.wording import Put, worded

SVG, PNG = "svg", "png"
A4, LETTER, BY_LOCALE = "A4", "Letter", ""
PAPERS = (BY_LOCALE, A4, LETTER)
INK = "#16212B"  # what stands where a style names no colour
LEAST_TEXT, LEAST_DRAWN = Decimal("4.5"), Decimal(3)  # WCAG 2.2, success criteria 1.4.3 and 1.4.11
MOST_LINES, MOST_LINE = 3, 120
MOST_TERMS, MOST_NAME, MOST_SIGNATURES = 20_000, 80, 8
_COLOUR = re.compile(r"#[0-9A-Fa-f]{6}")
_E_MAIL = re.compile(r"[^@\s<>,;]+@[^@\s<>,;]+")


@dataclass(frozen=True, slots=True)
class Drawing:
    """A picture fit to be printed: SVG or PNG bytes that were looked through on their way in.

    Width and height tell its shape: pixels of a PNG, units of an SVG.
    """

    kind: str  # SVG or PNG
    data: bytes
    width: float
    height: float

    @property
    def sha256(self) -> str:
        """The picture's name in the record."""
        return hashlib.sha256(self.data).hexdigest()


@dataclass(frozen=True, slots=True)
class Signature:
    """Someone's signature as a picture. It is printed over their own line alone, and only on what
    is issued."""

    name: str
    capacity: str
    picture: Drawing


@dataclass(frozen=True, slots=True)
class HouseStyle:
    """How a workshop's paper looks. An empty one prints in ink, without logo or lines."""

    phone: str = ""
    email: str = ""
    web: str = ""
    registration: tuple[str, ...] = ()  # company and tax numbers, as local law asks for them
    footer: tuple[str, ...] = ()  # above the foot of every page
    rule_colour: str = INK  # like #16212B, of rules
    head_colour: str = INK  # of headings
    paper: str = BY_LOCALE  # one of PAPERS
    terms: str = ""  # the workshop's own closing terms; paragraphs parted by empty lines
    logo: Drawing | None = None
    signatures: tuple[Signature, ...] = ()

    @property
    def contact(self) -> tuple[str, ...]:
        """What stands under the workshop's name: how to reach it, then its registrations."""
        reach = "   \u00b7   ".join(filter(None, (self.phone, self.email, self.web)))
        return tuple(filter(None, (reach, *self.registration)))

    @property
    def id(self) -> str:
        """SHA-256 of all that it prints, in hexadecimal: what is issued names its style by it."""
        content = json.dumps(style_data(self), ensure_ascii=False, sort_keys=True)
        return hashlib.sha256(content.encode()).hexdigest()

    def signature_of(self, name: str) -> Signature | None:
        """The signature of someone by their name, which may have their capacity behind a comma;
        None where there is none."""
        known = (_plain(name), _plain(name.partition(",")[0]))
        return next((one for one in self.signatures if _plain(one.name) in known), None)

    def signed_by(self, name: str) -> HouseStyle:
        """The style with nobody's signature but theirs."""
        own = self.signature_of(name)
        return replace(self, signatures=() if own is None else (own,))


PLAIN = HouseStyle()


def style_data(style: HouseStyle) -> dict[str, Any]:
    """A style as plain data, pictures by their SHA-256."""
    return {
        "phone": style.phone, "email": style.email, "web": style.web,
        "registration": list(style.registration), "footer": list(style.footer),
        "rule_colour": style.rule_colour, "head_colour": style.head_colour, "paper": style.paper,
        "terms": style.terms, "logo": style.logo.sha256 if style.logo else "",
        "signatures": [
            {"name": one.name, "capacity": one.capacity, "picture": one.picture.sha256}
            for one in style.signatures
        ],
    }  # fmt: skip


def luminance(colour: str) -> Decimal:
    """Relative luminance of a colour such as #16212B, 0 to 1. Source: WCAG 2.2, definition of
    relative luminance (sRGB channels made linear; weights 0.2126, 0.7152, 0.0722)."""
    channels = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    linear = (one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4  # noqa: PLR2004
              for one in channels)  # fmt: skip
    weights = (0.2126, 0.7152, 0.0722)
    return Decimal(repr(sum(part * one for part, one in zip(weights, linear, strict=True))))


def contrast_on_white(colour: str) -> Decimal:
    """Contrast of a colour against white paper, 1 to 21, to a hundredth, rounded down: nothing
    passes by rounding. Source: WCAG 2.2, definition of contrast ratio: (L1 + 0.05) / (L2 + 0.05).
    """
    ratio = Decimal("1.05") / (luminance(colour) + Decimal("0.05"))
    return ratio.quantize(Decimal("0.01"), ROUND_FLOOR)


def is_colour(text: str) -> bool:
    """Whether a text is a colour such as #16212B."""
    return _COLOUR.fullmatch(text) is not None


def check_style(style: HouseStyle) -> list[Problem]:
    """Every fault of a style, each named by its field; none in one that can be printed."""
    found = [
        *_colour_faults("rule_colour", style.rule_colour, LEAST_DRAWN),
        *_colour_faults("head_colour", style.head_colour, LEAST_TEXT),
        *_line_faults("phone", [style.phone]),
        *_line_faults("email", [style.email]),
        *_line_faults("web", [style.web]),
        *_lines_faults("registration", style.registration),
        *_lines_faults("footer", style.footer),
        *_signature_faults(style.signatures),
    ]
    if style.email and not _E_MAIL.fullmatch(style.email):
        found.append(_fault(
            "no-address", "email", worded("{text} is no e-mail address.", text=style.email),
            worded("Write one such as office@example.com."),
        ))  # fmt: skip
    if style.paper not in PAPERS:
        found.append(_fault(
            "no-paper", "paper", worded("{text} is no paper size.", text=style.paper),
            worded("Write A4 or Letter, or nothing: then the language decides."),
        ))  # fmt: skip
    if len(style.terms) > MOST_TERMS:
        found.append(_fault(
            "too-long", "terms",
            worded("The closing terms have {count} characters; {most} are taken.",
                   count=len(style.terms), most=MOST_TERMS),
            worded("Shorten them, or send them as a paper of their own."),
        ))  # fmt: skip
    return found


def _fault(code: str, field: str, message: str, remedy: str) -> Problem:
    return Problem(code, Place(column=field), message, remedy)


def _colour_faults(field: str, colour: str, least: Decimal) -> list[Problem]:
    if not is_colour(colour):
        return [_fault("no-colour", field, worded("{text} is no colour.", text=colour),
                       worded("Write one such as #16212B."))]  # fmt: skip
    ratio = contrast_on_white(colour)
    if ratio >= least:
        return []
    values: dict[str, Put] = {"colour": colour, "ratio": ratio, "least": least}
    message = (
        worded("{colour} on white paper has a contrast of {ratio} to 1; text needs {least} to 1.",
               **values)
        if least == LEAST_TEXT
        else worded("{colour} on white paper has a contrast of {ratio} to 1; rules need {least} "
                    "to 1.", **values)
    )  # fmt: skip
    return [_fault("pale-colour", field, message, worded("Choose a darker colour."))]


def _lines_faults(field: str, lines: tuple[str, ...]) -> list[Problem]:
    found = _line_faults(field, lines)
    if len(lines) > MOST_LINES:
        found.append(_fault(
            "too-many", field,
            worded("There are {count} lines; {most} are taken.", count=len(lines), most=MOST_LINES),
            worded("Join some."),
        ))  # fmt: skip
    return found


def _line_faults(field: str, lines: Iterable[str]) -> list[Problem]:
    return [
        _fault("too-long", field,
               worded("A line has {count} characters; {most} are taken.",
                      count=len(line), most=MOST_LINE),
               worded("Shorten it."))
        for line in lines
        if len(line) > MOST_LINE
    ]  # fmt: skip


def _signature_faults(signatures: tuple[Signature, ...]) -> list[Problem]:
    found: list[tuple[str, str, str]] = []
    names = [_plain(one.name) for one in signatures]
    if "" in names:
        found.append(("no-name", worded("A signature has no name."),
                      worded("Write whose it is: it is printed over their line."),
                      ))  # fmt: skip
    if len(set(names)) < len(names):
        found.append(("twice", worded("Somebody has two signatures."),
                      worded("Take one of them out.")))  # fmt: skip
    if len(names) > MOST_SIGNATURES:
        found.append(("too-many", worded("There are {count} signatures; {most} are taken.",
                                         count=len(names), most=MOST_SIGNATURES),
                      worded("Take some out.")))  # fmt: skip
    if any(max(len(one.name), len(one.capacity)) > MOST_NAME for one in signatures):
        found.append(("too-long", worded("A name or capacity is longer than {most} characters.",
                                         most=MOST_NAME),
                      worded("Shorten it.")))  # fmt: skip
    return [_fault(code, "signatures", message, remedy) for code, message, remedy in found]


def _plain(name: str) -> str:
    return " ".join(name.split()).casefold()
