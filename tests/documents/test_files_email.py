"""A draft with several files, read back by the standard parser."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from email import policy
from email.message import EmailMessage
from email.parser import BytesParser

import pytest

from estimator.documents.files.email_draft import Attachment, EmailDraft, email_draft, safe_name

BINARY = bytes(range(256)) * 30
LONG = "Angebot für die Instandsetzung 重机 Ж " * 8
MORE = (
    Attachment(LONG, ".xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
               BINARY),
    Attachment("a/b:c\r\nBcc: x@y.example", ".xml", "application/xml", "<ä/>\r\n".encode()),
    Attachment("dates", ".ics", "text/calendar", b"BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n"),
    Attachment("plain", ".csv", "text/csv", "\ufeffa,b\r\nü,\"x\"\r\n".encode()),
)  # fmt: skip
DRAFT = EmailDraft(
    to="plant@ostrey.example", subject="Quote Q-2041 rev A", body="Dear all,\n\nplease find.\n",
    file_name="Quote", pdf=b"%PDF-" + BINARY, at=datetime(2026, 12, 23, 12, tzinfo=UTC),
    message_id="0123abcd@shimwright.invalid", more=MORE,
)  # fmt: skip


def parsed(draft: EmailDraft) -> EmailMessage:
    message = BytesParser(policy=policy.default).parsebytes(email_draft(draft))
    assert isinstance(message, EmailMessage)
    assert not message.defects
    return message


def test_every_file_comes_back_byte_for_byte():
    attached = list(parsed(DRAFT).iter_attachments())
    assert [one.get_payload(decode=True) for one in attached] == [
        DRAFT.pdf, *(one.content for one in MORE),
    ]  # fmt: skip
    assert [one.get_content_type() for one in attached] == [
        "application/pdf", *(one.media_type for one in MORE),
    ]  # fmt: skip
    assert {one.get_content_disposition() for one in attached} == {"attachment"}
    assert not [one.defects for one in attached if one.defects]


def test_names_long_and_of_any_script():
    names = [one.get_filename() for one in parsed(DRAFT).iter_attachments()]
    assert names[1] == f"{LONG.strip()[:120]}.xlsx"
    assert names[2] == "a-b-c Bcc- x@y.example.xml"
    assert names[3:] == ["dates.ics", "plain.csv"]
    assert set(parsed(DRAFT).keys()) == {
        "To", "Subject", "Date", "Message-ID", "X-Unsent", "MIME-Version", "Content-Type",
    }  # fmt: skip


def test_lines_are_short_and_bytes_the_same():
    data = email_draft(DRAFT)
    assert data == email_draft(DRAFT)
    assert data != email_draft(replace(DRAFT, more=MORE[:-1]))
    assert data.isascii()
    assert data.count(b"\n") == data.count(b"\r\n")
    assert max(map(len, data.split(b"\r\n"))) <= 998


@pytest.mark.parametrize("name", ["x.xlsx", "x", "x.xlsx ."])
def test_an_ending_is_told_once(name):
    assert safe_name(name, ".xlsx") == "x.xlsx"
