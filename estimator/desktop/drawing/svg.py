"""Charts for elsewhere: a drawing of lines and text (SVG), and a picture beside it.

They go on paper, so that they are drawn in the light look whatever the window wears. QtSvg is
loaded when the first chart is asked for.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QBuffer, QIODevice, QMimeData, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QImage, QPainter

from estimator.desktop.drawing.words import draw_words, fitted
from estimator.desktop.theme import Theme, load_theme

SVG_TYPE = "image/svg+xml"
DOTS_PER_INCH = 96  # of a logical pixel, as style sheets count it
SHARPNESS = 2  # device pixels of a picture to a logical one
_PAD = 16
_TITLE, _NOTE = 24, 20


@dataclass(frozen=True)
class Chart:
    """A chart by itself: title and note above it, and what paints it into a rectangle.

    `width` and `height` are those of the chart below its title, in logical pixels. `said` puts
    what the chart shows into words, for whoever cannot see it.
    """

    title: str
    note: str
    said: str
    width: int
    height: int
    paint: Callable[[QPainter, QRectF, Theme], None]

    @property
    def size(self) -> QSize:
        """Logical pixels of all of it."""
        return QSize(self.width + 2 * _PAD, self.height + _TITLE + _NOTE + 2 * _PAD)


def svg_of(chart: Chart) -> bytes:
    """The chart as SVG 1.1: text as text in the bundled face, patterns as lines, no pixels."""
    from PySide6.QtSvg import QSvgGenerator

    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    generator = QSvgGenerator(QSvgGenerator.SvgVersion.Svg11)
    generator.setOutputDevice(buffer)
    generator.setResolution(DOTS_PER_INCH)
    generator.setSize(chart.size)
    generator.setViewBox(QRect(0, 0, chart.size.width(), chart.size.height()))
    generator.setTitle(chart.title)
    generator.setDescription(chart.said)
    painter = QPainter(generator)
    _paint(painter, chart)
    painter.end()
    return bytes(buffer.data().data())


def picture_of(chart: Chart) -> QImage:
    """The chart as a picture, for programs that take no drawings."""
    image = QImage(chart.size * SHARPNESS, QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(SHARPNESS)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
    _paint(painter, chart)
    painter.end()
    return image


def clipboard_of(chart: Chart) -> QMimeData:
    """The chart as both, for the clipboard: whoever pastes takes what it can."""
    data = QMimeData()
    data.setImageData(picture_of(chart))
    data.setData(SVG_TYPE, svg_of(chart))
    return data


def _paint(painter: QPainter, chart: Chart) -> None:
    theme = load_theme("light")
    sizes, colours = theme.sizes, theme.colours
    painter.fillRect(QRect(0, 0, chart.size.width(), chart.size.height()), colours.surface)
    title = QRectF(_PAD, _PAD, chart.width, _TITLE)
    note = QRectF(_PAD, title.bottom(), chart.width, _NOTE)
    draw_words(painter, title, chart.title, theme.font(sizes.section, 600), colours.ink)
    font = theme.font(sizes.second)
    draw_words(painter, note, fitted(chart.note, font, chart.width), font, colours.ink2)
    chart.paint(painter, QRectF(_PAD, note.bottom(), chart.width, chart.height), theme)
