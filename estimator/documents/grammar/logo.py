"""The workshop's own drawings on paper: a logo as vectors where it came as SVG, else its pixels."""

from __future__ import annotations

from functools import lru_cache
from io import BytesIO
from typing import Any

from reportlab.lib.utils import ImageReader

from estimator.documents.grammar.fonts import REGULAR
from estimator.domain.house_style import SVG, Drawing


def fitted_size(drawing: Drawing, width: float, height: float) -> tuple[float, float]:
    """Width and height of a drawing as large as a box lets it be, never stretched."""
    scale = min(width / drawing.width, height / drawing.height)
    return drawing.width * scale, drawing.height * scale


def draw(canvas: Any, drawing: Drawing, x: float, y: float, size: tuple[float, float]) -> None:
    """Draw with its lower left corner at (x, y), filling `size`."""
    width, height = size
    if drawing.kind != SVG:
        canvas.drawImage(_pixels(drawing.data), x, y, width=width, height=height, mask="auto")
        return
    from reportlab.graphics import renderPDF

    shapes = _shapes(drawing.data)
    canvas.saveState()
    canvas.translate(x, y)
    canvas.scale(width / shapes.width, height / shapes.height)
    box = canvas.beginPath()
    box.rect(0, 0, shapes.width, shapes.height)
    canvas.clipPath(box, stroke=0, fill=0)
    renderPDF.draw(shapes, canvas, 0, 0)
    canvas.restoreState()


@lru_cache(maxsize=16)
def _pixels(data: bytes) -> ImageReader:
    return ImageReader(BytesIO(data))


@lru_cache(maxsize=16)
def _shapes(data: bytes) -> Any:
    """An SVG that was looked through on its way in, as shapes of the print engine."""
    from svglib.svglib import svg2rlg

    shapes: Any = svg2rlg(BytesIO(data))
    shapes.initialFontName = REGULAR  # else the file names a face that it does not hold
    return shapes
