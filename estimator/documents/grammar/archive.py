"""What a file carries beside its pages so that it can be kept for good: described by XMP, colours
tied to sRGB, data attached, made as PDF/A-3b asks (ISO 19005-3). It is not tagged: the engine
cannot, so that level b is all there is.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any
from xml.sax.saxutils import escape

from reportlab.pdfbase.pdfdoc import (
    PDFArray,
    PDFCatalog,
    PDFDictionary,
    PDFName,
    PDFObject,
    PDFPage,
    PDFStream,
    PDFString,
    PDFZCompress,
)

from estimator.documents.grammar.fonts import clean
from estimator.installed import data_root

DATA, SOURCE, ALTERNATIVE = "Data", "Source", "Alternative"  # how an attachment relates to the file
_PRODUCER = "ReportLab PDF Library"
_VERSION = (1, 7)


@dataclass(frozen=True, slots=True)
class Attached:
    """A file inside the document: its name, media type, bytes, and what it is to the document."""

    name: str
    media_type: str
    data: bytes
    description: str
    relation: str = DATA


@dataclass(frozen=True, slots=True)
class Described:
    """What XMP and the older dictionary say of a document, alike."""

    title: str
    author: str
    subject: str
    creator: str
    language: str
    day: date


def make_keepable(canvas: Any, about: Described, attached: tuple[Attached, ...]) -> None:
    """Give the document on `canvas` all that this module tells of. Called once, before it is
    saved."""
    document = canvas._doc
    catalog = document.Catalog
    catalog.__NoDefault__ = [*PDFCatalog.__NoDefault__, "OutputIntents", "AF"]
    catalog.__Refs__ = [*PDFCatalog.__Refs__, "OutputIntents", "AF"]
    document._pdfVersion = max(document._pdfVersion, _VERSION)
    info = document.info
    info.title, info.author, info.subject = about.title, about.author, about.subject
    info.creator, info.producer = about.creator, _PRODUCER
    packet = _packet(about)
    document.updateSignature(packet)
    catalog.Metadata = _Unpacked(
        PDFDictionary({"Type": PDFName("Metadata"), "Subtype": PDFName("XML")}), packet
    )
    catalog.OutputIntents = PDFArray([_output_intent()])
    for one in document.idToObject.values():
        if isinstance(one, PDFPage):
            one.Trans = None  # the engine gives every page an empty one
    if attached:
        _attach(document, catalog, attached, about.day)


class _Unpacked(PDFStream):  # type: ignore[misc]
    """A stream that any program can read without unpacking it."""

    def format(self, document: Any) -> bytes:
        content = self.content if isinstance(self.content, bytes) else self.content.encode()
        head = PDFDictionary({**self.dictionary.dict, "Length": len(content)}).format(document)
        return bytes(head) + b"\nstream\n" + content + b"\nendstream\n"


@cache
def _profile() -> bytes:
    return (data_root() / "resources" / "colour" / "srgb.icc").read_bytes()


def _output_intent() -> PDFObject:
    profile = _packed({"N": 3}, _profile())
    return PDFDictionary({
        "Type": PDFName("OutputIntent"),
        "S": PDFName("GTS_PDFA1"),
        "OutputConditionIdentifier": PDFString("sRGB"),
        "Info": PDFString("sRGB IEC61966-2.1"),
        "DestOutputProfile": profile,
    })  # fmt: skip


def _packed(entries: dict[str, Any], data: bytes) -> PDFStream:
    return PDFStream(PDFDictionary(entries), data, [PDFZCompress])


def _attach(document: Any, catalog: Any, attached: tuple[Attached, ...], day: date) -> None:
    specs = []
    for one in attached:
        document.updateSignature(one.data)
        content = _packed(
            {
                "Type": PDFName("EmbeddedFile"),
                "Subtype": "/" + one.media_type.replace("/", "#2F"),
                "Params": PDFDictionary({
                    "Size": len(one.data),
                    "ModDate": PDFString(f"D:{day:%Y%m%d}000000Z"),
                    "CheckSum": _Hex(hashlib.md5(one.data, usedforsecurity=False).digest()),
                }),
            },
            one.data,
        )  # fmt: skip
        specs.append(document.Reference(PDFDictionary({
            "Type": PDFName("Filespec"),
            "F": PDFString(one.name), "UF": PDFString(one.name),
            "Desc": PDFString(one.description),
            "AFRelationship": PDFName(one.relation),
            "EF": PDFDictionary({"F": document.Reference(content)}),
        })))  # fmt: skip
    names = [part for one, spec in zip(attached, specs, strict=True)
             for part in (PDFString(one.name), spec)]  # fmt: skip
    files = PDFDictionary({"Names": PDFArray(names)})
    catalog.Names = PDFDictionary({"EmbeddedFiles": files})
    catalog.AF = PDFArray(specs)


class _Hex(PDFObject):  # type: ignore[misc]
    """Bytes as a string of hexadecimal digits."""

    def __init__(self, data: bytes) -> None:
        self.data = data

    def format(self, _document: Any) -> bytes:
        return b"<" + self.data.hex().encode() + b">"


def _packet(about: Described) -> str:
    """The XMP packet. Source: ISO 16684-1; identification by ISO 19005-3, part 3, level B."""
    day = f"{about.day.isoformat()}T00:00:00Z"
    title, author, subject, creator, language = (
        escape(clean(text))
        for text in (about.title, about.author, about.subject, about.creator, about.language)
    )
    return f"""<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"
 xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/"
 xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/">
<pdfaid:part>3</pdfaid:part>
<pdfaid:conformance>B</pdfaid:conformance>
<dc:format>application/pdf</dc:format>
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
<dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>
<dc:description><rdf:Alt><rdf:li xml:lang="x-default">{subject}</rdf:li></rdf:Alt></dc:description>
<dc:language><rdf:Bag><rdf:li>{language}</rdf:li></rdf:Bag></dc:language>
<xmp:CreatorTool>{creator}</xmp:CreatorTool>
<xmp:CreateDate>{day}</xmp:CreateDate>
<xmp:ModifyDate>{day}</xmp:ModifyDate>
<pdf:Producer>{_PRODUCER}</pdf:Producer>
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>"""
