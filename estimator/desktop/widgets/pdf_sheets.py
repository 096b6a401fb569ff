"""Where the pages of a document stand one under another, and how large; no widget, no drawing."""

from __future__ import annotations

from bisect import bisect_right

from PySide6.QtCore import QRectF, QSize

MARGIN, GAP = 24, 16
POINTS_PER_INCH = 72
LEAST_PAGE = 80  # px
ZOOMS = (0.5, 0.75, 1.0, 1.25, 1.5, 2.0, 3.0)  # of the true size
ABOUT = 1e-3  # zooms nearer than this are the same
LEAST_DPI, MOST_DPI, USUAL_DPI = 50.0, 400.0, 96.0


class Sheets:
    """The pages' sizes in points, and how large they are shown: in a share of their true size on
    this screen, or as wide as there is room."""

    def __init__(self) -> None:
        self.sizes: list[tuple[float, float]] = []
        self.fits = True
        self.dpi = USUAL_DPI  # logical pixels to an inch of this screen
        self.room = 0  # px across
        self._zoom = 1.0
        self._kept_of: tuple[object, ...] = ()
        self._kept: list[int] = []

    def set_dpi(self, dpi: float) -> None:
        """Screens that do not know how large they are say nonsense: the usual is taken then."""
        self.dpi = dpi if LEAST_DPI <= dpi <= MOST_DPI else USUAL_DPI

    @property
    def zoom(self) -> float:
        """How large, of the true size; where pages fit the width, that of the first."""
        if not self.fits or not self.sizes:
            return self._zoom
        return self.page_size(0).width() / max(1.0, self.sizes[0][0] * self.dpi / POINTS_PER_INCH)

    def set_zoom(self, zoom: float) -> None:
        """Show so large, of the true size."""
        self.fits, self._zoom = False, zoom

    def step(self, steps: int) -> float:
        """The zoom so many of ZOOMS up or down from here."""
        here = self.zoom
        for _step in range(abs(steps)):
            more = [one for one in ZOOMS if one > here + ABOUT]
            less = [one for one in ZOOMS if one < here - ABOUT]
            here = (
                (more[0] if more else ZOOMS[-1])
                if steps > 0
                else (less or ZOOMS)[-1 if less else 0]
            )
        return here

    def page_size(self, place: int) -> QSize:
        """A page's size in logical pixels."""
        wide, high = (max(1.0, side) for side in self.sizes[place])
        if self.fits:
            across = max(LEAST_PAGE, self.room - 2 * MARGIN)
        else:
            across = max(LEAST_PAGE, round(wide * self.dpi / POINTS_PER_INCH * self._zoom))
        return QSize(across, round(across * high / wide))

    def scale(self, place: int) -> float:
        """Logical pixels to a point of a page."""
        return self.page_size(place).width() / max(1.0, self.sizes[place][0])

    def top(self, place: int) -> int:
        """Where a page begins, from the top of all."""
        return self._tops()[place]

    def _tops(self) -> list[int]:
        """Where each begins and the last ends; kept, for all are asked at each paint."""
        of = (id(self.sizes), len(self.sizes), self.fits, self._zoom, self.room, self.dpi)
        if of != self._kept_of:
            down, tops = MARGIN, [MARGIN]
            for place in range(len(self.sizes)):
                down += self.page_size(place).height() + GAP
                tops.append(down)
            self._kept_of, self._kept = of, tops
        return self._kept

    def stop(self, place: int) -> int:
        """How far one scrolls to have a page begin at the top."""
        return self.top(place) - GAP if place else 0

    def height(self) -> int:
        """All of them."""
        return self._tops()[-1] + MARGIN

    def width(self) -> int:
        """The widest, with its margins."""
        widest = max((self.page_size(one).width() for one in range(len(self.sizes))), default=0)
        return widest + 2 * MARGIN

    def at(self, down: float) -> int:
        """The page that stands so far down; the first above all, 0 where there is none."""
        return max(0, bisect_right(self._tops()[: len(self.sizes)], down) - 1)

    def turned(self, scrolled: int, steps: int) -> int:
        """The page that is one on, or one back, from where one has scrolled to."""
        last = len(self.sizes) - 1
        if steps > 0:
            on = (one for one in range(len(self.sizes)) if self.stop(one) > scrolled + 1)
            return next(on, last)
        return max(
            (one for one in range(len(self.sizes)) if self.stop(one) < scrolled - 1), default=0
        )

    def box(self, place: int, area: tuple[float, float, float, float]) -> QRectF:
        """An area of a page (left, top, right, bottom in points from its top left corner) in
        logical pixels from there."""
        by = self.scale(place)
        left, top, right, bottom = (side * by for side in area)
        return QRectF(left, top, right - left, bottom - top)
