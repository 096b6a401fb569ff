"""Logos and signatures in: an SVG is looked through and written anew, a PNG likewise, or refused.

Of an SVG only shapes come in. What could reach outside, run, or be drawn otherwise than it was
meant is refused in words; what a drawing program notes for itself is left behind.
"""

from __future__ import annotations

import io

from estimator.domain.house_style import PNG, Drawing
from estimator.domain.wording import worded
from estimator.intake.svg_shapes import NotDrawn, read_svg

MOST_BYTES = 4 * 1024 * 1024
MOST_PIXELS = 25_000_000
LEAST_SIDE, LONG_SIDE = 8, 2000  # pixels; a longer one is made smaller: 2000 are 300 to the inch
MOST_LONG = 20  # times as wide as high, or as high as wide
_MEBIBYTE = 1024**2
_PNG_BEGINS = b"\x89PNG\r\n\x1a\n"


class NoDrawing(ValueError):
    """What was handed in is no logo or signature that can be kept; says why, for people."""


def read_drawing(data: bytes) -> Drawing:
    """The picture in `data`, fit to be kept and printed. Raises NoDrawing."""
    if not data:
        raise NoDrawing(worded("it is empty"))
    if len(data) > MOST_BYTES:
        raise NoDrawing(worded("it has {size} MB; {most} MB are taken",
                               size=f"{len(data) / _MEBIBYTE:.0f}",
                               most=MOST_BYTES // _MEBIBYTE))  # fmt: skip
    if data.startswith(_PNG_BEGINS):
        found = _read_png(data)
    else:
        try:
            found = read_svg(data)
        except NotDrawn as error:
            raise NoDrawing(error.args[0]) from None
    shape = max(found.width, found.height) / min(found.width, found.height)
    if shape > MOST_LONG:
        raise NoDrawing(worded("it is more than {times} times as long as wide", times=MOST_LONG))
    return found


def _read_png(data: bytes) -> Drawing:
    from PIL import Image

    try:
        with Image.open(io.BytesIO(data), formats=("PNG",)) as found:
            width, height = found.size
            if width * height > MOST_PIXELS:
                raise NoDrawing(worded(
                    "it has {width} x {height} pixels; {most} million are taken",
                    width=width, height=height, most=MOST_PIXELS // 1_000_000,
                ))  # fmt: skip
            if min(width, height) < LEAST_SIDE:
                raise NoDrawing(worded("it has {width} x {height} pixels; that is too few to print",
                                       width=width, height=height))  # fmt: skip
            found.load()
            clear = found.mode in ("RGBA", "LA", "PA") or "transparency" in found.info
            picture = found.convert("RGBA" if clear else "RGB")
    except NoDrawing:
        raise
    except MemoryError:
        raise NoDrawing(worded("it is too large for the memory there is")) from None
    except Exception as error:  # a damaged file meets many faults in a decoder
        raise NoDrawing(worded("it is damaged, or not all of it is there")) from error
    picture.thumbnail((LONG_SIDE, LONG_SIDE))
    picture.info.clear()
    out = io.BytesIO()
    picture.save(out, "PNG", optimize=True)
    return Drawing(PNG, out.getvalue(), float(picture.width), float(picture.height))


def refused(what: str, why: str) -> str:
    """Why a drawing was refused, as a sentence about its file."""
    return worded("{file} cannot be printed: {why}.", file=what, why=why)
