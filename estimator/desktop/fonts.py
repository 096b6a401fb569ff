"""The faces that come with the program, and the fonts made of them."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtGui import QFont, QFontDatabase

from estimator.installed import data_root

TEXT_WEIGHT = 400
FIGURE_WEIGHT = 600
TOTAL_WEIGHT = 700


@lru_cache(maxsize=1)
def load_bundled_fonts() -> tuple[str, ...]:
    """Make the bundled faces known to Qt and name their families; later calls do nothing.

    Needs a running application. Raises FileNotFoundError where the folder holds no face,
    for the window must not start in a face whose figures differ in width.
    """
    folder = data_root() / "resources" / "fonts"
    families: dict[str, None] = {}
    for file in sorted(folder.glob("*.ttf")):
        identity = QFontDatabase.addApplicationFont(str(file))
        families.update(dict.fromkeys(QFontDatabase.applicationFontFamilies(identity)))
    if not families:
        raise FileNotFoundError(f"no typeface in {folder}; install the program again")
    return tuple(families)


@lru_cache(maxsize=64)
def _shared_font(families: tuple[str, ...], pixels: int, weight: int, italic: bool) -> QFont:
    font = QFont(list(families))
    font.setPixelSize(pixels)
    font.setWeight(QFont.Weight(weight))
    font.setItalic(italic)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return font


def make_font(
    families: tuple[str, ...], pixels: int, weight: int = TEXT_WEIGHT, italic: bool = False
) -> QFont:
    """A font of the families, first that has the sign wins; size in logical pixels.

    Logical pixels grow with the desktop's scale, so that 150 % needs no other size.
    """
    return QFont(_shared_font(families, pixels, weight, italic))
