"""An e-mail that waits to be looked at and sent by hand: an RFC 5322 message as bytes.

`X-Unsent: 1` has mail programs that know it open the file as a draft. Whatever comes in as text is
one line in a header: a line break in it can neither add a header nor end them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime
from unicodedata import category

_ADDRESS = re.compile(r"[^\s@<>\"(),:;\[\\\]]+@[A-Za-z0-9-]+(?:\.[A-Za-z0-9-]+)*\.[A-Za-z]{2,63}")
_LONGEST_LOCAL, _LONGEST_ADDRESS = 64, 254
_LONGEST_SUBJECT = 200
_IDENTITY = re.compile(r"[A-Za-z0-9.!#$%&'*+/=?^_`{|}~-]+@[A-Za-z0-9.-]+")
_NOT_IN_NAMES = '<>:"/\\|?*'


@dataclass(frozen=True, slots=True)
class Attachment:
    """A further file: its name without ending, the ending, what type it is (`text/calendar`)."""

    file_name: str
    ending: str  # with its dot
    media_type: str
    content: bytes


@dataclass(frozen=True, slots=True)
class EmailDraft:
    """What a draft holds. `to` may be anything: only an address stands in the message."""

    to: str
    subject: str
    body: str
    file_name: str
    pdf: bytes
    at: datetime
    message_id: str  # left part @ right part, without the angle brackets
    more: tuple[Attachment, ...] = ()  # files beside the PDF, in order


def one_line(text: str) -> str:
    """`text` on one line, without control and direction signs, line separators included."""
    spaced = (" " if one.isspace() or category(one) in ("Zl", "Zp") else one for one in text)
    plain = "".join(one for one in spaced if category(one) not in ("Cc", "Cf", "Cs", "Cn", "Co"))
    return " ".join(plain.split())


def address_in(text: str) -> str:
    """The one e-mail address that a contact holds; "" where it holds none, or several.

    A name, a telephone number and an address in one field are common; two addresses are a choice
    that only the sender can make.
    """
    found = dict.fromkeys(_ADDRESS.findall(one_line(text)))
    if len(found) != 1:
        return ""
    (address,) = found
    local = address.rpartition("@")[0]
    dots = local.startswith(".") or local.endswith(".") or ".." in local
    too_long = len(local) > _LONGEST_LOCAL or len(address) > _LONGEST_ADDRESS
    return "" if dots or too_long or not address.isascii() else address


def safe_name(text: str, ending: str = ".pdf") -> str:
    """A file name that every system takes, with this ending."""
    stem = "".join("-" if one in _NOT_IN_NAMES else one for one in one_line(text)).strip(" .")
    stem = stem.removesuffix(ending) or "paper"
    return f"{stem[:120]}{ending}"


def email_draft(draft: EmailDraft) -> bytes:
    """The message as a file: the same draft gives the same bytes. Raises ValueError on an identity
    that is none, and on a time without a zone."""
    if not _IDENTITY.fullmatch(draft.message_id):
        raise ValueError(f"{draft.message_id!r} identifies no message")
    if draft.at.tzinfo is None:
        raise ValueError("a message is dated with its zone")
    message = EmailMessage(policy=SMTP)
    if address := address_in(draft.to):
        message["To"] = Address(addr_spec=address)
    message["Subject"] = one_line(draft.subject)[:_LONGEST_SUBJECT]
    message["Date"] = format_datetime(draft.at)
    message["Message-ID"] = f"<{draft.message_id}>"
    message["X-Unsent"] = "1"
    lines = draft.body.splitlines()
    message.set_content("\n".join(map(_kept, lines)) + "\n", charset="utf-8", cte="base64")
    message.add_attachment(
        draft.pdf, maintype="application", subtype="pdf", filename=safe_name(draft.file_name)
    )
    for one in draft.more:
        main, _, sub = one.media_type.partition("/")
        name = safe_name(one.file_name, one.ending)
        message.add_attachment(one.content, maintype=main, subtype=sub, filename=name, cte="base64")
    message.set_boundary(f"=_{draft.message_id.partition('@')[0][:48]}")
    return message.as_bytes()


def _kept(line: str) -> str:
    """A line of the body without control and direction signs."""
    return "".join(one for one in line if one == "\t" or category(one) not in ("Cc", "Cf", "Cs"))
