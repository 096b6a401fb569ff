"""An SVG drawing in: its shapes are written anew, all else is left behind or refused in words."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping
from typing import Any
from xml.parsers import expat
from xml.sax.saxutils import XMLGenerator
from xml.sax.xmlreader import AttributesImpl

from estimator.domain.house_style import SVG, Drawing
from estimator.domain.wording import worded

MOST_ELEMENTS, DEEPEST = 20_000, 40
MOST_LONG = 1e6  # units of a drawing
_SPACE = "http://www.w3.org/2000/svg"
_LINK = "http://www.w3.org/1999/xlink"
_SHAPES = frozenset({"path", "rect", "circle", "ellipse", "line", "polyline", "polygon"})
_DRAWN = _SHAPES | {"svg", "g", "defs", "clipPath", "style"}
_QUIET = frozenset({"title", "desc", "metadata", "view"})
_PAINT = frozenset({
    "color", "display", "fill", "fill-opacity", "fill-rule", "opacity", "stroke",
    "stroke-dasharray", "stroke-dashoffset", "stroke-linecap", "stroke-linejoin",
    "stroke-miterlimit", "stroke-opacity", "stroke-width", "style", "visibility", "clip-path",
    "clip-rule",
})  # fmt: skip
_PLACE = frozenset({
    "id", "class", "transform", "d", "points", "x", "y", "width", "height", "rx", "ry", "cx", "cy",
    "r", "x1", "y1", "x2", "y2", "clipPathUnits",
})  # fmt: skip
_REACHES = re.compile(r"url\s*\(|@|\\|expression|javascript:|src\s*=", re.IGNORECASE)
_OWN_CLIP = re.compile(r"url\(\s*['\"]?#[\w.-]+['\"]?\s*\)")
_SIZE = re.compile(r"\s*([0-9]*\.?[0-9]+(?:[eE][+-]?[0-9]+)?)\s*(?:px)?\s*")


class NotDrawn(ValueError):
    """An SVG that is not taken; says why, for people."""


def read_svg(data: bytes) -> Drawing:
    """The shapes of an SVG, written anew. Raises NotDrawn."""
    reading = _Reading()
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.StartDoctypeDeclHandler = reading.doctype
    parser.EntityDeclHandler = reading.doctype
    parser.ProcessingInstructionHandler = reading.instruction
    parser.StartElementHandler = reading.begin
    parser.EndElementHandler = reading.end
    parser.CharacterDataHandler = reading.text
    try:
        parser.Parse(data, True)
    except expat.ExpatError as error:
        raise NotDrawn(
            worded("it is neither a PNG nor an SVG that can be read (line {line})",
                   line=error.lineno)
            if reading.count
            else worded("it is neither an SVG nor a PNG")
        ) from None  # fmt: skip
    except (LookupError, UnicodeError):
        raise NotDrawn(worded("it is neither an SVG nor a PNG")) from None
    if not reading.shapes:
        raise NotDrawn(worded("no shape is drawn in it"))
    width, height = reading.size
    return Drawing(SVG, reading.out.getvalue().encode(), width, height)


class _Reading:
    """One pass over a drawing, writing what of it is kept."""

    def __init__(self) -> None:
        self.out = io.StringIO()
        self.size = (0.0, 0.0)
        self.count = self.shapes = 0
        self._writer = XMLGenerator(self.out, "utf-8")
        self._open: list[str] = []
        self._skipping = 0  # elements open inside one that is left behind
        self._style: list[str] | None = None

    def doctype(self, *_: Any) -> None:
        """No document type, so no entities."""
        raise NotDrawn(worded("it declares a document type or entities, which may reach outside; "
                              "save it as plain SVG"))  # fmt: skip

    def instruction(self, *_: Any) -> None:
        """No style sheets from elsewhere."""
        raise NotDrawn(worded("it holds instructions for another program; save it as plain SVG"))

    def begin(self, full: str, given: dict[str, str]) -> None:
        """An element opens."""
        self.count += 1
        if self.count > MOST_ELEMENTS or len(self._open) + self._skipping > DEEPEST:
            raise NotDrawn(worded("it has too many parts to print; simplify it"))
        space, _, name = full.rpartition(" ")
        if not self._open and not self._skipping and (space, name) != (_SPACE, "svg"):
            raise NotDrawn(worded("it is neither an SVG nor a PNG"))
        if self._skipping or space != _SPACE or name in _QUIET:
            self._skipping += 1
            return
        if name not in _DRAWN:
            raise NotDrawn(_why_not(name))
        root = not self._open
        if name == "svg" and not root:
            raise NotDrawn(worded("it holds a drawing within a drawing; save it as plain shapes"))
        self._open.append(name)
        if name == "style":
            self._style = []
            return
        kept = {key: value for key, value in _kept(given).items() if not root or key in _PAINT}
        if root:
            kept = self._root(given) | kept
        self.shapes += name in _SHAPES
        self._writer.startElement(name, AttributesImpl(kept))

    def _root(self, given: Mapping[str, str]) -> dict[str, str]:
        x, y, width, height = _box(given)
        self.size = (width, height)
        return {"xmlns": _SPACE, "viewBox": f"{x:g} {y:g} {width:g} {height:g}",
                "width": f"{width:g}", "height": f"{height:g}"}  # fmt: skip

    def text(self, text: str) -> None:
        """Text: kept inside a style alone."""
        if self._style is not None and not self._skipping:
            self._style.append(text)

    def end(self, _full: str) -> None:
        """An element closes."""
        if self._skipping:
            self._skipping -= 1
            return
        name = self._open.pop()
        if name == "style":
            rules = "".join(self._style or [])
            self._style = None
            _check_style(rules)
            self._writer.startElement(name, AttributesImpl({}))
            self._writer.characters(rules)
        self._writer.endElement(name)


def _kept(given: Mapping[str, str]) -> dict[str, str]:
    """The attributes that shapes are drawn by. Raises NotDrawn for one that reaches elsewhere."""
    found = {}
    for full, value in given.items():
        space, _, name = full.rpartition(" ")
        if space == _LINK or name in ("href", "src"):
            raise NotDrawn(worded("it refers to something outside of its shapes; save it as plain "
                                  "shapes"))  # fmt: skip
        if name.lower().startswith("on"):
            raise NotDrawn(worded("it holds a script"))
        if name in ("filter", "mask", "marker-start", "marker-mid", "marker-end"):
            raise NotDrawn(_why_not(name))
        if space or name not in _PAINT | _PLACE:
            continue
        if name == "clip-path":
            if value != "none" and not _OWN_CLIP.fullmatch(value.strip()):
                raise NotDrawn(_why_not(name))
        elif name not in ("id", "class"):
            _check_style(value)
        found[name] = value
    return found


def _check_style(text: str) -> None:
    if _REACHES.search(text):
        raise NotDrawn(worded("its colours or styles refer to gradients, patterns or something "
                              "outside; save it with plain colours"))  # fmt: skip


def _why_not(name: str) -> str:
    """Why an element is refused, in words."""
    if name in ("text", "tspan", "textPath", "font"):
        return worded("it holds text, which needs a font; turn text into outlines")
    if name in ("image", "feImage"):
        return worded("it holds a picture made of pixels; hand that in as PNG")
    if name in ("script", "foreignObject", "iframe", "a"):
        return worded("it holds a script, a link or foreign matter ({name})", name=name)
    if name in ("use", "symbol"):
        return worded("it repeats parts by reference; save it as plain shapes")
    return worded("it holds what cannot be printed as drawn ({name}); save it as plain shapes in "
                  "plain colours", name=name)  # fmt: skip


def _box(given: Mapping[str, str]) -> tuple[float, float, float, float]:
    """Left, top, width and height of the drawing. Raises NotDrawn where it tells none."""
    parts = re.split(r"[\s,]+", given.get("viewBox", "").strip())
    try:
        x, y, width, height = map(float, parts)
    except ValueError:
        sizes = [_SIZE.fullmatch(given.get(name, "")) for name in ("width", "height")]
        if None in sizes:
            raise NotDrawn(worded("it tells no size (viewBox)")) from None
        x = y = 0.0
        width, height = (float(one[1]) for one in sizes if one)
    if not (0 < width <= MOST_LONG and 0 < height <= MOST_LONG and abs(x) + abs(y) <= MOST_LONG):
        raise NotDrawn(worded("it tells no size (viewBox)"))
    return x, y, width, height
