"""A house style with everything in it, invented."""

from __future__ import annotations

import io

from PIL import Image, ImageDraw

from estimator.domain.house_style import Drawing, HouseStyle, Signature
from estimator.intake.drawings import read_drawing

LOGO = (
    b"<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 240 80'>"
    b"<path d='M10 70 L50 10 L90 70 Z' fill='#7A1F2B'/><circle cx='50' cy='52' r='12' fill='#fff'/>"
    b"<g transform='translate(100 0)' opacity='0.9'><rect y='20' width='130' height='14' rx='4'/>"
    b"<rect y='44' width='90' height='14' rx='4'/></g></svg>"
)


def scrawl() -> Drawing:
    """A signature, clear where nothing is written."""
    picture = Image.new("RGBA", (400, 120), (0, 0, 0, 0))
    points = [(10, 90), (80, 20), (120, 100), (180, 30), (240, 90), (390, 60)]
    ImageDraw.Draw(picture).line(points, fill=(20, 30, 120, 255), width=6)
    out = io.BytesIO()
    picture.save(out, "PNG")
    return read_drawing(out.getvalue())


def full_style(**changes: object) -> HouseStyle:
    """Every field filled."""
    values: dict[str, object] = {
        "phone": "+44 1632 960123", "email": "office@tarnbeck.example",
        "web": "www.tarnbeck.example",
        "registration": ("Registered in England 00000000", "VAT GB 000 0000 00"),
        "footer": ("Registered office: 1 Forge Lane, Tarnbeck.", "Work is done to these terms."),
        "rule_colour": "#7A1F2B", "head_colour": "#5B1720",
        "terms": "Our own terms come last.\n\nThey are the same for every customer.",
        "logo": read_drawing(LOGO),
        "signatures": (Signature("J. Tarn", "service manager", scrawl()),),
    }  # fmt: skip
    return HouseStyle(**(values | changes))  # type: ignore[arg-type]
