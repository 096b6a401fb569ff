"""What the drawn photographs show. Each motif paints a canvas of 1,600 x 1,200 pixels."""

from __future__ import annotations

from math import cos, pi, sin
from random import Random
from typing import Any

from PIL import ImageDraw, ImageFont

W, H = 1600, 1200
Colour = tuple[int, int, int]
INK = (28, 28, 30)
CARBON = 5  # rings of a bore, from the top, that are black with it
BRANCHES, BRIGHT = 0.12, 0.15  # chance of a branch in a crack, of bright metal in oil


def _grey(level: float, warm: float = 0.0) -> Colour:
    value = max(0, min(255, int(level)))
    return (min(255, int(value * (1 + warm))), value, max(0, int(value * (1 - warm))))


def _steel(canvas: Any, random: Random, level: int, warm: float = 0.0) -> Any:
    """A machined or painted ground with streaks; answers what draws on it."""
    draw = ImageDraw.Draw(canvas)
    for row in range(0, H, 6):
        draw.rectangle((0, row, W, row + 6), fill=_grey(level + random.gauss(0, 5), warm))
    for _ in range(40):
        x, y = random.uniform(0, W), random.uniform(0, H)
        draw.line(
            (x, y, x + random.uniform(60, 400), y + random.uniform(-8, 8)),
            fill=_grey(level + random.choice((-26, 22)), warm),
            width=random.randint(1, 3),
        )
    return draw


def _blots(canvas: Any, random: Random, colour: Colour, count: int, size: float) -> None:
    """Oil, dirt, rust: soft spots, gathered."""
    draw = ImageDraw.Draw(canvas)
    for _ in range(count):
        x, y = random.uniform(0, W), random.uniform(0, H)
        for _ in range(random.randint(2, 6)):
            r = random.uniform(0.3, 1) * size
            dx, dy = random.gauss(0, size), random.gauss(0, size)
            draw.ellipse((x + dx - r, y + dy - r, x + dx + r, y + dy + r), fill=colour)


def bore(canvas: Any, random: Random) -> None:
    """Down a cylinder: honed wall, carbon ring, scoring on one side."""
    draw = _steel(canvas, random, 118)
    cx, cy, outer = 800, 610, 640
    draw.ellipse((cx - outer, cy - outer, cx + outer, cy + outer), fill=_grey(150))
    for step in range(60):
        r = outer - 20 - step * 7.4
        y = cy + step * 1.3
        level = 176 - step * 2.3 if step > CARBON else 70 + 9 * step
        draw.ellipse((cx - r, y - r, cx + r, y + r), fill=_grey(level, 0.03))
    for _ in range(160):  # honing
        angle, turn = random.uniform(0, 2 * pi), random.choice((-0.5, 0.5))
        _wall_line(draw, (cx, cy), (angle, angle + turn), (600, 380), _grey(138), 1)
    side = random.uniform(0.2, 1.2)
    for _ in range(random.randint(14, 26)):  # scoring
        angle = random.gauss(side, 0.16)
        ends = (random.uniform(520, 610), random.uniform(230, 420))
        tone = random.choice((58, 74, 214))
        _wall_line(draw, (cx, cy), (angle, angle), ends, _grey(tone), random.randint(2, 6))
    draw.ellipse((cx - 188, cy - 110, cx + 188, cy + 266), fill=_grey(52))
    draw.ellipse((cx - 150, cy - 40, cx + 150, cy + 250), fill=_grey(30))
    for k in range(10):  # bolts of the deck
        angle = k * pi / 5 + 0.3
        x, y = cx + 735 * cos(angle), cy + 735 * sin(angle)
        draw.ellipse((x - 44, y - 44, x + 44, y + 44), fill=_grey(48))
        draw.ellipse((x - 30, y - 30, x + 30, y + 30), fill=_grey(92))


def _wall_line(
    draw: Any,
    centre: tuple[float, float],
    angles: tuple[float, float],
    radii: tuple[float, float],
    colour: Colour,
    width: int,
) -> None:
    (cx, cy), (one, two), (far, near) = centre, angles, radii
    draw.line(
        (cx + far * cos(one), cy + far * sin(one), cx + near * cos(two), cy + 60 + near * sin(two)),
        fill=colour,
        width=width,
    )


def dial_gauge(canvas: Any, random: Random) -> None:
    """A dial gauge against a shaft."""
    draw = _steel(canvas, random, 96, 0.04)
    for y in range(820, 1120, 4):  # the shaft
        level = 70 + 130 * sin(pi * (y - 820) / 300)
        draw.rectangle((0, y, W, y + 4), fill=_grey(level))
    draw.rectangle((770, 700, 830, 850), fill=_grey(150))
    draw.polygon(((785, 850), (815, 850), (800, 884)), fill=_grey(206))
    cx, cy, r = 800, 400, 350
    draw.rectangle((cx + r - 20, cy - 40, W, cy + 40), fill=_grey(60))
    draw.ellipse((cx - r, cy - r, cx + r, cy + r), fill=_grey(44))
    draw.ellipse((cx - r + 34, cy - r + 34, cx + r - 34, cy + r - 34), fill=(238, 236, 226))
    font = ImageFont.load_default(44)
    for tick in range(100):
        angle = tick * 2 * pi / 100 - pi / 2
        long = 46 if tick % 10 == 0 else 30 if tick % 5 == 0 else 18
        ends = [(cx + q * cos(angle), cy + q * sin(angle)) for q in (r - 46, r - 46 - long)]
        draw.line(ends, fill=INK, width=5 if tick % 10 == 0 else 2)
        if tick % 10 == 0:
            at = (cx + (r - 128) * cos(angle), cy + (r - 128) * sin(angle))
            draw.text(at, str(tick), font=font, fill=INK, anchor="mm")
    draw.text((cx, cy + 110), "0.01 mm", font=font, fill=INK, anchor="mm")
    angle = random.uniform(0.1, 0.9) * 2 * pi - pi / 2
    tail = (cx - 60 * cos(angle), cy - 60 * sin(angle))
    draw.line((*tail, cx + 262 * cos(angle), cy + 262 * sin(angle)), fill=(150, 20, 20), width=8)
    draw.ellipse((cx - 22, cy - 22, cx + 22, cy + 22), fill=INK)
    _blots(canvas, random, _grey(44, 0.2), 3, 22)


def crack(canvas: Any, random: Random) -> None:
    """A crack beside a weld, drawn out by white paint, with a rule along it."""
    draw = _steel(canvas, random, 128, 0.18)
    draw.polygon(((140, 250), (1480, 200), (1510, 820), (110, 860)), fill=(226, 226, 218))
    for bead in range(150, 1500, 26):  # the weld
        high = 330 + 14 * sin(bead / 190)
        box = (bead - 22, high - 34, bead + 22, high + 34)
        draw.ellipse(box, fill=_grey(168 + random.gauss(0, 9)))
    x, y = float(random.randint(300, 420)), 400.0
    points = [(x, y)]
    while x < random.randint(1050, 1300):
        x += random.uniform(12, 40)
        y += random.gauss(4, 17)
        points.append((x, min(max(y, 360), 720)))
        if random.random() < BRANCHES:
            branch = (x + random.uniform(20, 70), y + random.choice((-60, 60)))
            draw.line((points[-1], branch), fill=_grey(66), width=3)
    draw.line(points, fill=(150, 140, 130), width=15, joint="curve")
    draw.line(points, fill=INK, width=6, joint="curve")
    _rule(draw, 900)
    _blots(canvas, random, _grey(74, 0.3), 4, 20)


def _rule(draw: Any, top: int) -> None:
    """A steel rule in millimetres."""
    draw.rectangle((0, top, W, top + 190), fill=_grey(196))
    font = ImageFont.load_default(46)
    for mm in range(0, 161):
        x = 20 + mm * 10
        long = 74 if mm % 10 == 0 else 52 if mm % 5 == 0 else 34
        draw.line((x, top, x, top + long), fill=INK, width=3)
        if mm % 10 == 0:
            draw.text((x + 6, top + 84), str(mm), font=font, fill=INK)


def oil_sample(canvas: Any, random: Random) -> None:
    """A sample bottle beside the patch its oil was filtered through."""
    draw = _steel(canvas, random, 150, 0.03)
    dark = random.uniform(0.25, 0.8)
    oil = (int(190 - 130 * dark), int(120 - 90 * dark), int(44 - 24 * dark))
    draw.rounded_rectangle((210, 250, 690, 1110), 60, fill=(214, 220, 220))
    draw.rounded_rectangle((232, 420, 668, 1090), 50, fill=oil)
    draw.rectangle((232, 420, 668, 470), fill=tuple(min(255, one + 40) for one in oil))
    draw.rectangle((330, 150, 570, 256), fill=(196, 60, 46))
    draw.rectangle((262, 600, 638, 880), fill=(240, 240, 232))
    for line in range(5):
        wide = random.uniform(120, 330)
        draw.line((290, 650 + line * 46, 290 + wide, 650 + line * 46), fill=INK, width=7)
    cx, cy, r = 1130, 640, 340
    draw.ellipse((cx - r, cy - r, cx + r, cy + r), fill=(232, 230, 222))
    tone = tuple(int(236 - (1 - one / 255) * 120 * dark) for one in oil)
    draw.ellipse((cx - 270, cy - 270, cx + 270, cy + 270), fill=tone)
    for _ in range(int(120 + 900 * dark)):
        angle, reach = random.uniform(0, 2 * pi), 262 * random.random() ** 0.5
        x, y, size = cx + reach * cos(angle), cy + reach * sin(angle), random.expovariate(0.35)
        bright = random.random() < BRIGHT
        draw.ellipse((x, y, x + size, y + size), fill=(236, 220, 150) if bright else INK)


def chain(canvas: Any, random: Random) -> None:
    """A track chain from the side, links with their pins and bushes, packed with clay."""
    draw = _steel(canvas, random, 84, 0.2)
    pitch, y = 330, 560
    for k in range(-1, 6):
        x = k * pitch + random.randint(-6, 6)
        draw.rectangle((x - 30, y + 190, x + pitch - 60, y + 260), fill=_grey(64, 0.1))
        draw.rectangle((x + 40, y + 250, x + 96, y + 380), fill=_grey(70, 0.1))
        link = ((x, y - 150), (x + pitch + 60, y - 110), (x + pitch + 60, y + 110), (x, y + 190))
        draw.polygon(link, fill=_grey(112 + random.gauss(0, 6), 0.06))
        draw.line((*link[0], *link[1]), fill=_grey(190), width=14)
        for dx, size in ((66, 92), (pitch + 4, 74)):
            box = (x + dx - size, y - size, x + dx + size, y + size)
            draw.ellipse(box, fill=_grey(88), outline=_grey(40), width=8)
            inner = size * 0.55
            worn = random.uniform(-9, 9)
            draw.ellipse(
                (x + dx - inner + worn, y - inner, x + dx + inner + worn, y + inner),
                fill=_grey(168),
            )
    _blots(canvas, random, (96, 74, 50), 26, 30)
    _blots(canvas, random, (122, 98, 70), 12, 22)


def cab(canvas: Any, random: Random) -> None:
    """Through the cab door: seat, wheel, levers, a chipped pane."""
    draw = _steel(canvas, random, 60)
    draw.rectangle((120, 60, 1480, 640), fill=(168, 186, 192))
    draw.polygon(
        ((120, 640), (1480, 640), (1480, 560), (900, 600), (120, 520)), fill=(120, 116, 92)
    )
    for x in (120, 800, 1480):
        draw.rectangle((x - 26, 40, x + 26, 1200), fill=(210, 158, 40))
    x, y = random.randint(950, 1300), random.randint(160, 420)
    for _ in range(13):  # the chip in the glass
        angle, reach = random.uniform(0, 2 * pi), random.uniform(20, 120)
        draw.line(
            (x, y, x + reach * cos(angle), y + reach * sin(angle)), fill=(238, 242, 244), width=3
        )
    draw.rounded_rectangle((560, 380, 1060, 960), 70, fill=(48, 50, 54))
    draw.rounded_rectangle((500, 880, 1120, 1150), 60, fill=(40, 42, 46))
    for _ in range(random.randint(2, 5)):  # tears in the seat
        tx, ty = random.randint(620, 1000), random.randint(460, 1080)
        draw.ellipse((tx, ty, tx + random.randint(40, 120), ty + 26), fill=(196, 170, 110))
    draw.ellipse((180, 640, 560, 860), outline=(26, 26, 28), width=30)
    draw.line((370, 750, 300, 1120), fill=(34, 34, 36), width=36)
    for lever in range(3):
        lx = 1210 + lever * 90
        draw.line((lx, 1120, lx + 14, 830), fill=(150, 150, 152), width=18)
        draw.ellipse((lx - 26, 780, lx + 54, 860), fill=INK)
    draw.rectangle((1190, 1080, 1480, 1200), fill=(54, 56, 60))
    _blots(canvas, random, (92, 80, 62), 8, 16)


def rod(canvas: Any, random: Random) -> None:
    """A cylinder rod with score marks along its chrome."""
    draw = _steel(canvas, random, 66, 0.08)
    for row in range(330, 830, 4):
        level = 60 + 185 * sin(pi * (row - 330) / 500) ** 1.5
        draw.rectangle((0, row, W, row + 4), fill=_grey(level))
    draw.rectangle((0, 270, 330, 890), fill=_grey(58))
    draw.rectangle((330, 300, 390, 860), fill=_grey(104))
    for _ in range(random.randint(5, 9)):
        x, y = random.uniform(450, 800), random.gauss(560, 70)
        end = x + random.uniform(200, 650)
        draw.line(
            (x, y, end, y + random.uniform(-5, 5)), fill=_grey(52), width=random.randint(3, 9)
        )
        draw.line((x, y + 5, end, y + 5), fill=_grey(236), width=2)
    _rule(draw, 950)
