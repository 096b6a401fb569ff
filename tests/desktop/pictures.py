"""Pictures of every page, in both themes, kept beside this file in `pictures/`.

`test_pictures.py` compares what is drawn now with what is kept. Where a page was changed on
purpose, the pictures are made anew, all or those whose names contain a word, and looked at before
they are kept:

    python -m tests.desktop.pictures [WORD ...]

Text is rastered a little differently from system to system, so that pictures are not compared dot
by dot: both are made four times smaller first, and may then differ a little everywhere and much
almost nowhere.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent / "pictures"
SIZE = (1280, 800)
THEMES = ("light", "dark")
SHADES = (96, 64, 48, 40, 32, 24, 16, 14, 12)  # colours of a kept picture, the most first
LARGEST = 60_000  # bytes of a kept picture
SMALLER = 4
MOST_MEAN = 1.5  # of 255, in each channel; drawn again, the same is 0.3 off
FAR, MOST_FAR = 24, 0.003  # of 255; share of the small dots that may be so far off
MAKE = "SHIMWRIGHT_MAKE_PICTURES"  # words of the pictures that are to be made anew, or "-" for all


# Comparing


@dataclass(frozen=True)
class Distance:
    """How far two pictures are from each other."""

    mean: float  # of 255, of the channel that differs most
    far: float  # share of the small dots that are far off in some channel

    @property
    def near(self) -> bool:
        """Whether they show the same."""
        return self.mean < MOST_MEAN and self.far <= MOST_FAR


def distance(one: bytes, two: bytes) -> Distance:
    """Compare two pictures given as PNG; of another size, they are as far as can be."""
    import numpy as np
    from PIL import Image

    first, second = (Image.open(BytesIO(data)).convert("RGB") for data in (one, two))
    if first.size != second.size:
        return Distance(255.0, 1.0)
    a, b = (np.asarray(image.reduce(SMALLER), dtype=np.int16) for image in (first, second))
    apart = np.abs(a - b)
    return Distance(float(apart.mean(axis=(0, 1)).max()), float((apart.max(axis=2) > FAR).mean()))


# Making


def grabbed(widget: Any) -> bytes:
    """What a widget looks like, as PNG."""
    from PySide6.QtCore import QBuffer, QIODevice

    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    widget.grab().save(buffer, "PNG")
    return bytes(buffer.data().data())


def slim(picture: bytes) -> bytes:
    """The same picture as it is kept: in as many colours as leave it small."""
    import numpy as np
    from PIL import Image

    dots = np.asarray(Image.open(BytesIO(picture)).convert("RGB"), dtype=np.int64)
    packed = dots[..., 0] << 16 | dots[..., 1] << 8 | dots[..., 2]
    found, place, counts = np.unique(packed, return_inverse=True, return_counts=True)
    colours = np.stack((found >> 16, found >> 8 & 255, found & 255), axis=1)
    chosen = _chosen(colours, counts, SHADES[0])
    for shades in SHADES:
        few = colours[chosen[:shades]]
        nearest = ((colours[:, None] - few[None]) ** 2).sum(axis=2).argmin(axis=1)
        image = Image.fromarray(nearest[place].reshape(packed.shape).astype(np.uint8), "P")
        image.putpalette([int(part) for colour in few for part in colour])
        out = BytesIO()
        image.save(out, "PNG", optimize=True)
        if len(out.getvalue()) < LARGEST:
            return out.getvalue()
    raise ValueError("there is too much in this picture for it to be kept small")


def _chosen(colours: Any, counts: Any, shades: int) -> list[int]:
    """Places of the colours to keep: the one there is most of, then again and again the one that
    those before do worst for, where a colour counts the more, the more dots have it."""
    import numpy as np

    chosen = [int(np.argmax(counts))]
    off = ((colours - colours[chosen[0]]) ** 2).sum(axis=1)
    for _shade in range(min(shades, len(colours)) - 1):
        chosen.append(int(np.argmax(np.sqrt(counts) * off)))
        off = np.minimum(off, ((colours - colours[chosen[-1]]) ** 2).sum(axis=1))
    return chosen


@contextmanager
def dressed(theme: str) -> Iterator[None]:
    """The theme, with carets that do not blink, for as long as pictures are taken."""
    from PySide6.QtWidgets import QApplication

    from estimator.desktop.theme import apply_theme, load_theme

    application = QApplication.instance()
    assert isinstance(application, QApplication)
    blinking = application.cursorFlashTime()
    application.setCursorFlashTime(0)
    apply_theme(application, load_theme(theme))
    try:
        yield
    finally:
        apply_theme(application, load_theme("light"))
        application.setCursorFlashTime(blinking)


def stored(name: str, theme: str) -> Path:
    """Where a picture is kept."""
    return FOLDER / f"{name}-{theme}.png"


def main(words: Sequence[str]) -> int:
    """Make pictures anew, by way of the tests, which build the window."""
    import pytest

    os.environ[MAKE] = " ".join(words) or "-"
    here = Path(__file__).with_name("test_pictures.py")
    return int(pytest.main(["-q", str(here), "-k", "test_it_looks"]))


def made_anew(name: str) -> bool:
    """Whether this picture is to be made, and not compared."""
    wanted = os.environ.get(MAKE, "").split()
    return wanted == ["-"] or any(word in name for word in wanted)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
