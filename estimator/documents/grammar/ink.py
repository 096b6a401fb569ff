"""Writing text straight onto a page: what most of a page consists of, so it is done with few words.

The engine's own way makes an object for every string and looks every letter up again; here what a
string is written as is kept for the document. The operators are the same (ISO 32000-1, 9.4).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reportlab.lib.colors import Color
from reportlab.lib.rl_accel import fp_str
from reportlab.pdfbase import pdfmetrics

Shown = tuple[tuple[int, str], ...]  # subset of the face, and the operator that shows a part


def fill(canvas: Any, colour: Color) -> None:
    """Write in this colour from now on."""
    if canvas._fillColorObj is not colour:
        canvas.setFillColor(colour)


def string(canvas: Any, x: float, y: float, text: str, face: str, size: float) -> None:
    """Write one run of text, all of whose letters are in `face`."""
    code = f"BT 1 0 0 1 {fp_str(x, y)} Tm {_operators(canvas, text, face, size, size * 1.2)} T* ET"
    canvas._code.append(code)


def lines(
    canvas: Any, at: Sequence[tuple[float, float]], texts: Sequence[tuple[str, float]],
    face: str, size: float, leading: float,
) -> None:  # fmt: skip
    """Write lines of a paragraph, each at its place; a line that is a little too wide has the
    points beside it added to every space in it."""
    code, now = ["BT"], -1
    for (x, y), (text, between) in zip(at, texts, strict=True):
        code.append(f"1 0 0 1 {fp_str(x, y)} Tm")
        if between:
            code.append(f"{fp_str(between)} Tw")
        for subset, shown in _shown(canvas, text, face):
            if subset != now:
                now = subset
                code.append(_face(canvas, face, subset, size, leading))
            code.append(shown)
        code.append("T* 0 Tw" if between else "T*")
    code.append("ET")
    canvas._code.append(" ".join(code))


def _operators(canvas: Any, text: str, face: str, size: float, leading: float) -> str:
    kept: dict[tuple[str, str, float], str] = canvas.__dict__.setdefault("written_strings", {})
    found = kept.get((text, face, size))
    if found is None:
        parts = (f"{_face(canvas, face, subset, size, leading)} {shown}"
                 for subset, shown in _shown(canvas, text, face))  # fmt: skip
        found = kept[text, face, size] = " ".join(parts)
    return found


def _face(canvas: Any, face: str, subset: int, size: float, leading: float) -> str:
    name = pdfmetrics.getFont(face).getSubsetInternalName(subset, canvas._doc)
    return f"{name} {fp_str(size)} Tf {fp_str(leading)} TL"


def _shown(canvas: Any, text: str, face: str) -> Shown:
    """Letters of the typewriter are in the first subset under their own codes."""
    font, escape = pdfmetrics.getFont(face), canvas._escape
    if text.isascii() and canvas._doc in font.state:
        return ((0, f"({escape(text.encode())}) Tj"),)
    return tuple((subset, f"({escape(part)}) Tj")
                 for subset, part in font.splitString(text, canvas._doc))  # fmt: skip
