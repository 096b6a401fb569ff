"""What one user of this machine prefers: look, locale, size of the window. Kept by Qt."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QLocale, QSettings

from estimator.desktop.formats import known

LOOKS = ("desktop", "light", "dark")


class Preferences:
    """Read and written at once; a value that makes no sense counts as not set."""

    def __init__(self, settings: QSettings | None = None) -> None:
        self._settings = settings or QSettings("shimwright", "shimwright")

    @property
    def look(self) -> str:
        """desktop, light or dark."""
        value = str(self._settings.value("look", "desktop"))
        return value if value in LOOKS else "desktop"

    @look.setter
    def look(self, value: str) -> None:
        self._settings.setValue("look", value)

    @property
    def locale(self) -> str:
        """The locale of figures and words; the desktop's own unless chosen."""
        return known(str(self._settings.value("locale", QLocale.system().name())))

    @locale.setter
    def locale(self, value: str) -> None:
        self._settings.setValue("locale", value)

    @property
    def geometry(self) -> QByteArray:
        """Size and place of the window, as Qt packs them."""
        value = self._settings.value("geometry")
        return value if isinstance(value, QByteArray) else QByteArray()

    @geometry.setter
    def geometry(self, value: QByteArray) -> None:
        self._settings.setValue("geometry", value)
