"""How fast documents are laid out, against bare text drawn straight on as many pages:
`python tests/bench/print_ratios.py`.

The goal is a ratio of some 5, for a quote of a few pages and for a hundred pages of breakdown
alike. How many pages there are is filled in at the end; a document is laid out again only where a
reference names another page than was guessed, and then no further than to where that shows. The
passes are counted beside. It ends in less than two minutes.
"""

from __future__ import annotations

import io
import sys
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

from estimator.documents.grammar import page as pages  # noqa: E402
from estimator.documents.quote.quote_pdf import quote_pdf  # noqa: E402
from tests.bench.ratios import compare  # noqa: E402
from tests.documents.family_sources import many_lines, printed_as, quote_of  # noqa: E402

LINES_ON_A_PAGE = 60
TIMES = 21  # every line so often: some eighty pages


def bare(count: int) -> Callable[[], None]:
    """Bare text on so many pages, four cells a line."""
    from reportlab.pdfgen.canvas import Canvas

    def draw() -> None:
        canvas = Canvas(io.BytesIO())
        for _ in range(count):
            for line in range(LINES_ON_A_PAGE):
                y = 790 - 12 * line
                canvas.drawString(60, y, "Line of a quote as long as most of them are")
                for x in (350, 420, 480):
                    canvas.drawRightString(x, y, "1,234")
            canvas.showPage()
        canvas.save()

    return draw


def passes(make: Callable[[], bytes]) -> int:
    """How often a document is laid out."""
    counted = [0]
    whole = pages._document

    def counting(*args: object) -> object:
        counted[0] += 1
        return whole(*args)

    pages._document = counting
    try:
        make()
    finally:
        pages._document = whole
    return counted[0]


def main() -> None:
    """Time each document against its floor and print the ratio."""
    long = many_lines(quote_of("full"), TIMES)
    makers: dict[str, Callable[[], bytes]] = {
        "quote, short": lambda: quote_pdf(quote_of("short")),
        "quote, standard": lambda: quote_pdf(quote_of("standard")),
        "quote, full breakdown": lambda: quote_pdf(quote_of("full")),
        "full breakdown, every line 21 times": lambda: quote_pdf(long),
        "budget letter": lambda: printed_as("budget"),
        "revision letter": lambda: printed_as("revision"),
        "options": lambda: printed_as("options"),
    }
    for name, make in makers.items():
        count = make().count(b"/Type /Page\n")
        best, floor = compare(make, bare(count), repeats=3 if count > 50 else 9)
        print(
            f"{name:38} {count:4} pages {passes(make):2} passes {best * 1000:8.1f}ms "
            f"{best * 1000 / count:6.2f}ms a page  floor {floor * 1000:7.1f}ms  {best / floor:6.2f}"
        )


if __name__ == "__main__":
    main()
