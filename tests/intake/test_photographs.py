"""Pictures from outside: what is one becomes a clean JPEG, what is none is refused in words."""

from __future__ import annotations

import datetime
import io
import struct
import zlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from estimator.intake.photographs import (
    LONG_SIDE,
    MOST_BYTES,
    THUMBNAIL_SIDE,
    NoPhotograph,
    read_photograph,
)


def file_of(picture: Image.Image, kind: str = "PNG", **options: object) -> bytes:
    out = io.BytesIO()
    picture.save(out, kind, **options)
    return out.getvalue()


def opened(data: bytes) -> Image.Image:
    picture = Image.open(io.BytesIO(data))
    picture.load()
    return picture


def png_of_size(width: int, height: int) -> bytes:
    """A small file that says it is large."""

    def chunk(kind: bytes, content: bytes) -> bytes:
        return (struct.pack(">I", len(content)) + kind + content
                + struct.pack(">I", zlib.crc32(kind + content)))  # fmt: skip

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", b"") + chunk(b"IEND", b"")


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "GIF", "WEBP", "TIFF", "BMP"])
@pytest.mark.parametrize("mode", ["RGB", "L", "1", "P"])
def test_every_usual_kind_becomes_a_jpeg(kind: str, mode: str) -> None:
    colour = Image.new("RGB", (64, 48), (200, 30, 30)).convert(mode)
    if (kind, mode) in {("JPEG", "P"), ("WEBP", "1"), ("WEBP", "P")}:
        colour = colour.convert("RGB")
    picture = read_photograph(file_of(colour, kind))
    kept = opened(picture.image)
    assert (kept.format, kept.mode, kept.size) == ("JPEG", "RGB", (64, 48))
    assert (picture.width, picture.height, len(picture.sha256)) == (64, 48, 64)


def test_a_large_one_is_made_smaller() -> None:
    picture = read_photograph(file_of(Image.new("RGB", (6000, 1500), "grey"), "JPEG"))
    assert opened(picture.image).size == (LONG_SIDE, 640) == (picture.width, picture.height)
    assert opened(picture.thumbnail).size == (THUMBNAIL_SIDE, 64)


def test_it_is_turned_as_the_camera_was_held_and_told_of_nothing_else() -> None:
    picture = Image.new("RGB", (80, 40), "black")
    picture.paste("white", (0, 0, 40, 40))  # white on the left
    exif = Image.Exif()
    exif[0x0112] = 6  # turn right by a quarter
    exif[0x010F] = "the maker of a camera"
    exif.get_ifd(0x8769)[0x9003] = "2026:11:24 09:30:00"
    exif.get_ifd(0x8825)[1] = "N"
    got = read_photograph(file_of(picture, "JPEG", exif=exif, comment=b"where it was"))
    kept = opened(got.image)
    assert kept.size == (40, 80)
    assert kept.getpixel((20, 5))[0] > 200  # white is at the top now
    assert kept.getpixel((20, 75))[0] < 50
    assert got.taken_on == datetime.date(2026, 11, 24)
    assert not kept.getexif()
    for secret in (b"maker of a camera", b"where it was", b"2026:11", b"Exif"):
        assert secret not in got.image


def test_what_is_transparent_is_white() -> None:
    got = read_photograph(file_of(Image.new("RGBA", (20, 20), (0, 0, 0, 0))))
    assert opened(got.image).getpixel((10, 10)) == (255, 255, 255)


def test_sixteen_bits_keep_their_contrast() -> None:
    deep = Image.new("I;16", (32, 32), 1000)
    deep.paste(3000, (16, 0, 32, 32))
    kept = opened(read_photograph(file_of(deep)).image).convert("L")
    assert kept.getpixel((4, 16)) < 40
    assert kept.getpixel((28, 16)) > 215


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "it is empty"),
        (b"not a picture at all " * 50, "no image"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no image"),
        (b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n", "no image"),
        (png_of_size(20_000, 10_001), "20000 x 10001 pixels; 200 million"),
        (png_of_size(60_000, 60_000), "pixels; 200 million"),
        (png_of_size(100, 100), "damaged"),
    ],
    ids=["empty", "words", "svg", "eps", "200 megapixels", "3600 megapixels", "no data"],
)
@pytest.mark.filterwarnings("ignore")
def test_what_is_no_photograph_is_refused(data: bytes, said: str) -> None:
    with pytest.raises(NoPhotograph, match=said):
        read_photograph(data)


def test_too_many_bytes_are_refused_unread() -> None:
    with pytest.raises(NoPhotograph, match="61 MB; 60 MB are taken"):
        read_photograph(b"\0" * (MOST_BYTES + 1024**2))


NOISE = file_of(Image.effect_noise((96, 96), 80).convert("RGB"), "JPEG")


@given(st.integers(0, len(NOISE) * 9 // 10))
@settings(max_examples=40, deadline=None)
def test_half_a_file_is_refused(length: int) -> None:
    with pytest.raises(NoPhotograph):
        read_photograph(NOISE[:length])


@given(st.binary(max_size=400), st.sampled_from(["JPEG", "PNG", "GIF", "WEBP", "TIFF", "BMP"]),
       st.integers(0, 200))  # fmt: skip
@settings(max_examples=150, deadline=None)
@pytest.mark.filterwarnings("ignore")
def test_no_bytes_break_it(junk: bytes, kind: str, at: int) -> None:
    whole = file_of(Image.new("RGB", (16, 16), "red"), kind)
    for data in (junk, whole[:at] + junk, whole[:at] + junk + whole[at + len(junk) :]):
        try:
            picture = read_photograph(data)
        except NoPhotograph as error:
            assert str(error)
        else:
            assert opened(picture.image).format == "JPEG"
