"""What the drawing functions put on the pixels, in both themes and at two scales."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import fields
from decimal import Decimal
from math import floor

import pytest
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QImage, QPainter

from estimator.desktop.drawing import cell_painters as cells
from estimator.desktop.drawing.bars import (
    CertaintyParts,
    RangeValues,
    Share,
    paint_certainty,
    paint_range,
    paint_share,
    part_edges,
)
from estimator.desktop.drawing.curve_scale import amount_at, axis_step, chance_at
from estimator.desktop.drawing.gauge import Reading, paint_small_gauge
from estimator.desktop.drawing.marks import Mark, paint_mark, paint_small_path
from estimator.desktop.drawing.patterns import paint_exposed, paint_provisional
from estimator.desktop.drawing.words import fitted, words_width
from estimator.desktop.theme import Colours, Theme, ThemeName, load_theme, theme_name_for

NAMES: tuple[ThemeName, ...] = ("light", "dark")


@pytest.fixture(params=NAMES)
def theme(request: pytest.FixtureRequest) -> Theme:
    return load_theme(request.param)


def drawn(
    theme: Theme, width: int, height: int, paint: Callable[[QPainter], object], scale: float = 1
) -> QImage:
    image = QImage(round(width * scale), round(height * scale), QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(scale)
    image.fill(theme.colours.surface)
    painter = QPainter(image)
    paint(painter)
    painter.end()
    return image


def colours_in(image: QImage, left: int, top: int, right: int, bottom: int) -> Counter[str]:
    return Counter(
        image.pixelColor(x, y).name() for x in range(left, right) for y in range(top, bottom)
    )


def share_of_light(channel: float) -> float:
    return channel / 12.92 if channel <= 0.03928 else ((channel + 0.055) / 1.055) ** 2.4


def brightness(colour: QColor) -> float:
    red, green, blue = (
        share_of_light(part) for part in (colour.redF(), colour.greenF(), colour.blueF())
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: QColor, other: QColor) -> float:
    """WCAG 2.x, relative luminance with 0.05 of flare."""
    high, low = sorted((brightness(one), brightness(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_contrast_formula_gives_its_known_ends() -> None:
    black, white = QColor("#000000"), QColor("#FFFFFF")
    assert contrast(black, white) == pytest.approx(21)
    assert contrast(white, white) == pytest.approx(1)
    assert contrast(QColor("#767676"), white) == pytest.approx(4.54, abs=0.01)


TEXTS = (
    "ink",
    "ink2",
    "ink3",
    "firm_text",
    "prov_text",
    "exp_text",
    "done_text",
    "wait_text",
    "attn_text",
)
GROUNDS = ("surface", "sunken", "select", "hover", "raised")
PAIRS = [(text, ground) for text in TEXTS for ground in GROUNDS] + [
    ("onink", "ink"),
    ("onink2", "ink"),
    ("onink", "ink2"),
    ("onink", "ink3"),
    ("strip_text", "strip"),
    ("strip2", "strip"),
    ("search_text", "search"),
    ("surface", "exp_text"),
    ("surface", "ink2"),
    ("ink", "exp_fill"),
]


@pytest.mark.parametrize(("text", "ground"), PAIRS)
def test_words_stand_out_from_their_ground(theme: Theme, text: str, ground: str) -> None:
    colours = theme.colours
    assert contrast(getattr(colours, text), getattr(colours, ground)) >= 4.5


@pytest.mark.parametrize(
    "mark", ["firm", "prov_line", "exp_line", "done", "wait", "attn", "control", "focus"]
)
@pytest.mark.parametrize("ground", ["surface", "sunken", "select"])
def test_drawn_marks_stand_out_from_their_ground(theme: Theme, mark: str, ground: str) -> None:
    colours = theme.colours
    assert contrast(getattr(colours, mark), getattr(colours, ground)) >= 3.0


def test_every_colour_is_given_in_both_themes() -> None:
    for name in NAMES:
        colours = load_theme(name).colours
        assert all(getattr(colours, field.name).isValid() for field in fields(Colours))


def test_a_chosen_theme_is_kept_whatever_the_desktop_wears() -> None:
    assert theme_name_for("dark") == "dark"
    assert theme_name_for("light") == "light"
    assert theme_name_for("desktop") in NAMES


@pytest.mark.parametrize("scale", [1, 1.5])
def test_firm_is_plain_and_provisional_is_hatched(theme: Theme, scale: float) -> None:
    parts = CertaintyParts(50, 30, 20)
    image = drawn(
        theme, 200, 20, lambda p: paint_certainty(p, QRectF(0, 0, 200, 20), parts, theme), scale
    )
    wide = round(20 * scale)
    firm = colours_in(image, 0, 0, round(95 * scale), wide)
    assert set(firm) == {theme.colours.firm.name()}
    hatch = colours_in(image, round(105 * scale), 3, round(155 * scale), wide - 3)
    assert hatch[theme.colours.prov_fill.name()] > 0.1 * hatch.total()
    assert theme.colours.firm.name() not in hatch or theme.name == "light"
    inked = sum(count for name, count in hatch.items() if name != theme.colours.prov_fill.name())
    assert inked > 0.3 * hatch.total()
    dots = colours_in(image, round(165 * scale), 3, round(195 * scale), wide - 3)
    assert dots[theme.colours.exp_fill.name()] > 0.2 * dots.total()
    assert dots[theme.colours.exp_dot.name()] > 0.025 * dots.total()


def unlike(one: QColor, other: QColor) -> int:
    """The largest step between two colours in red, green or blue."""
    pairs = zip(one.getRgb(), other.getRgb(), strict=True)
    return max(abs(mine - yours) for mine, yours in pairs)


def test_hatching_slants_at_45_degrees_with_its_pitch(theme: Theme) -> None:
    for height, pitch in ((12, 5), (14, 7)):
        image = drawn(
            theme, 80, height, lambda p, h=height: paint_provisional(p, QRectF(0, 0, 80, h), theme)
        )
        for x in range(20, 60):
            for y in range(3, height - 4):
                here = image.pixelColor(x, y)
                assert here == image.pixelColor(x + pitch, y)
                assert unlike(here, image.pixelColor(x - 1, y + 1)) <= 4
        first = image.pixelColor(20, 5)
        assert max(unlike(first, image.pixelColor(x, 5)) for x in range(20, 20 + pitch)) > 60


def test_hatching_of_neighbours_lines_up(theme: Theme) -> None:
    def apart(painter: QPainter) -> None:
        paint_provisional(painter, QRectF(0, 0, 33, 20), theme)
        paint_provisional(painter, QRectF(34, 0, 46, 20), theme)

    whole = drawn(theme, 80, 20, lambda p: paint_provisional(p, QRectF(0, 0, 80, 20), theme))
    halves = drawn(theme, 80, 20, apart)
    for x in (*range(5, 30), *range(40, 75)):
        assert whole.pixelColor(x, 9) == halves.pixelColor(x, 9)


def test_dots_are_a_grid_of_4_by_3_with_every_second_row_moved(theme: Theme) -> None:
    image = drawn(theme, 60, 30, lambda p: paint_exposed(p, QRectF(0, 0, 60, 30), theme))
    dot = theme.colours.exp_dot.name()
    places = {
        (x, y) for x in range(4, 52) for y in range(4, 24) if image.pixelColor(x, y).name() == dot
    }
    assert places
    for x, y in places:
        assert (x + 4, y) in places or x + 4 >= 52
        assert (x + 2, y + 3) in places or x + 2 >= 52 or y + 3 >= 24
        assert (x, y + 3) not in places


@pytest.mark.parametrize("scale", [1, 1.25, 1.5, 2])
def test_edges_of_parts_lie_on_whole_pixels(theme: Theme, scale: float) -> None:
    parts = CertaintyParts(333, 222, 111, 77)
    image = drawn(
        theme,
        301,
        16,
        lambda p: paint_certainty(p, QRectF(0.3, 1.4, 300, 11.3), parts, theme),
        scale,
    )
    middle = round(7 * scale)
    firm, surface = theme.colours.firm.name(), theme.colours.surface.name()
    across = [image.pixelColor(x, middle).name() for x in range(image.width())]
    end = across.index(surface, round(10 * scale))
    one = max(1, floor(scale + 0.5))
    # Firm up to the gap, the gap, and the hatched part's edge: no mixed colours between them.
    assert set(across[round(2 * scale) : end]) == {firm}
    assert across[end : end + one] == [surface] * one
    assert across[end + one : end + 2 * one] == [theme.colours.prov_line.name()] * one
    down = {image.pixelColor(round(20 * scale), y).name() for y in range(image.height())}
    assert down == {firm, surface}


@pytest.mark.parametrize(
    "parts",
    [
        CertaintyParts(100_000, 1, 1, 1),
        CertaintyParts(1, 1, 100_000),
        CertaintyParts(3, 2, 1, full=1_000_000),
    ],
)
def test_no_part_is_narrower_than_two_pixels(theme: Theme, parts: CertaintyParts) -> None:
    ends = part_edges(parts.amounts, 200 / parts.shown, 2)
    starts = [0.0, *ends]
    for place, (amount, end) in enumerate(zip(parts.amounts, ends, strict=True)):
        gap = 1 if any(parts.amounts[:place]) else 0
        if amount:
            assert end - starts[place] - gap >= 2
        else:
            assert end == starts[place]
    image = drawn(theme, 210, 10, lambda p: paint_certainty(p, QRectF(0, 0, 200, 10), parts, theme))
    found = colours_in(image, 0, 0, 210, 10)
    assert found[theme.colours.firm.name()] >= 2 * 10
    assert found[theme.colours.exp_line.name()] >= 4


def test_small_parts_do_not_move_the_end(theme: Theme) -> None:
    ends = part_edges((100_000, 10, 10, 0), 200 / 100_020, 2)
    assert ends[-1] == pytest.approx(200)
    assert part_edges((0, 0, 0, 0), 1, 2) == [0, 0, 0, 0]


def test_ghost_edge_and_likely_tick_stick_out_of_the_bar(theme: Theme) -> None:
    parts = CertaintyParts(100, 0, 100, likely=150, ghost=120)
    image = drawn(theme, 200, 30, lambda p: paint_certainty(p, QRectF(0, 8, 200, 14), parts, theme))
    above = colours_in(image, 0, 0, 200, 7)
    assert above[theme.colours.exp_line.name()] == 2 * 2
    assert image.pixelColor(120, 4) == theme.colours.ink
    ghost = [image.pixelColor(120, y) == theme.colours.ink for y in range(4, 26)]
    assert 0.4 < sum(ghost) / len(ghost) < 0.8


def test_range_strip_runs_from_low_to_high(theme: Theme) -> None:
    values = RangeValues(20, 50, 80, 100)
    image = drawn(theme, 100, 20, lambda p: paint_range(p, QRectF(0, 0, 100, 20), values, theme))
    colours = theme.colours
    assert image.pixelColor(10, 10) == colours.line2
    assert image.pixelColor(20, 5) == colours.exp_line
    assert image.pixelColor(50, 3) == colours.exp_line
    assert colours_in(image, 82, 11, 100, 20) == {colours.surface.name(): 18 * 9}


def test_a_share_has_a_whisker_only_where_more_is_possible(theme: Theme) -> None:
    def painted(share: Share) -> QImage:
        return drawn(theme, 100, 14, lambda p: paint_share(p, QRectF(0, 1, 100, 12), share, theme))

    line = theme.colours.exp_line.name()
    longer, equal = painted(Share(40, 90, 100)), painted(Share(40, 40, 100))
    assert colours_in(longer, 88, 3, 92, 11)[line] >= 8
    assert colours_in(equal, 42, 0, 100, 14)[line] == 0


def test_marks_differ_in_grey_by_shape_alone(theme: Theme) -> None:
    def shape(mark: Mark) -> tuple[bool, ...]:
        image = drawn(theme, 18, 18, lambda p: paint_mark(p, QPointF(2, 2), mark, theme))
        ground = theme.colours.surface
        return tuple(image.pixelColor(x, y) != ground for x in range(18) for y in range(18))

    shapes = [shape(mark) for mark in Mark]
    for place, one in enumerate(shapes):
        for other in shapes[place + 1 :]:
            assert sum(a != b for a, b in zip(one, other, strict=True)) >= 20


def test_small_path_fills_before_here_and_leaves_after(theme: Theme) -> None:
    image = drawn(theme, 60, 12, lambda p: paint_small_path(p, QPointF(1, 0), 2, 6, theme))
    colours = theme.colours
    assert image.pixelColor(4, 6) == colours.ink3
    assert image.pixelColor(20, 0) == colours.ink
    assert image.pixelColor(28, 6) == colours.surface
    assert image.pixelColor(25, 6) == colours.control


READ = Reading(Decimal(120), Decimal("121.2"), Decimal("120.5"), Decimal("121.06"))


def test_worn_counts_from_new_to_the_service_limit_both_ways() -> None:
    assert READ.worn(Decimal("121.06")) == pytest.approx(0.8833, abs=1e-4)
    thinning = Reading(Decimal("4.32"), Decimal("3.7"), Decimal(4), Decimal("3.5"))
    assert thinning.worn(Decimal("3.5")) > 1
    assert Reading(Decimal(1), Decimal(1)).worn(Decimal(1)) == 0


def test_gauge_shows_past_the_limit_in_its_colour_and_nothing_unseen(theme: Theme) -> None:
    def painted(measured: Decimal | None) -> Counter[str]:
        reading = Reading(READ.new, READ.service, READ.rebuild, measured)
        image = drawn(
            theme, 100, 26, lambda p: paint_small_gauge(p, QRectF(0, 0, 100, 26), reading, theme)
        )
        # One row through the middle of the track.
        return colours_in(image, 0, 13, 100, 14)

    colours = theme.colours
    inside, past, unseen = painted(Decimal("121.06")), painted(Decimal("121.34")), painted(None)
    assert inside[colours.attn.name()] == 3
    assert past[colours.attn.name()] > 8
    assert unseen[colours.ink2.name()] == 0
    assert unseen[colours.attn.name()] == 3
    assert inside[colours.ink2.name()] > 50


def test_curve_reads_both_ways_and_stays_inside_its_ends() -> None:
    points = [(100, 0.0), (200, 0.5), (400, 1.0)]
    assert amount_at(points, 0.25) == pytest.approx(150)
    assert chance_at(points, 300) == pytest.approx(0.75)
    assert amount_at(points, 2) == 400
    assert chance_at(points, 0) == 0
    assert amount_at([], 0.5) == 0


@pytest.mark.parametrize("width", [200, 500, 1200])
def test_axis_labels_never_touch(width: int) -> None:
    for span in (7, 1_999, 7_800_000, 10**12):
        step = axis_step(span, width, lambda _step: 60)
        assert step / span * width >= 60 + 24
        assert str(step).rstrip("0") in {"1", "2", "5"}


def test_long_words_are_cut_with_an_ellipsis(theme: Theme) -> None:
    font = theme.font(14)
    long = "Zylinderkopfdichtflächenüberarbeitung"
    assert fitted(long, font, words_width(long, font)) == long
    short = fitted(long, font, 100)
    assert short.endswith("\u2026")
    assert words_width(short, font) <= 101


def test_figures_share_one_width(theme: Theme) -> None:
    for weight in (400, 600, 700):
        font = theme.font(14, weight)
        assert len({words_width(digit * 20, font) for digit in "0123456789"}) == 1


def test_the_bundled_face_is_the_one_in_use(theme: Theme) -> None:
    from PySide6.QtGui import QFontInfo

    info = QFontInfo(theme.font(14))
    assert info.family() == "Source Sans Pro"
    assert QFontInfo(theme.font(14, 600)).weight() == 600


def test_cells_say_when_words_were_cut(theme: Theme) -> None:
    long = "Getriebegehäuse und Drehmomentwandler instand setzen"
    answers: list[bool] = []

    def paint(painter: QPainter) -> None:
        cell = QRectF(0, 0, 140, 42)
        wide = QRectF(0, 0, 600, 42)
        for rect in (cell, wide):
            answers.append(cells.paint_two_lines(painter, rect, long, "not seen", theme))
            answers.append(cells.paint_mark_cell(painter, rect, Mark.WAITS, long, theme))
            answers.append(cells.paint_path_cell(painter, rect, 1, 7, long, theme))

    drawn(theme, 600, 42, paint)
    assert answers == [True, True, True, False, False, False]


def test_a_cells_pattern_moves_with_the_cell(theme: Theme) -> None:
    parts = CertaintyParts(0, 10, 0)

    def cell(top: int) -> QImage:
        image = drawn(
            theme,
            120,
            60,
            lambda p: cells.paint_certainty_cell(p, QRectF(3, top, 100, 24), parts, theme),
        )
        return image.copy(3, top, 100, 24)

    assert cell(0) == cell(17)


def test_nothing_is_drawn_for_nothing(theme: Theme) -> None:
    image = drawn(
        theme,
        50,
        20,
        lambda p: paint_certainty(p, QRectF(0, 5, 50, 10), CertaintyParts(0, 0, 0), theme),
    )
    assert colours_in(image, 0, 0, 50, 20) == {theme.colours.surface.name(): 1000}
