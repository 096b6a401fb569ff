"""Logos and signatures in: shapes are kept, what reaches outside or runs is refused in words."""

from __future__ import annotations

import io
import struct
import zlib

import pytest
from lxml import etree
from PIL import Image, PngImagePlugin

from estimator.domain.house_style import PNG, SVG
from estimator.intake.drawings import NoDrawing, read_drawing

SPACE = "http://www.w3.org/2000/svg"


def svg(inside: str = "<rect width='20' height='10' fill='#123456'/>", more: str = "") -> bytes:
    return f"<svg xmlns='{SPACE}' viewBox='0 0 40 20' {more}>{inside}</svg>".encode()


def png(size: tuple[int, int] = (60, 20), mode: str = "RGBA", **saved: object) -> bytes:
    out = io.BytesIO()
    Image.new(mode, size).save(out, "PNG", **saved)
    return out.getvalue()


def why(data: bytes) -> str:
    with pytest.raises(NoDrawing) as refused:
        read_drawing(data)
    return str(refused.value)


def test_shapes_of_an_svg_are_kept_and_notes_left_behind():
    found = read_drawing(svg(
        "<title>t</title><metadata><x:y xmlns:x='urn:x'><x:image/></x:y></metadata>"
        "<x:view xmlns:x='urn:x'><rect/></x:view><style>.a{fill:#112233}</style>"
        "<g transform='scale(2)' data-x='1'><path class='a' d='M0 0L9 9' x:note='n' "
        "xmlns:x='urn:x'/></g>", "width='100%' height='100%'",
    ))  # fmt: skip
    assert (found.kind, found.width, found.height) == (SVG, 40, 20)
    root = etree.fromstring(found.data)
    assert [etree.QName(one).localname for one in root.iter()] == ["svg", "style", "g", "path"]
    assert root.get("viewBox") == "0 0 40 20"
    assert dict(root.find(f".//{{{SPACE}}}path").attrib) == {"class": "a", "d": "M0 0L9 9"}
    assert root[0].text == ".a{fill:#112233}"
    assert read_drawing(found.data) == found


def test_size_comes_from_width_and_height_without_a_view_box():
    data = f"<svg xmlns='{SPACE}' width='30px' height='15'><circle r='3'/></svg>".encode()
    found = read_drawing(data)
    assert (found.width, found.height) == (30, 15)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "empty"),
        (b"not a picture", "neither"),
        (b"GIF89a\x01\x00\x01\x00", "neither"),
        (b"\xff\xd8\xff\xe0 jpeg", "neither"),
        (b"%PDF-1.7", "neither"),
        (b"<html><body/></html>", "neither"),
        (b"<svg viewBox='0 0 1 1'><path/></svg>", "neither"),
        (svg()[:60], "cannot be read|neither"),
        (b"<!DOCTYPE svg [<!ENTITY a 'aaaa'><!ENTITY b '&a;&a;'>]>" + svg(), "document type"),
        (b"<!DOCTYPE svg SYSTEM 'http://example.com/x.dtd'>" + svg(), "document type"),
        (b"<?xml-stylesheet href='http://example.com/a.css'?>" + svg(), "instructions"),
        (svg("<script>alert(1)</script>"), "script"),
        (svg("<rect width='1' height='1' onclick='x()'/>"), "script"),
        (svg("<foreignObject/>"), "foreign"),
        (svg("<a><rect width='1' height='1'/></a>"), "link"),
        (svg("<image width='3' height='3' href='file:///etc/passwd'/>"), "pixels"),
        (svg("<use href='#x'/>"), "repeats"),
        (svg("<g xmlns:l='http://www.w3.org/1999/xlink' l:href='http://example.com'/>"), "outside"),
        (svg("<text>Forge</text>"), "outlines"),
        (svg("<linearGradient id='a'/><rect width='1' height='1' fill='url(#a)'/>"), "Gradient"),
        (svg("<rect width='1' height='1' fill='url(#a)'/>"), "gradients"),
        (svg("<rect width='1' height='1' style='fill:url(http://example.com)'/>"), "outside"),
        (svg("<style>@import 'http://example.com'</style><rect width='1' height='1'/>"), "outside"),
        (svg("<rect width='1' height='1' filter='url(#f)'/>"), "filter"),
        (svg("<svg/>"), "within"),
        (svg("<g/>"), "no shape"),
        (svg("<rect width='1' height='1'/>" * 20_001), "too many"),
        (svg("<g>" * 60 + "<rect width='1' height='1'/>" + "</g>" * 60), "too many"),
        (f"<svg xmlns='{SPACE}'><rect/></svg>".encode(), "no size"),
        (f"<svg xmlns='{SPACE}' viewBox='0 0 nan 1'><rect/></svg>".encode(), "no size"),
        (f"<svg xmlns='{SPACE}' viewBox='0 0 -5 1'><rect/></svg>".encode(), "no size"),
        (f"<svg xmlns='{SPACE}' viewBox='0 0 500 1'><rect/></svg>".encode(), "20 times"),
        (b" " * (4 * 1024 * 1024 + 1), "MB"),
        (png()[:60], "damaged"),
        (png((4, 4)), "too few"),
        (b"\x89PNG\r\n\x1a\n" + b"\0" * 40, "damaged"),
    ],
)
def test_what_is_refused_is_told_in_words(data, words):
    import re

    assert re.search(words, why(data))


def test_a_png_that_claims_a_vast_size_is_refused_before_it_is_unpacked():
    head = struct.pack(">IIBBBBB", 100_000, 100_000, 8, 2, 0, 0, 0)
    chunk = b"IHDR" + head
    data = (b"\x89PNG\r\n\x1a\n" + struct.pack(">I", len(head)) + chunk
            + struct.pack(">I", zlib.crc32(chunk)))  # fmt: skip
    assert why(data)


@pytest.mark.parametrize(
    ("mode", "kept"),
    [("RGBA", "RGBA"), ("RGB", "RGB"), ("L", "RGB"), ("P", "RGB"), ("LA", "RGBA"), ("1", "RGB")],
)
def test_a_png_is_written_anew_without_its_notes(mode, kept):
    notes = PngImagePlugin.PngInfo()
    notes.add_text("Author", "A. N. Other")
    found = read_drawing(png(mode=mode, pnginfo=notes))
    with Image.open(io.BytesIO(found.data)) as picture:
        assert picture.mode == kept
        assert not picture.info.get("Author")
    assert (found.kind, found.width, found.height) == (PNG, 60, 20)


def test_a_large_png_is_made_smaller():
    found = read_drawing(png((4000, 1000), "RGB"))
    assert (found.width, found.height) == (2000, 500)
