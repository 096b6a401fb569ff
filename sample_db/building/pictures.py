"""Photographs of the sample workshop, drawn: no camera, no machine, the same each time.

Each motif is a plain scene on a canvas of twice the size, then light falls off to the corners, a
grain is laid over it, and a strip with the caption is set under it.
"""

from __future__ import annotations

import datetime
import io
from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import Any

from PIL import Image, ImageDraw, ImageFilter, ImageFont

from . import motifs

WIDTH, HEIGHT, STRIP, MARGIN = 800, 600, 40, 30
QUALITY = 85
EXIF_TAKEN = 0x0132

MOTIFS: dict[str, Callable[[Any, Random], None]] = {
    "bore": motifs.bore,
    "dial gauge": motifs.dial_gauge,
    "crack": motifs.crack,
    "oil sample": motifs.oil_sample,
    "chain": motifs.chain,
    "cab": motifs.cab,
    "rod": motifs.rod,
}


def photograph(motif: str, caption: str, taken: datetime.datetime, seed: str, fonts: Path) -> bytes:
    """A photograph as JPEG with the time it was taken. Raises KeyError for an unknown motif."""
    random = Random(f"photograph/{seed}")
    canvas = Image.new("RGB", (2 * WIDTH, 2 * HEIGHT), (90, 92, 94))
    MOTIFS[motif](canvas, random)
    tilt = random.uniform(-2.5, 2.5)
    scene = canvas.reduce(2).rotate(tilt, Image.Resampling.BILINEAR)
    scene = scene.crop((MARGIN, MARGIN, WIDTH - MARGIN, HEIGHT - MARGIN)).resize((WIDTH, HEIGHT))
    scene = _grain(_light(scene, random), random)
    out = Image.new("RGB", (WIDTH, HEIGHT + STRIP), (24, 26, 28))
    out.paste(scene, (0, 0))
    _strip(ImageDraw.Draw(out), caption, taken, fonts)
    return _jpeg(out, taken)


def _light(scene: Any, random: Random) -> Any:
    """Brighter where the lamp is held, darker towards the corners."""
    small = Image.new("L", (40, 30), 70)
    x, y = random.uniform(14, 26), random.uniform(9, 17)
    draw = ImageDraw.Draw(small)
    for step in range(12):
        reach = 26 - 2 * step
        draw.ellipse((x - reach, y - reach, x + reach, y + reach), fill=88 + 14 * step)
    mask = small.filter(ImageFilter.GaussianBlur(2)).resize(scene.size, Image.Resampling.BICUBIC)
    dark = scene.point(lambda value: int(value * 0.5))
    return Image.composite(scene, dark, mask)


def _grain(scene: Any, random: Random) -> Any:
    """The grain of a small sensor in a dim shed."""
    width, height = scene.size[0] // 2, scene.size[1] // 2
    noise = Image.frombytes("L", (width, height), random.randbytes(width * height))
    noise = noise.resize(scene.size, Image.Resampling.BILINEAR).convert("RGB")
    return Image.blend(scene, noise, 0.07)


def _strip(draw: Any, caption: str, taken: datetime.datetime, fonts: Path) -> None:
    font = ImageFont.truetype(fonts / "SourceSansPro-Regular.ttf", 21)
    day = taken.strftime("%Y-%m-%d %H:%M")
    room = WIDTH - 44 - draw.textlength(day, font=font)
    while draw.textlength(caption, font=font) > room:
        caption = caption[:-2].rstrip() + "\u2026"
    draw.text((14, HEIGHT + 6), caption, font=font, fill=(236, 236, 230))
    draw.text((WIDTH - 14, HEIGHT + 6), day, font=font, fill=(170, 172, 170), anchor="ra")


def _jpeg(picture: Any, taken: datetime.datetime) -> bytes:
    exif = Image.Exif()
    exif[EXIF_TAKEN] = taken.strftime("%Y:%m:%d %H:%M:%S")
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=QUALITY, exif=exif)
    return out.getvalue()
