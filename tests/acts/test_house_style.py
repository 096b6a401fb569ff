"""The house style kept, changed, worn by what is printed and found again by what was issued."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.house_style import PLAIN, HouseStyle, Signature
from estimator.domain.priced_job import PricedJob
from estimator.services.errors import Conflict, NotAllowed, NotOpened, Refused
from estimator.services.house_style import (
    house_style,
    in_house_style,
    keep_house_style,
    print_sample,
    sample_page,
    style_from_file,
    style_of_issue,
    take_drawing,
)
from estimator.services.issue_quote import issue_quote, reissue
from estimator.services.open_record import Record
from estimator.services.print_quote import quote_bytes
from estimator.services.verify_record import verify_record
from estimator.storage.change_log import entries
from estimator.storage.job_record import issued_quotes
from tests.acts.workshop import ESTIMATOR, LATER, MANAGER, NOW, adopt_all, keep_golden
from tests.documents.house import LOGO, full_style, scrawl
from tests.documents.read_back import read_back


def keep(record: Record, style: HouseStyle, version: int = 0) -> None:
    keep_house_style(record, style, MANAGER, NOW, version)


def test_a_record_begins_plain(record: Record) -> None:
    kept = house_style(record)
    assert (kept.version, kept.style) == (0, PLAIN)


def test_a_style_comes_back_as_it_was_kept(record: Record) -> None:
    style = full_style()
    keep(record, style)
    kept = house_style(record)
    assert (kept.version, kept.style, kept.who, kept.at) == (1, style, "J. Tarn", NOW)
    keep(record, replace(style, phone="1", logo=None), 1)
    assert house_style(record).style.logo is None
    keep(record, style, 2)  # drawings that are kept already are found again
    assert house_style(record).style == style


def test_the_log_tells_what_changed(record: Record) -> None:
    keep(record, HouseStyle(phone="1"))
    keep(record, HouseStyle(phone="2", terms="Ours."), 1)
    keep(record, HouseStyle(phone="2", terms="Ours."), 2)  # nothing changed: nothing is kept
    with record.reading() as session:
        told = entries(session, "house style")
    assert [one.act for one in told] == ["changed the house style"] * 2
    assert '"phone": "1"' in told[1].before
    assert '"phone": "2"' in told[1].after
    assert "footer" not in told[1].after
    assert verify_record(record).faults == ()


def test_only_a_service_manager_changes_it(record: Record) -> None:
    with pytest.raises(NotAllowed, match="may not change the house style"):
        keep_house_style(record, HouseStyle(phone="1"), ESTIMATOR, NOW, 0)
    assert house_style(record).version == 0


def test_a_change_between_is_told(record: Record) -> None:
    keep(record, HouseStyle(phone="1"))
    with pytest.raises(Conflict, match="J. Tarn"):
        keep_house_style(record, HouseStyle(phone="2"), MANAGER, LATER, 0)
    assert house_style(record).style.phone == "1"


def test_faults_are_told_together_and_nothing_is_kept(record: Record) -> None:
    with pytest.raises(Refused) as refused:
        keep(record, HouseStyle(head_colour="#CCCCCC", paper="A5", email="x"))
    assert len(refused.value.problems) == 3
    assert house_style(record).version == 0


def test_what_is_no_logo_is_refused_by_its_name() -> None:
    with pytest.raises(Refused) as refused:
        take_drawing("logo.gif", b"GIF89a")
    assert "logo.gif" in refused.value.problems[0].message
    assert take_drawing("logo.svg", LOGO).kind == "svg"


def test_a_drawing_changed_behind_the_programs_back_is_found(record: Record) -> None:
    keep(record, full_style())
    with record.writing() as session:
        from sqlalchemy import text

        session.connection().execute(text("update house_drawing set data = x'00'"))
    with pytest.raises(NotOpened, match="drawing"):
        house_style(record)


def test_what_is_printed_wears_it_without_a_signature(record: Record, priced: PricedJob) -> None:
    style = full_style()
    keep(record, style)
    with in_house_style(record) as worn:
        assert worn.signatures == ()
        text = read_back(quote_bytes(priced, style=worn)).text
    assert style.phone in text
    assert style.phone not in read_back(quote_bytes(priced)).text


def test_what_was_issued_keeps_its_style(
    record: Record, catalogue: Catalogue, tmp_path: Path
) -> None:
    number = keep_golden(record)
    adopt_all(record, number, catalogue)
    other = Signature("P. Holt", "estimator", scrawl())
    style = full_style(signatures=(*full_style().signatures, other))
    keep(record, style)
    issued = issue_quote(record, number, catalogue, ESTIMATOR, MANAGER, NOW)
    assert issued.style == style.id
    assert style.phone in read_back(issued.pdf).text
    keep(record, PLAIN, 1)
    with record.reading() as session:
        (kept,) = issued_quotes(session, number)
        found = style_of_issue(session, kept)
    assert found == style.signed_by("J. Tarn")
    assert [one.name for one in found.signatures] == ["J. Tarn"]
    again = reissue(record, number, "A", tmp_path / "again.pdf")
    assert again.read_bytes() == issued.pdf
    assert verify_record(record).faults == ()


def test_a_sample_page_is_the_same_again(tmp_path: Path) -> None:
    from estimator.domain.job import Party

    style, day = full_style(), date(2026, 1, 2)
    workshop = Party("Forge", ("1 Lane",))
    assert sample_page(style, workshop, day) == sample_page(style, workshop, day)
    path = print_sample(style, tmp_path / "page.pdf", day, "fr_CA")
    assert path.read_bytes().startswith(b"%PDF")


def test_a_style_is_read_from_a_file_with_drawings_beside_it(tmp_path: Path) -> None:
    (tmp_path / "logo.svg").write_bytes(LOGO)
    (tmp_path / "tarn.png").write_bytes(scrawl().data)
    file = tmp_path / "style.toml"
    file.write_text(
        'phone = "1"\nfooter = ["One", "Two"]\nlogo = "logo.svg"\npaper = "Letter"\n'
        'terms = """\nFirst.\n\nSecond.\n"""\n'
        '[[signatures]]\nname = "J. Tarn"\ncapacity = "service manager"\npicture = "tarn.png"\n',
        encoding="utf-8",
    )
    found = style_from_file(file, HouseStyle(phone="0", web="stays"))
    assert (found.phone, found.web, found.footer, found.paper) == (
        "1", "stays", ("One", "Two"), "Letter")  # fmt: skip
    assert found.terms == "First.\n\nSecond."
    assert found.logo is not None
    assert found.signatures == (Signature("J. Tarn", "service manager", scrawl()),)
    file.write_text('logo = ""\n', encoding="utf-8")
    assert style_from_file(file, found).logo is None


def test_every_fault_of_a_file_is_named(tmp_path: Path) -> None:
    file = tmp_path / "style.toml"
    file.write_text(
        'fone = "1"\nphone = 1\nfooter = "x"\nlogo = "gone.svg"\npaper = "A5"\nsignatures = 3\n',
        encoding="utf-8",
    )
    with pytest.raises(Refused) as refused:
        style_from_file(file, PLAIN)
    columns = {one.place.column for one in refused.value.problems}
    assert columns == {"fone", "phone", "footer", "logo", "paper", "signatures"}
