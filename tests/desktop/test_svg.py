"""Charts for elsewhere: drawings of lines and text, with a picture beside them."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from typing import Any
from xml.etree import ElementTree

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from estimator.desktop.drawing.bars import Share
from estimator.desktop.drawing.curve import paint_curve
from estimator.desktop.drawing.curve_scale import Before
from estimator.desktop.drawing.share_rows import (
    ROW_HEIGHT,
    Contribution,
    figures_width,
    paint_share_row,
)
from estimator.desktop.drawing.svg import SVG_TYPE, Chart, clipboard_of, picture_of, svg_of
from estimator.desktop.theme import Theme, apply_theme, load_theme
from tests.desktop.gallery import curve_data

SVG = "{http://www.w3.org/2000/svg}"


def curve_chart(said: str = "80 %: \u00a334,328") -> Chart:
    data = curve_data()
    earlier = tuple((amount + 400_000, chance) for amount, chance in data.points)
    data = replace(data, before=Before(earlier, lambda _at: "before \u00a3322,376"))

    def paint(painter: QPainter, rect: QRectF, theme: Theme) -> None:
        paint_curve(painter, rect, data, theme)

    return Chart("Final cost <to> & the customer", "in our judgement", said, 760, 320, paint)


def shares_chart() -> Chart:
    rows = [Contribution(n, f"Group {n}", f"{n},181", Share(n, 2 * n, 9)) for n in range(1, 5)]

    def paint(painter: QPainter, rect: QRectF, theme: Theme) -> None:
        for place, row in enumerate(rows):
            box = QRectF(rect.left(), rect.top() + place * ROW_HEIGHT, rect.width(), ROW_HEIGHT)
            paint_share_row(painter, box, row, theme, figures_width(rows, theme))

    return Chart("Shares", "of \u00a334,328", "", 480, len(rows) * ROW_HEIGHT, paint)


def texts_of(root: ElementTree.Element) -> list[str]:
    return ["".join(one.itertext()).strip() for one in root.iter(f"{SVG}text")]


@pytest.mark.parametrize("make", [curve_chart, shares_chart])
def test_a_chart_is_drawn_without_a_single_pixel(qapp: Any, make: Any) -> None:
    chart = make()
    root = ElementTree.fromstring(svg_of(chart))
    assert root.get("viewBox") == f"0 0 {chart.size.width()} {chart.size.height()}"
    kinds = {one.tag.removeprefix(SVG) for one in root.iter()}
    assert not kinds & {"image", "pattern"}, "dots are lines with round dashes"
    dotted = [one for one in root.iter() if (one.get("stroke-dasharray") or "").startswith("0.0")]
    assert dotted, "what may be found stays dotted"
    text = next(root.iter(f"{SVG}text"))
    assert text.get("font-family", "").startswith("Source Sans")


def test_figures_stand_in_the_drawing_as_text(qapp: Any) -> None:
    root = ElementTree.fromstring(svg_of(curve_chart()))
    said = texts_of(root)
    assert said[:2] == ["Final cost <to> & the customer", "in our judgement"]
    assert any(one.startswith("P80") for one in said)
    assert "before \u00a3322,376" in said
    assert root.findtext(f"{SVG}desc") == "80 %: \u00a334,328"
    assert texts_of(ElementTree.fromstring(svg_of(shares_chart())))[2:4] == [
        "Group 1",
        "1,181",
    ]


def test_a_chart_goes_on_paper_whatever_the_window_wears(qapp: Any) -> None:
    light = svg_of(shares_chart()), picture_of(shares_chart())
    apply_theme(qapp, load_theme("dark"))
    try:
        assert (svg_of(shares_chart()), picture_of(shares_chart())) == light
    finally:
        apply_theme(qapp, load_theme("light"))
    data = clipboard_of(shares_chart())
    assert bytes(data.data(SVG_TYPE).data()) == light[0]
    assert data.hasImage()
    assert light[1].width() == 2 * shares_chart().size.width()


def test_what_draws_them_is_loaded_only_when_asked_for() -> None:
    """A window that starts has no use for it."""
    program = (
        "import sys, estimator.app, estimator.desktop.screens.exposure.page\n"
        "print('PySide6.QtSvg' in sys.modules)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "False"
