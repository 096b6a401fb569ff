"""Photographs in: whatever was dropped or pasted becomes a JPEG of a known size, or is refused.

What a camera writes beside the picture (place, owner, device) is not kept; the day it was taken is.
"""

from __future__ import annotations

import datetime
import hashlib
import io
from dataclasses import dataclass
from typing import Any

MOST_BYTES = 60 * 1024 * 1024
MOST_PIXELS = 200_000_000
LONG_SIDE, THUMBNAIL_SIDE = 2560, 256
QUALITY, THUMBNAIL_QUALITY = 88, 80
FORMATS = ("JPEG", "PNG", "GIF", "WEBP", "TIFF", "BMP")  # those that are read without helpers
_TAKEN = (0x9003, 0x0132)  # Exif: DateTimeOriginal, DateTime
_EXIF_PART = 0x8769


class NoPhotograph(ValueError):
    """What was handed in is no photograph that can be kept; says why, for people."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A photograph fit to be kept: JPEG bytes without anything the camera added."""

    image: bytes
    thumbnail: bytes
    width: int
    height: int
    taken_on: datetime.date | None
    sha256: str  # of `image`


def read_photograph(data: bytes) -> Picture:
    """The picture in `data`, turned as the camera was held, at most LONG_SIDE pixels long.

    Raises NoPhotograph. The size is known before anything is decoded.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError

    if not data:
        raise NoPhotograph("it is empty")
    if len(data) > MOST_BYTES:
        raise NoPhotograph(
            f"it has {len(data) / 1024**2:.0f} MB; {MOST_BYTES // 1024**2} MB are taken"
        )
    Image.MAX_IMAGE_PIXELS = MOST_PIXELS
    try:
        with Image.open(io.BytesIO(data), formats=FORMATS) as found:
            _check_size(*found.size)
            taken = _taken_on(found)
            found.draft("RGB", (LONG_SIDE, LONG_SIDE))  # a JPEG is decoded at a fraction
            found.load()
            picture = _plain(ImageOps.exif_transpose(found))
    except NoPhotograph:
        raise
    except MemoryError:
        raise NoPhotograph("it is too large for the memory there is") from None
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise NoPhotograph(_too_large("too many")) from None
    except UnidentifiedImageError:
        raise NoPhotograph("it is no image of a kind that can be read") from None
    except Exception as error:  # a damaged file meets many faults in a decoder
        raise NoPhotograph("it is damaged, or not all of it is there") from error
    return _kept(picture, taken)


def _check_size(width: int, height: int) -> None:
    if width * height > MOST_PIXELS:
        raise NoPhotograph(_too_large(f"{width} x {height}"))


def _too_large(size: str) -> str:
    return f"it has {size} pixels; {MOST_PIXELS // 1_000_000} million are taken"


def _plain(picture: Any) -> Any:
    """In plain colours, transparent parts white, without metadata."""
    from PIL import Image

    if picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info:
        layer = picture.convert("RGBA")
        ground = Image.new("RGB", layer.size, "white")
        ground.paste(layer, mask=layer.getchannel("A"))
        return ground
    if picture.mode.startswith(("I", "F")):  # 16 bits a pixel: scaled, not cut off
        low, high = picture.getextrema()
        span = (high - low) or 1
        picture = picture.convert("F").point(lambda value: (value - low) * 255 / span + 0)
    return picture.convert("RGB")


def _kept(picture: Any, taken: datetime.date | None) -> Picture:
    picture.thumbnail((LONG_SIDE, LONG_SIDE))
    image = _jpeg(picture, QUALITY)
    width, height = picture.size
    picture.thumbnail((THUMBNAIL_SIDE, THUMBNAIL_SIDE))
    thumbnail = _jpeg(picture, THUMBNAIL_QUALITY)
    return Picture(image, thumbnail, width, height, taken, hashlib.sha256(image).hexdigest())


def _jpeg(picture: Any, quality: int) -> bytes:
    out = io.BytesIO()
    picture.info.clear()
    picture.save(out, "JPEG", quality=quality, optimize=True)
    return out.getvalue()


def _taken_on(picture: Any) -> datetime.date | None:
    """The day in the picture's Exif data ("2026:11:24 09:30:00"); None where it is none."""
    try:
        exif = picture.getexif()
        for said in (exif.get_ifd(_EXIF_PART).get(_TAKEN[0]), exif.get(_TAKEN[1])):
            if said:
                return datetime.date.fromisoformat(str(said)[:10].replace(":", "-"))
    except Exception:  # metadata is the least trusted part of a file
        return None
    return None
