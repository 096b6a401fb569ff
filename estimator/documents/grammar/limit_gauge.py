"""A reading against its limits, drawn: new at the left, rebuild and service limit as ticks.

Worn is (reading - new) / (service - new), so a bore that grows and a disc that thins read alike.
Nothing but the drawing stops at the gauge's end.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from reportlab.platypus import Flowable

from estimator.documents.grammar.look import INK, INK3, LINE2

_SERVICE_AT = 0.78  # of the gauge's length: room beyond it for what is past the limit
_TRACK, _POINTER = 5.0, 4.0


class LimitGauge(Flowable):  # type: ignore[misc]
    """New, rebuild and service limit with the reading between them; dotted where nothing was read.

    The service limit differs from new.
    """

    def __init__(
        self, new: Decimal, rebuild: Decimal | None, service: Decimal, measured: Decimal | None
    ) -> None:
        super().__init__()
        self.new, self.rebuild, self.service, self.measured = new, rebuild, service, measured

    def wrap(self, available_width: float, _available_height: float) -> tuple[float, float]:
        """As wide as its column."""
        self.width, self.height = available_width, _TRACK + _POINTER + 1
        return self.width, self.height

    def _x(self, size: Decimal) -> float:
        worn = float((size - self.new) / (self.service - self.new))
        return min(max(worn * _SERVICE_AT, 0.0), 1.0) * self.width

    def draw(self) -> None:
        """Draw track, used part, ticks, pointer."""
        canvas = self.canv
        canvas.saveState()
        canvas.setStrokeColor(LINE2 if self.measured is not None else INK)
        canvas.setLineWidth(0.5)
        if self.measured is None:
            canvas.setDash([0.8, 1.6])
        canvas.rect(0, 0, self.width, _TRACK, stroke=1, fill=0)
        canvas.setDash([])
        if self.measured is not None:
            canvas.setFillColor(INK3)
            canvas.rect(0, 0.8, self._x(self.measured), _TRACK - 1.6, stroke=0, fill=1)
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(0.9)
        if self.rebuild is not None:
            at = self._x(self.rebuild)
            canvas.line(at, 0, at, _TRACK)
        at = self._x(self.service)
        canvas.line(at, -1, at, _TRACK + 2.5)
        if self.measured is not None:
            self._pointer(canvas, self._x(self.measured))
        canvas.restoreState()

    def _pointer(self, canvas: Any, x: float) -> None:
        x = min(max(x, 2.5), self.width - 2.5)
        path = canvas.beginPath()
        path.moveTo(x, _TRACK)
        path.lineTo(x - 2.5, _TRACK + _POINTER)
        path.lineTo(x + 2.5, _TRACK + _POINTER)
        path.close()
        canvas.setFillColor(INK)
        canvas.drawPath(path, stroke=0, fill=1)
