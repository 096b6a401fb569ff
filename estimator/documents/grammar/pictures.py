"""Photographs on paper: fitted into their place, each with its caption below."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import Any

from reportlab.lib.utils import ImageReader
from reportlab.platypus import Flowable

from estimator.documents.grammar import house_labels as labels
from estimator.documents.grammar.columns import Columns
from estimator.documents.grammar.fonts import REGULAR
from estimator.documents.grammar.look import INK3, LINE2
from estimator.documents.grammar.page import fitted
from estimator.documents.grammar.paper import Paper
from estimator.domain.contract.papers import Picture

ACROSS = 4


class Photograph(Flowable):  # type: ignore[misc]
    """A picture in a frame as wide as its column, no higher than `most`, never stretched."""

    def __init__(self, picture: Picture, most: float) -> None:
        super().__init__()
        self.picture, self.most = picture, most

    def wrap(self, available_width: float, _available_height: float) -> tuple[float, float]:
        """As wide as the column; height by the picture's own shape."""
        self.width = available_width
        shape = self.picture.height / self.picture.width if self.picture.width else 0.75
        self.height = min(self.most, available_width * shape)
        return self.width, self.height

    def draw(self) -> None:
        """Draw the picture; a frame with words where it cannot be read."""
        canvas = self.canv
        try:
            image = ImageReader(BytesIO(self.picture.image))
            wide, high = image.getSize()
            image.getRGBData()  # a JPEG goes into the file as it is: one cut short must show here
        except Exception:  # the engine raises errors of many kinds on a damaged picture
            self._lost()
            return
        scale = min(self.width / wide, self.height / high)
        left = 0.0
        canvas.drawImage(
            image, left, self.height - high * scale, width=wide * scale, height=high * scale
        )

    def _lost(self) -> None:
        canvas = self.canv
        canvas.setStrokeColor(LINE2)
        canvas.setLineWidth(0.6)
        canvas.rect(0, 0, self.width, self.height)
        canvas.setFillColor(INK3)
        canvas.setFont(REGULAR, 7)
        words = fitted(labels.PICTURE_LOST, REGULAR, 7, self.width - 8)
        canvas.drawString(4, self.height / 2 - 2, words)


def can_be_shown(image: bytes) -> bool:
    """Whether a picture can be read to its last line."""
    try:
        ImageReader(BytesIO(image)).getRGBData()
    except Exception:  # the engine raises errors of many kinds on a damaged picture
        return False
    return True


def picture_rows(
    paper: Paper, pictures: Sequence[Picture], *, high: float = 84, across: int = ACROSS
) -> list[Any]:
    """Photographs side by side with their captions, `across` in a row."""
    rows = []
    for start in range(0, len(pictures), across):
        shown = pictures[start : start + across]
        columns: list[list[Any]] = [[_photograph(one, high), _caption(paper, one)] for one in shown]
        columns += [[] for _ in range(across - len(shown))]
        rows.append(Columns(columns, gap=8, before=4))
    return rows


def _photograph(one: Picture, high: float) -> Photograph:
    found = Photograph(one, high)
    found.spaceAfter = 2
    return found


def _caption(paper: Paper, one: Picture) -> Any:
    text = f"{one.name}: {one.caption}" if one.caption else one.name
    return paper.text(text, "fine")
