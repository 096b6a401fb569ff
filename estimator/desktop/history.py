"""Where the user was: back and forward through places, as a browser does."""

from __future__ import annotations

from dataclasses import dataclass, field

MOST = 100


@dataclass(frozen=True, slots=True)
class Where:
    """A place in the window: a page, the job it showed, and the row the cursor stood on."""

    page: str
    number: str = ""
    place: str = ""


@dataclass(slots=True)
class History:
    """Places visited, and where among them the user is."""

    places: list[Where] = field(default_factory=list)
    at: int = -1

    def visit(self, where: Where) -> None:
        """Go somewhere new: what lay ahead is forgotten. The page one is on already is not new."""
        if self.at >= 0:
            here = self.places[self.at]
            same = (here.page, here.number) == (where.page, where.number)
            if same and where.place in ("", here.place):
                return
        self.places = [*self.places[: self.at + 1], where][-MOST:]
        self.at = len(self.places) - 1

    def note_place(self, place: str) -> None:
        """Remember where on the page the user stands now."""
        if self.at >= 0:
            here = self.places[self.at]
            self.places[self.at] = Where(here.page, here.number, place)

    def back(self) -> Where | None:
        """The place before; None at the beginning."""
        return self._move(-1)

    def forward(self) -> Where | None:
        """The place after; None at the end."""
        return self._move(1)

    def _move(self, by: int) -> Where | None:
        if not 0 <= self.at + by < len(self.places):
            return None
        self.at += by
        return self.places[self.at]
