"""Finding rows among 100,000 as one types, and keeping an edition: `python
tests/bench/catalogue_ratios.py`.

The floor of a search is a plain scan: `word in text` over the same small-letter texts, a row at a
time. Both take turns, garbage collection off, the minimum of each counts. Nothing here fails a
build.
"""

from __future__ import annotations

import sys
import time
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

from estimator.domain.catalogue.changes import (  # noqa: E402
    RowChange,
    applied,
    difference,
    rows_of,
    table_names,
)
from estimator.services.catalogue_search import CatalogueSearch, searched_text  # noqa: E402
from estimator.services.open_catalogue import open_catalogue  # noqa: E402
from estimator.storage.edition_record import packed_rows  # noqa: E402
from tests.bench.ratios import compare  # noqa: E402

ROWS = 100_000
SOUGHT = ("p-oil", "seal", "a", "hydraulic pump", "no such words")


def once(what: str, act: object) -> None:
    """How long something takes that is done once."""
    begun = time.perf_counter()
    act()  # type: ignore[operator]
    print(f"{what:45} {(time.perf_counter() - begun) * 1000:8.0f} ms")


def main() -> None:
    """Print the ratios."""
    catalogue = open_catalogue()
    every = [(table, row) for table in table_names(catalogue) for row in rows_of(catalogue, table)]
    many = (every * (ROWS // len(every) + 1))[:ROWS]
    print(f"{len(every):,} rows of the catalogue, {ROWS:,} in the search")
    once(f"search made ready over {ROWS:,} rows", lambda: CatalogueSearch(many))
    search = CatalogueSearch(many)
    texts = [searched_text(row) for _, row in many]
    for words in SOUGHT:
        parts = words.split()

        def scan(parts: list[str] = parts) -> list[int]:
            return [n for n, text in enumerate(texts) if all(one in text for one in parts)]

        assert [one.index for one in search.find(words)] == scan()
        ours, floor = compare(lambda words=words: search.find(words), scan)  # type: ignore[misc]
        told = f"{words!r}, {len(scan()):,} rows"
        print(f"{told:38} {ours * 1000:6.1f} ms, scan {floor * 1000:6.1f} ms, {ours / floor:.2f}")
    before = rows_of(catalogue, "operations")[1]
    change = RowChange("operations", before, replace(before, hours=Decimal("8.5")))
    after = applied(catalogue, [change])
    once("a change applied, with its fingerprint", lambda: applied(catalogue, [change]))
    once("the difference of two editions", lambda: difference(catalogue, after))
    once("an edition as it is kept", lambda: packed_rows(after))
    print(f"{len(packed_rows(after)[0]) / 1000:,.0f} kB kept of an edition")


if __name__ == "__main__":
    main()
