"""Every document on both papers, plain and in a full house style: nothing clipped or overlapping,
fonts held, kept as PDF/A-3b asks, links that lead to their pages."""

from __future__ import annotations

import hashlib
import io
import os
import re
import subprocess
import sys
from dataclasses import replace
from functools import cache
from pathlib import Path

import pikepdf
import pikepdf.pdfa
import pypdfium2
import pytest
from pypdf import PdfReader

from estimator.documents.contract.declined_list import declined_pdf
from estimator.documents.contract.ledger_statement import ledger_pdf
from estimator.documents.contract.stop_paper import stop_pdf
from estimator.documents.contract.strip_report import strip_pdf
from estimator.documents.contract.variation_order import variation_pdf
from estimator.documents.grammar.dress import dressed
from estimator.documents.grammar.look import WIDTH
from estimator.documents.grammar.page import About, Attached, Pages, lay_out
from estimator.documents.grammar.paper import Paper
from estimator.documents.internal.exposure_sheet import exposure_pdf
from estimator.documents.internal.style_page import style_page
from estimator.documents.quote.quote_pdf import quote_pdf
from estimator.domain.exposure_sheet import build_exposure_sheet
from estimator.domain.house_style import A4, LETTER, PLAIN, Signature
from estimator.domain.job import Party
from estimator.services.ledger_paper import ledger_statement
from estimator.services.strip_paper import stop_paper, strip_report
from estimator.services.variation_paper import declined_list, variation_order
from tests.documents.contract_sources import CHAIN, sources_at
from tests.documents.house import full_style, scrawl
from tests.documents.read_back import (
    boxes,
    fonts,
    none_over_another,
    printed,
    read_back,
    with_job,
)
from tests.documents.test_quote_file import LONG, crowded

SIZES = {A4: (595.28, 841.89), LETTER: (612.0, 792.0)}
KINDS = ("quote", "crowded quote", "exposure", "variation", "strip", "ledger", "declined", "stop")


@pytest.fixture(scope="module")
def make(quote):
    @cache
    def made(kind: str, paper: str, styled: bool, locale: str = "en_GB") -> bytes:
        style = replace(full_style() if styled else PLAIN, paper=paper)
        with dressed(style):
            return one_of(kind, locale)

    def one_of(kind: str, locale: str) -> bytes:
        if kind == "quote":
            return quote_pdf(quote, locale, CHAIN)
        if kind == "crowded quote":
            return quote_pdf(crowded(quote), locale, CHAIN)
        if kind == "exposure":
            return exposure_pdf(build_exposure_sheet(quote.priced, (), ()), locale)
        sources = sources_at("E15" if kind == "strip" else "E29")
        if kind == "variation":
            return variation_pdf(variation_order(sources, "V06"), locale)
        if kind == "strip":
            return strip_pdf(strip_report(sources), locale)
        if kind == "ledger":
            return ledger_pdf(ledger_statement(sources), locale)
        if kind == "declined":
            return declined_pdf(declined_list(sources), locale)
        return stop_pdf(stop_paper(sources), locale)

    return made


def well_placed(data: bytes, size: tuple[float, float]) -> None:
    """No text beyond the sides of the text, above the head, below the foot, or over other text."""
    side = (size[0] - WIDTH) / 2
    found = boxes(data)
    for page, left, bottom, right, top, words in found:
        assert left >= side - 1.7, (page, words)
        assert right <= size[0] - side + 1.7, (page, words)
        assert bottom >= 25, (page, words)
        assert top <= size[1] - 22, (page, words)
    none_over_another(found)


@pytest.mark.parametrize("styled", [False, True], ids=["plain", "styled"])
@pytest.mark.parametrize("paper", [A4, LETTER])
@pytest.mark.parametrize("kind", KINDS)
def test_every_document_fits_both_papers(make, kind, paper, styled):
    data = make(kind, paper, styled)
    for page in PdfReader(io.BytesIO(data)).pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(
            SIZES[paper], abs=0.01
        )
    well_placed(data, SIZES[paper])


@pytest.mark.parametrize("styled", [False, True], ids=["plain", "styled"])
@pytest.mark.parametrize("paper", [A4, LETTER])
@pytest.mark.parametrize("kind", KINDS)
def test_headings_stand_with_what_follows(make, kind, paper, styled):
    """Below each heading of the outline something is printed before the foot."""
    data = make(kind, paper, styled)
    foot = 50 + (9.6 * 2 if styled else 0)
    document = pypdfium2.PdfDocument(data)
    found = boxes(data)
    for mark in document.get_toc():
        target = mark.get_dest()
        page, (_, top, *_rest) = target.get_index(), target.get_view()[1]
        title = mark.get_title()
        below = [one for one in found if one[0] == page and foot < one[4] < top - 12]
        assert below, (kind, paper, title, page)
    document.close()


@pytest.mark.parametrize("paper", [A4, LETTER])
@pytest.mark.parametrize("kind", [one for one in KINDS if one != "crowded quote"])
def test_it_can_be_kept_for_good(make, kind, paper):
    """The allow-list validator of pikepdf finds nothing against PDF/A-3b."""
    for styled in (False, True):
        report = pikepdf.pdfa.validate_written(io.BytesIO(make(kind, paper, styled)), "3b")
        assert report.findings == []


def test_no_face_is_named_that_the_file_does_not_hold(make):
    for paper in (A4, LETTER):
        with pikepdf.open(io.BytesIO(make("quote", paper, True))) as pdf:
            kept = [one for one in pdf.objects if isinstance(one, pikepdf.Dictionary)
                    and one.get("/Type") == "/Font"]  # fmt: skip
            assert kept
            for font in kept:
                assert "/FontFile2" in font.FontDescriptor, font.BaseFont


def test_paper_follows_the_country_unless_the_house_has_its_own(quote):
    sizes = {}
    for locale in ("en_GB", "en_US", "de_DE", "fr_CA", "es_MX", "es_ES", "en"):
        sizes[locale] = float(printed(quote, locale).reader.pages[0].mediabox.width)
    letter = {name for name, width in sizes.items() if width == pytest.approx(612)}
    assert letter == {"en_US", "fr_CA", "es_MX"}
    with dressed(replace(PLAIN, paper=A4)):
        assert float(printed(quote, "en_US").reader.pages[0].mediabox.width) < 600


def test_page_numbers_in_a_text_lead_there(paper):
    reader = paper.reader
    places = {mark.title: reader.get_destination_page_number(mark) for mark in reader.outline}
    led = set()
    for page in reader.pages:
        for one in page.get("/Annots", ()):
            link = one.get_object()
            assert link["/F"] == 4
            led.add(reader.get_page_number(link["/Dest"][0].get_object()))
    assert led == {places["Charge rates, before tax"], places["Work and parts in this price"]}
    said = re.search(r"at the rates on page (\d+)", paper.text)
    assert int(said[1]) - 1 == places["Charge rates, before tax"]


def test_what_looks_like_a_link_in_a_customers_name_is_harmless(quote):
    from estimator.documents.grammar.links import PageNumber

    name = f"Works{PageNumber(3, 'nowhere at all')} and {PageNumber(9, 'rates')}"
    text = printed(with_job(quote, customer=Party(name))).text
    assert "Works3 and 9" in text.replace("Works 3", "Works3")


def test_the_description_says_the_same_twice(make):
    with pikepdf.open(io.BytesIO(make("quote", A4, True))) as pdf:
        told = pdf.open_metadata()
        info = pdf.docinfo
        assert told["dc:title"] == str(info.Title)
        assert told["dc:creator"] == [str(info.Author)]
        assert told["pdf:Producer"] == str(info.Producer)
        assert told["xmp:CreatorTool"] == str(info.Creator)
        assert told["xmp:CreateDate"] == "2026-11-20T00:00:00Z"
        assert (told["pdfaid:part"], told["pdfaid:conformance"]) == ("3", "B")
        assert str(pdf.Root.Lang) == "en"
        assert bytes(pdf.trailer.ID[0]) == bytes(pdf.trailer.ID[1])


def test_data_goes_along_and_comes_out_as_it_was(quote):
    data = b'{"net": "275946.00"}'
    about = About("Forge", "Q-1", "foot", "Q-1", "S-1", "en", quote.priced.job.date, attached=(
        Attached("quote.json", "application/json", data, "Figures", "Data"),))  # fmt: skip
    made = lay_out(lambda _: [Paper().text("Words")], about, Pages({}))
    with pikepdf.open(io.BytesIO(made)) as pdf:
        assert pdf.attachments["quote.json"].get_file().read_bytes() == data
        (spec,) = pdf.Root.AF
        assert spec.AFRelationship == "/Data"
        params = spec.EF.F.Params
        assert bytes(params.CheckSum) == hashlib.md5(data, usedforsecurity=False).digest()
    assert pikepdf.pdfa.validate_written(io.BytesIO(made), "3b").findings == []
    other = lay_out(lambda _: [Paper().text("Words")],
                    replace(about, attached=()), Pages({}))  # fmt: skip
    assert made != other


def pictures(data: bytes) -> list[int]:
    """Number of pictures of pixels on each page."""
    return [len(page.images) for page in PdfReader(io.BytesIO(data)).pages]


def test_only_what_is_issued_bears_the_releasers_signature(quote):
    assert quote.priced.job.releaser.startswith("J. Tarn")
    style = full_style()
    other = replace(style, signatures=(Signature("P. Holt", "estimator", scrawl()),))
    with dressed(style):
        assert sum(pictures(quote_pdf(quote, "en_GB"))) == 0
        issued = quote_pdf(quote, "en_GB", CHAIN)
    assert sum(pictures(issued)) == 1
    with dressed(other):
        assert sum(pictures(quote_pdf(quote, "en_GB", CHAIN))) == 0


def test_the_house_prints_what_it_tells(make, quote):
    style = full_style()
    pages = read_back(make("quote", A4, True)).pages
    for text in (style.phone, style.email, style.web, *style.registration):
        assert text in pages[0]
        assert text not in pages[1]
    for page in pages:
        for line in style.footer:
            assert line in page
    whole = " ".join(pages)
    assert "Terms of the workshop" in whole
    assert "They are the same for every customer." in whole
    assert whole.index("Our own terms") < whole.index("Acceptance of")


def test_markup_and_long_lines_in_a_style_are_text(quote):
    nasty = "<b>&amp; \x00\u202e" + "W" * 100
    style = full_style(phone=nasty, footer=(nasty,) * 3, registration=(nasty,) * 3,
                       terms=f"{nasty}\n\n{LONG * 200}")  # fmt: skip
    with dressed(style):
        data = quote_pdf(quote, "en_GB", CHAIN)
    well_placed(data, SIZES[A4])
    assert "<b>&amp;" in read_back(data).text


@pytest.mark.parametrize("logo", ["wide", "high", "png"])
def test_a_logo_of_any_shape_stays_in_the_head(logo, quote):
    from estimator.intake.drawings import read_drawing

    boxes_of = {"wide": "0 0 400 22", "high": "0 0 22 400"}
    if logo == "png":
        drawing = scrawl()
    else:
        drawing = read_drawing(f"<svg xmlns='http://www.w3.org/2000/svg' viewBox="
                               f"'{boxes_of[logo]}'><rect x='-50' y='-50' width='900' height='900'"
                               f" fill='#ff0000'/></svg>".encode())  # fmt: skip
    with dressed(full_style(logo=drawing)):
        data = style_page(Party("Forge", ("1 Lane",)), "en_GB", quote.priced.job.date)
    well_placed(data, SIZES[A4])
    assert pikepdf.pdfa.validate_written(io.BytesIO(data), "3b").findings == []
    page = pypdfium2.PdfDocument(data)[0]
    picture = page.render(scale=1).to_pil().convert("RGB")
    red = [(x, y) for x in range(picture.width) for y in range(picture.height)
           if picture.getpixel((x, y)) == (255, 0, 0)]  # fmt: skip
    if logo != "png":
        assert red, "the logo is drawn"
        assert max(y for _, y in red) < 74, "and is clipped to its box"


def test_fonts_of_a_styled_document_are_embedded(make):
    reader = PdfReader(io.BytesIO(make("quote", LETTER, True)))
    assert all(descriptor is not None for descriptor in fonts(reader).values())


SCRIPT = """
import hashlib, sys
from datetime import date
from estimator.documents.grammar.dress import dressed
from estimator.documents.internal.style_page import style_page
from estimator.domain.job import Party
from tests.documents.house import full_style
with dressed(full_style(paper="Letter")):
    page = style_page(Party("Forge", ("1 Lane",)), "de_DE", date(2026, 1, 2))
print(hashlib.sha256(page).hexdigest())
"""


def test_the_same_bytes_in_another_process_zone_and_hash_order():
    root = Path(__file__).parent.parent.parent
    found = set()
    for seed, zone in (("1", "Pacific/Auckland"), ("271828", "America/Caracas")):
        env = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "PYTHONPATH": str(root)}
        found.add(subprocess.run([sys.executable, "-c", SCRIPT], cwd=root, env=env, check=True,
                                 capture_output=True, text=True).stdout)  # fmt: skip
    assert len(found) == 1
