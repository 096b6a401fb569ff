"""Tables and lines of plain text come out as the paragraph engine has them: the same heights,
breaks, rules and places; numbers as Babel writes them."""

from __future__ import annotations

import io
import re
from decimal import Decimal

import pytest
from babel.core import Locale
from babel.localedata import locale_identifiers
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Paragraph, Table, TableStyle

from estimator.documents.grammar.breaking import broken, cut, holds_long_word
from estimator.documents.grammar.fonts import REGULAR, marked, register, width
from estimator.documents.grammar.grid import Grid
from estimator.documents.grammar.look import INK, LINE, style
from estimator.documents.grammar.text import Line
from estimator.documents.grammar.wording import _pattern, _written
from tests.documents.family_sources import quote_of

_WIDTHS = [150.0, 60.0, 90.0]
_LOOK = [
    ("FONT", (0, 0), (-1, -1), REGULAR, 8, 8),
    ("LEFTPADDING", (0, 0), (-1, -1), 0), ("RIGHTPADDING", (0, 0), (-1, -1), 0),
    ("LEFTPADDING", (1, 0), (-1, -1), 5), ("TOPPADDING", (0, 0), (-1, -1), 2.2),
    ("VALIGN", (0, 0), (-1, -1), "TOP"), ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
    ("VALIGN", (1, 2), (1, 5), "MIDDLE"),
    ("LINEBELOW", (0, 1), (-1, -4), 0.4, LINE), ("LINEBELOW", (0, 0), (-1, 0), 0.8, INK),
    ("LINEABOVE", (0, -2), (-1, -2), 0.8, INK), ("NOSPLIT", (0, -3), (-1, -1)),
    ("SPAN", (0, 3), (1, 3)),
]  # fmt: skip


def clauses():
    return [one.text for section in quote_of("standard").clauses.values() for one in section]


def table_of(kind, count=12):
    """A table whose rows take one line or several, in the class of tables asked for."""
    texts = [text[: 30 + 60 * (at % 3)] for at, text in enumerate(clauses()[:count])]
    rows = [[Line(text, style("cell")), Line(f"{at}.00", style("cell", "right")),
             "" if at % 4 else [Line("one", style("note")), Line("two", style("note", before=3))]]
            for at, text in enumerate(texts)]  # fmt: skip
    table = kind(rows, _WIDTHS, repeatRows=1, style=TableStyle(_LOOK))
    table.hAlign = "LEFT"
    return table


def drawn(parts):
    """Where rules, and runs of text, begin on a page for each part, to a hundredth of a point."""
    found = []
    for part in parts:
        canvas = Canvas(io.BytesIO(), initialFontName=REGULAR)
        _, high = part.wrapOn(canvas, 300, 800)
        part.drawOn(canvas, 40, 800 - high)
        found.append((round(high, 6), *_places("\n".join(canvas._code))))
    return found


def _places(code):
    at, kept, rules, texts = (0.0, 0.0), [], [], []
    for line in code.splitlines():
        if line == "q":
            kept.append(at)
        elif line == "Q":
            at = kept.pop()
        elif moved := re.match(r"1 0 0 1 (\S+) (\S+) cm", line):
            at = (at[0] + float(moved[1]), at[1] + float(moved[2]))
        elif rule := re.match(r"n (\S+) (\S+) m (\S+) \S+ l S", line):
            x, y, end = (float(one) for one in rule.groups())
            rules.append((round(at[0] + x, 2), round(at[1] + y, 2), round(at[0] + end, 2)))
        elif run := re.match(r"BT 1 0 0 1 (\S+) (\S+) Tm .*?\((.*?)\) Tj", line):
            texts.append((round(at[0] + float(run[1]), 2), round(at[1] + float(run[2]), 2), run[3]))
    return sorted(rules), texts


def test_a_table_is_as_high_and_stands_where_the_engine_has_it():
    register()
    assert drawn([table_of(Grid)]) == drawn([table_of(Table)])


@pytest.mark.parametrize("room", [10.0, 30.0, 60.0, 90.0, 135.0, 160.0, 200.0, 230.0, 260.0, 900.0])
def test_it_breaks_where_the_engine_breaks_it(room):
    register()
    ours, theirs = table_of(Grid), table_of(Table)
    ours.wrap(300, room)
    theirs.wrap(300, room)
    parts = ours.split(300, room)
    assert drawn(parts) == drawn(theirs.split(300, room))
    if len(parts) > 1:  # and again, under the repeated head
        theirs.wrap(300, room)
        again = theirs.split(300, room)[1]
        assert drawn(parts[1].split(300, 90.0)) == drawn(again.split(300, 90.0))


def test_a_row_that_fills_a_page_alone_is_broken_inside():
    register()
    rows = [[Line("head", style("cell")), ""],
            [Line("Words of a cell that go on. " * 900, style("cell")), ""]]  # fmt: skip
    table = Grid(rows, [200.0, 40.0], repeatRows=1)
    assert table.split(300, 400) == []
    first, rest = table.split(300, 700)
    assert first.wrap(300, 700)[1] <= 700
    assert rest.wrap(300, 700)[1] > 700


def test_cells_that_a_table_of_this_kind_has_not_are_refused():
    rows = [[Line("one", style("cell"))], [Line("two", style("cell"))]]
    with pytest.raises(ValueError, match="span rows"):
        Grid(rows, [50.0], style=[("SPAN", (0, 0), (0, 1))]).wrap()
    with pytest.raises(ValueError, match="BACKGROUND"):
        Grid(rows, [50.0], style=[("BACKGROUND", (0, 0), (0, 1), INK)]).wrap()


@pytest.mark.parametrize("room", [95.0, 140.5, 233.0, 481.9])
@pytest.mark.parametrize("name", ["body", "note"])
def test_plain_text_is_broken_as_the_engine_breaks_it(name, room):
    register()
    look = style(name)
    for text in clauses():
        found = broken(text, look, room)
        words = Paragraph(marked(text), look)
        words.wrap(room, 1e6)
        theirs = [(round(left, 6), " ".join(line)) for left, line in words.blPara.lines]
        if found is not None:  # a word alone is wider
            assert [(round(one.left, 6), one.text) for one in found] == theirs
    assert broken("A line", look, room) is not None


def test_a_long_word_is_cut_where_a_line_is_full_and_nothing_else_is():
    register()
    word = "x" * 500
    markup = f'Before &amp; <font name="{REGULAR}">{word}</font> after'
    assert holds_long_word(markup)
    shown = cut(markup, REGULAR, 9, 100)
    assert shown.replace(" ", "") == markup.replace(" ", "")
    pieces = re.search(r">(x[x ]*)<", shown)[1].split()
    assert all(90 < width(piece, REGULAR, 9) <= 100 for piece in pieces[:-1])
    assert not any(holds_long_word(text) for text in clauses())


@pytest.mark.parametrize("name", sorted(locale_identifiers())[::9])
def test_numbers_are_as_babel_writes_them(name):
    locale = Locale.parse(name)
    for value in ("0", "7", "999.9", "1000", "1234.5678", "12345", "123456789012.25"):
        for digits in range(4):
            exact = Decimal(value).quantize(Decimal(1).scaleb(-digits))
            assert _written(locale, exact, digits) == _pattern(locale, digits).apply(exact, locale)
