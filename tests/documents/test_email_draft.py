"""An e-mail draft as a mail program reads it: the file attached byte for byte, no header added by
what stands in a field, the same bytes for the same draft."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from email import policy
from email.message import EmailMessage
from email.parser import BytesParser

import pytest

from estimator.documents.files import email_labels, email_texts
from estimator.documents.files.email_draft import (
    EmailDraft,
    address_in,
    email_draft,
    one_line,
    safe_name,
)
from estimator.documents.grammar.spoken import speaking
from estimator.services.draft_email import DRAFTS

PDF = b"%PDF-1.4\n" + bytes(range(256)) * 40 + b"\r\n.\r\nFrom nobody\r\n%%EOF"
DRAFT = EmailDraft(
    to="plant@ostrey.example",
    subject="Variation V04 rev 1 to Q-2041 rev A",
    body="Dear Ostrey Aggregates,\n\nplease find attached.\n.\nFrom us\n",
    file_name="Variation V04 rev 1 to Q-2041 rev A",
    pdf=PDF,
    at=datetime(2026, 12, 23, 12, 0, tzinfo=UTC),
    message_id="0123abcd@shimwright.invalid",
)
KNOWN = {"To", "Subject", "Date", "Message-ID", "X-Unsent", "MIME-Version", "Content-Type"}


def parsed(draft: EmailDraft) -> EmailMessage:
    message = BytesParser(policy=policy.default).parsebytes(email_draft(draft))
    assert isinstance(message, EmailMessage)
    return message


def test_it_is_a_draft_with_the_paper_attached():
    message = parsed(DRAFT)
    assert not message.defects
    assert message["X-Unsent"] == "1"
    assert message["To"].addresses[0].addr_spec == "plant@ostrey.example"
    assert message["Subject"] == DRAFT.subject
    assert message["Date"].datetime == DRAFT.at
    assert message["Message-ID"] == "<0123abcd@shimwright.invalid>"
    (attached,) = message.iter_attachments()
    assert attached.get_content_type() == "application/pdf"
    assert attached.get_filename() == "Variation V04 rev 1 to Q-2041 rev A.pdf"
    assert attached.get_content() == PDF
    body = message.get_body(("plain",))
    assert body is not None
    assert body.get_content().splitlines() == DRAFT.body.splitlines()
    assert set(message.keys()) == KNOWN


def test_same_draft_same_bytes_and_short_lines():
    data = email_draft(DRAFT)
    assert email_draft(DRAFT) == data
    assert email_draft(replace(DRAFT, pdf=PDF + b" ")) != data
    assert data.count(b"\n") == data.count(b"\r\n")
    assert max(map(len, data.split(b"\r\n"))) <= 998
    assert data.isascii()


BREAKS = ["\r\n", "\n", "\r", "\u2028", "\u2029", "\x85", "\v", "\f", "\x00", "\x1c"]


@pytest.mark.parametrize("sign", BREAKS)
def test_a_line_break_in_a_field_adds_no_header(sign):
    evil = f"Hello{sign}Bcc: thief@evil.example{sign}{sign}<html>"
    message = parsed(replace(DRAFT, subject=evil, file_name=evil, to=f"a@b.example{sign}Cc: x"))
    assert set(message.keys()) == KNOWN
    assert message["Subject"].replace(" ", "") == "HelloBcc:thief@evil.example<html>"
    (attached,) = message.iter_attachments()
    assert attached.get_content() == PDF
    assert set(attached.keys()) == {
        "Content-Type", "Content-Transfer-Encoding", "Content-Disposition", "MIME-Version",
    }  # fmt: skip
    name = attached.get_filename()
    assert name is not None
    assert name.endswith(".pdf")
    assert name.isprintable()


@pytest.mark.parametrize("sign", BREAKS)
def test_an_identity_with_a_line_break_is_refused(sign):
    with pytest.raises(ValueError, match="identifies no message"):
        email_draft(replace(DRAFT, message_id=f"a{sign}Bcc: x@y"))


def test_a_time_without_a_zone_is_refused():
    with pytest.raises(ValueError, match="with its zone"):
        email_draft(replace(DRAFT, at=datetime(2026, 12, 23)))
    zone = timezone(timedelta(hours=1))
    assert b"Wed, 23 Dec 2026 12:00:00 +0100" in email_draft(
        replace(DRAFT, at=datetime(2026, 12, 23, 12, tzinfo=zone))
    )


@pytest.mark.parametrize(
    ("contact", "address"),
    [
        ("plant@ostrey.example", "plant@ostrey.example"),
        ("R. Ostrey, r.ostrey@ostrey.example, 01234 567", "r.ostrey@ostrey.example"),
        ("R. Ostrey <r.ostrey@ostrey.example>", "r.ostrey@ostrey.example"),
        ("mailto:r@o.example", "r@o.example"),
        ("a@b.example or c@d.example", ""),
        ("a@b.example; A@b.example", ""),
        ("01234 567", ""),
        ("", ""),
        ("a@b", ""),
        (".a@b.example", ""),
        ("a..b@c.example", ""),
        ("x" * 65 + "@b.example", ""),
        ("m\u00fcller@b.example", ""),
    ],
)
def test_the_one_address_of_a_contact(contact, address):
    assert address_in(contact) == address
    message = parsed(replace(DRAFT, to=contact))
    assert (message["To"].addresses[0].addr_spec if message["To"] else "") == address


def test_text_of_any_script_comes_back():
    draft = replace(
        DRAFT, subject="Prüfbericht 重机 Ж" * 4, body="Grüße\u202e Ж\n", file_name="Ж/重: a"
    )
    message = parsed(draft)
    assert message["Subject"] == draft.subject
    body = message.get_body(("plain",))
    assert body is not None
    assert body.get_content().splitlines() == ["Grüße Ж"]
    (attached,) = message.iter_attachments()
    assert attached.get_filename() == "Ж-重- a.pdf"


@pytest.mark.parametrize("language", ["de", "fr", "es", "pl"])
def test_its_words_are_said_in_the_language_of_the_paper(language):
    english = [*email_texts.SUBJECTS.values(), email_texts.BODY, email_texts.ASKS]
    with speaking(language):
        said = [*email_labels.SUBJECTS.values(), email_labels.BODY, email_labels.ASKS]
    assert not set(said) & set(english)
    assert set(email_texts.SUBJECTS) == set(DRAFTS)


def test_names_and_lines():
    assert one_line(" a\r\n\tb\u202ec ") == "a bc"
    assert safe_name("../../etc/passwd") == "-..-etc-passwd.pdf"
    assert safe_name("...") == "paper.pdf"
    assert safe_name("V04.pdf") == "V04.pdf"
    assert len(safe_name("x" * 500)) == 124
