"""Inspection report and blank inspection sheet, read back."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

import pytest
from PIL import Image

from estimator.documents.inspection.inspection_report import inspection_report_pdf
from estimator.documents.inspection.inspection_sheet import inspection_sheet_pdf
from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.disposition import UNSEEN
from estimator.domain.job import Party
from estimator.domain.priced_work import priced_work
from estimator.domain.workshop_papers.inspection_report import (
    DAMAGED,
    MISSING,
    ReportPicture,
    build_inspection_report,
)
from estimator.domain.workshop_papers.inspection_sheet import sheet_of_class, sheet_of_job
from estimator.intake.catalogue_files import read_catalogue
from tests.documents.contract_sources import golden_work
from tests.documents.read_back import read_back
from tests.documents.test_workshop_papers import HOSTILE, LANGUAGES, apart

DAY = date(2026, 11, 25)
WORKSHOP = Party("Invented Plant", ("Unit 1", "Nowhere"))


def jpeg(size: tuple[int, int] = (640, 480)) -> bytes:
    out = io.BytesIO()
    Image.effect_noise(size, 60).convert("RGB").save(out, "JPEG")
    return out.getvalue()


def picture(name: str, image: bytes, lost: str = "", caption: str = "bore, rule beside it"):
    return ReportPicture(name, caption, date(2026, 11, 16), image, 640, 480, lost)


@cache
def shipped():
    found, problems = read_catalogue(Path(__file__).parents[2] / "catalog")
    assert found is not None, problems
    return found


def report(pictures=None, language="en"):
    return build_inspection_report(golden_work()[1], DAY, pictures, language)


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


# Report


def test_every_finding_stands_in_the_report_with_its_reading():
    _, work = golden_work()
    text = read_back(inspection_report_pdf(report())).text
    for one in work.scope.judgements.values():
        if one.kind in UNSEEN:
            continue
        assert one.finding.id in text
        if one.measured is not None:
            assert f"{one.measured.normalize():,f}" in text


def test_what_nobody_looked_at_is_named_without_odds():
    _, work = golden_work()
    text = read_back(inspection_report_pdf(report())).text
    assert "None of them is called good" in text
    for part in work.exposed:
        named = any(part.part in one.parts for one in work.scope.unseen)
        assert named or part.name in text
    for one in work.scope.unseen:
        assert squeezed(one.what) in squeezed(text)
    words = ("chance", "odds", "P80", "in 10", "likely", "exposed", "simulation", "contingency")
    assert not [one for one in words if re.search(rf"\b{one}\b", text)]


def test_the_report_shows_no_price():
    priced, work = golden_work()
    text = read_back(inspection_report_pdf(report())).text
    assert "£" not in text
    assert f"{priced.price.net.amount:,.0f}" not in text
    assert not any(f"{one.amount.amount:,.2f}" in text for one in work.lines)


def test_tests_done_and_not_done_are_all_there():
    _, work = golden_work()
    found = report()
    text = squeezed(read_back(inspection_report_pdf(found)).text)
    assert {one.id for one in found.tests} == set(work.cat.tests)
    done = {
        one.test for one in work.scope.judgements.values() if one.test and one.kind not in UNSEEN
    }
    assert {one.id for one in found.tests if one.done} == done
    assert all(squeezed(one.name) in text for one in found.tests)


def test_a_photograph_is_printed_with_its_caption():
    data = inspection_report_pdf(report({"I09": (picture("I09-1", jpeg()),)}))
    found = read_back(data)
    assert "I09-1, 16 November 2026: bore, rule beside it" in found.text
    assert sum(len(page.images) for page in found.reader.pages) == 1
    assert "not to scale" in found.text


@pytest.mark.parametrize(
    ("one", "said"),
    [
        (picture("I09-1", b"", MISSING), "I09-1: the picture is not in the record"),
        (picture("I09-1", b"", DAMAGED), "I09-1: the picture is damaged and cannot be shown"),
        (picture("I09-1", jpeg()[:9000]), "I09-1: the picture is damaged and cannot be shown"),
        (picture("I09-1", b"no picture at all"), "I09-1: the picture is damaged"),
    ],
)
def test_a_lost_photograph_is_said_in_words_and_stops_nothing(one, said):
    whole = picture("I09-2", jpeg())
    found = read_back(inspection_report_pdf(report({"I09": (one, whole)})))
    assert said in found.text
    assert sum(len(page.images) for page in found.reader.pages) == 1


@pytest.mark.parametrize(("locale", "language", "high"), LANGUAGES)
def test_the_papers_fit_their_pages(locale, language, high):
    pictures = {"I09": (picture("I09-1", jpeg()), picture("I09-2", b"", MISSING))}
    _, work = golden_work()
    for data in (
        inspection_report_pdf(report(pictures, language), locale),
        inspection_sheet_pdf(sheet_of_job(work.job, work.cat, DAY, language), locale),
    ):
        apart(data)
        pages = read_back(data).reader.pages
        assert all(round(float(page.mediabox.height)) == high for page in pages)


def test_hostile_text_is_printed_as_it_is():
    priced, _ = golden_work()
    first, *rest = priced.job.findings
    job = replace(priced.job, findings=(replace(first, what=HOSTILE, reading=HOSTILE), *rest),
                  customer=Party(HOSTILE))  # fmt: skip
    work = priced_work(job, priced.cat)
    pictures = {first.id: (picture("x", jpeg(), caption=HOSTILE),)}
    data = inspection_report_pdf(build_inspection_report(work, DAY, pictures))
    assert read_back(data).text.count('<b>&amp; "x" </b>') >= 3


# Blank sheet


@pytest.mark.parametrize("class_id", ["WL28", "CE36", "LC36"])
def test_the_sheet_asks_for_all_that_the_catalogue_asks(class_id):
    cat = for_class(shipped(), class_id)
    text = read_back(inspection_sheet_pdf(sheet_of_class(cat, WORKSHOP, DAY))).text
    flat = squeezed(text)
    for one in cat.measures.values():
        assert f"{one.id}" in text
        assert squeezed(one.name) in flat
    for test in cat.tests.values():
        assert test.id in text
        assert squeezed(test.name) in flat
    assert all(squeezed(one.name) in flat for one in cat.components.values())
    for caution in cat.cautions.values():
        used = any(
            caution.id in row.cautions for row in (*cat.operations.values(), *cat.tests.values())
        )
        assert (squeezed(f"{caution.hazard}. {caution.caution}.") in flat) == used
    assert "£" not in text


def test_limits_stand_beside_what_is_measured():
    cat = for_class(shipped(), "WL28")
    text = read_back(inspection_sheet_pdf(sheet_of_class(cat, WORKSHOP, DAY))).text
    one = cat.measures["M0104"]
    assert f"M0104 · new {one.new} mm · rebuild {one.rebuild_limit.normalize()} mm" in text


def test_the_job_s_sheet_has_the_machine_filled_in():
    _, work = golden_work()
    blank = read_back(inspection_sheet_pdf(sheet_of_class(work.cat, WORKSHOP, DAY))).text
    text = read_back(inspection_sheet_pdf(sheet_of_job(work.job, work.cat, DAY))).text
    for known in (work.job.machine.serial, work.job.customer.name, work.job.title):
        assert known in text
        assert known not in blank


def test_boxes_are_large_enough_for_gloves():
    """Reading boxes are drawn at least 9 mm high and 30 mm wide."""
    cat = for_class(shipped(), "WL28")
    data = inspection_sheet_pdf(sheet_of_class(cat, WORKSHOP, DAY))
    drawn = b"".join(page.get_contents().get_data() for page in read_back(data).reader.pages)
    sizes = [(float(w), float(h)) for w, h in re.findall(rb"0 0 ([\d.]+) ([\d.]+) re", drawn)]
    large = [one for one in sizes if one[0] >= 85 and one[1] >= 25]
    assert len(large) >= len(cat.measures)
