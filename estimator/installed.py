"""Where the files that come with the program lie: catalogue, fonts, sample jobs."""

from __future__ import annotations

from pathlib import Path


def data_root() -> Path:
    """Folder that holds `catalog/`, `resources/` and `sample_db/`.

    An installed copy carries them inside the package; a checkout has them beside it.
    """
    packaged = Path(__file__).parent / "_data"
    return packaged if packaged.is_dir() else Path(__file__).parent.parent
