"""Work that makes many values at once and no rings of them: the collector of rings stays away."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def collection_paused() -> Iterator[None]:
    """No search for rings meanwhile: it would go through the whole catalogue again for every few
    thousand items made, and take as long as reading the list does. What is no longer used is freed
    at once all the same. Where it is paused already it stays so."""
    if not gc.isenabled():
        yield
        return
    gc.disable()
    try:
        yield
    finally:
        gc.enable()
