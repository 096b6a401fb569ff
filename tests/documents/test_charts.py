"""Charts are vectors: bars to one scale, a curve whose labels keep inside it and apart."""

from __future__ import annotations

import re
from decimal import Decimal
from io import BytesIO

import pytest
from reportlab.pdfgen.canvas import Canvas

from estimator.documents.grammar.charts import CostCurve, Mark, SumBar
from estimator.documents.grammar.fonts import REGULAR, register
from estimator.documents.grammar.wording import Words
from tests.documents.read_back import boxes, read_back

WIDE, HIGH = 480.0, 190.0
WORDS = Words.of("en_GB", "GBP", Decimal(1))


def drawn(flowable):
    """The flowable alone on a page, from (60, 100) upwards."""
    register()
    out = BytesIO()
    canvas = Canvas(out, initialFontName=REGULAR, invariant=1, pageCompression=0)
    flowable.wrap(WIDE, HIGH)
    flowable.drawOn(canvas, 60, 100)
    canvas.save()
    return out.getvalue()


def rectangles(data):
    """Every rectangle drawn, as (left, bottom, width, height)."""
    number = rb"(-?[\d.]+) "
    return [tuple(map(float, one)) for one in re.findall(number * 4 + rb"re", data)]


def curve(points, held, base, mean, others=()):
    def scale(cost, digits):
        return WORDS.number(Decimal(repr(float(cost))), digits)

    return CostCurve(points, held, base, mean, others, scale, height=HIGH)


def smooth(low, high, count=60):
    return [(low + (high - low) * at / (count - 1), at / (count - 1)) for at in range(count)]


def test_bars_are_to_one_scale():
    long, short = (rectangles(drawn(SumBar(one, 0, 1000)))[0] for one in (1000, 250))
    assert long[2] == pytest.approx(WIDE)
    assert short[2] == pytest.approx(WIDE / 4)
    assert long[0] == short[0] == 0


def test_a_sum_below_nothing_is_an_empty_frame_to_the_left():
    minus, plus = drawn(SumBar(-300, -300, 900)), drawn(SumBar(900, -300, 900))
    (left, _, wide, _), *_ = rectangles(minus)
    assert left + wide == pytest.approx(WIDE / 4, abs=1)  # ends where nothing is
    assert rectangles(plus)[0][0] == pytest.approx(WIDE / 4)
    assert b"1 J" not in minus  # no round-capped dots in it
    assert b"1 J" in plus


def test_no_bar_for_nothing_and_a_least_width_for_little():
    assert rectangles(drawn(SumBar(0, 0, 900))) == []
    assert rectangles(drawn(SumBar(0, 0, 0))) == []
    assert rectangles(drawn(SumBar(1, 0, 1_000_000)))[0][2] >= 2


def test_the_curve_marks_base_mean_and_confidence():
    held = Mark(275946.0, 0.8, "8 in 10: £275,946")
    data = drawn(curve(smooth(240000, 300000), held, (244629.0, "base £244,629"),
                       (267364.0, "mean £267,364"), [Mark(266000.0, 0.5, "5 in 10")]))  # fmt: skip
    text = read_back(data).text
    for words in ("8 in 10: £275,946", "base £244,629", "mean £267,364", "5 in 10", "250,000",
                  "300,000", "75 %"):  # fmt: skip
        assert words in text
    assert b"/Subtype /Image" not in data


@pytest.mark.parametrize("at", [0.0, 0.3, 0.98, 1.0])
@pytest.mark.parametrize("near", [0.0, 1.0, 300.0])
def test_labels_keep_inside_and_apart_wherever_the_lines_fall(at, near):
    low, high = 240000.0, 241000.0
    cost = low + (high - low) * at
    data = drawn(curve(smooth(low, high), Mark(cost, 0.8, "8 in 10: £1,275,946"),
                       (cost + near, "base £1,244,629"), (cost - near, "mean £1,267,364"),
                       [Mark(cost + near, 0.9, "9 in 10"), Mark(cost, 0.5, "5 in 10"),
                        Mark(cost + 2 * near, 0.95, "19 in 20")]))  # fmt: skip
    found = [box for box in boxes(data) if "," not in box[5] or "£" in box[5]]
    assert len([box for box in found if "£" in box[5]]) == 3
    for _, left, bottom, right, top, words in found:
        assert left >= 59, words
        assert right <= 60 + WIDE + 1, words
        assert bottom >= 99, words
        assert top <= 100 + HIGH + 3, words
    for place, one in enumerate(found):
        for other in found[place + 1 :]:
            assert min(one[3], other[3]) - max(one[1], other[1]) < 1 or \
                min(one[4], other[4]) - max(one[2], other[2]) < 2.2, (one, other)  # fmt: skip


@pytest.mark.parametrize(("low", "high"), [(0.1, 0.9), (5e8, 9e9), (100.0, 102.5), (-800.0, 40.0)])
def test_the_scale_is_round_and_says_each_cost_once(low, high):
    chart = curve(smooth(low, high), Mark(high, 0.8, "x"), (low, "b"), (low, "m"))
    chart.wrap(WIDE, HIGH)
    texts = [text for _, text in chart._ticks()]
    assert 2 <= len(texts) == len(set(texts))


def test_a_step_is_no_curve():
    with pytest.raises(ValueError, match="two points"):
        curve([(0.0, 1.0)], Mark(0.0, 0.8, ""), (0.0, ""), (0.0, ""))
