"""A quotation's XML turned into an invoice, element by element, so that the official rules for
invoices can be run on its figures. What is changed is named in `changed`."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from lxml import etree

_UBL = "urn:oasis:names:specification:ubl:schema:xsd:"
QUOTATION = f"{_UBL}Quotation-2"
NAMES = {"q": QUOTATION, "cac": f"{_UBL}CommonAggregateComponents-2",
         "cbc": f"{_UBL}CommonBasicComponents-2"}  # fmt: skip
_HEAD = (
    ("CustomizationID", "urn:cen.eu:en16931:2017"), ("ID", ""), ("IssueDate", ""),
    ("InvoiceTypeCode", "380"), ("DocumentCurrencyCode", ""),
)  # fmt: skip


def invoice_of(quotation: bytes, changed: Mapping[str, Decimal] | None = None) -> bytes:
    """The same figures as an invoice. `changed`: path of an element to what is added to it."""
    source = etree.fromstring(quotation)
    for path, by in (changed or {}).items():
        found = source.xpath(path, namespaces=NAMES)
        assert found, path
        found[0].text = f"{Decimal(found[0].text) + by:f}"
    root = etree.Element(f"{{{_UBL}Invoice-2}}Invoice",
                         nsmap={None: f"{_UBL}Invoice-2", "cac": NAMES["cac"],
                                "cbc": NAMES["cbc"]})  # fmt: skip
    told = {"ID": _one(source, "cbc:ID"), "IssueDate": _one(source, "cbc:IssueDate"),
            "DocumentCurrencyCode": _one(source, "cbc:PricingCurrencyCode")}  # fmt: skip
    for name, text in _HEAD:
        _basic(root, name, text or told[name])
    _party(root, "AccountingSupplierParty", _one(source, "cac:SellerSupplierParty//cbc:Name"), "GB")
    _party(root, "AccountingCustomerParty", _one(source, "cac:BuyerCustomerParty//cbc:Name"), "")
    _basic(_group(root, "PaymentTerms"), "Note", "as agreed")
    for name in ("AllowanceCharge", "TaxTotal"):
        root.extend(source.findall(f"cac:{name}", NAMES))
    total = source.find("cac:QuotedMonetaryTotal", NAMES)
    total.tag = f"{{{NAMES['cac']}}}LegalMonetaryTotal"
    root.append(total)
    for line in source.findall("cac:QuotationLine/cac:LineItem", NAMES):
        root.append(_line(line))
    return etree.tostring(root, xml_declaration=True, encoding="UTF-8")


def _line(item: etree._Element) -> etree._Element:
    line = etree.Element(f"{{{NAMES['cac']}}}InvoiceLine")
    _basic(line, "ID", _one(item, "cbc:ID"))
    quantity = item.find("cbc:Quantity", NAMES)
    quantity.tag = f"{{{NAMES['cbc']}}}InvoicedQuantity"
    line.append(quantity)
    for name in ("cbc:LineExtensionAmount", "cac:Item", "cac:Price"):
        line.append(item.find(name, NAMES))
    return line


def _one(parent: etree._Element, path: str) -> str:
    found = parent.find(path if path.startswith(("cbc", "cac")) else path, NAMES)
    assert found is not None, path
    return str(found.text)


def _party(root: etree._Element, role: str, name: str, tax_country: str) -> None:
    party = _group(root, role, "Party")
    _basic(_group(party, "PostalAddress", "Country"), "IdentificationCode", "GB")
    if tax_country:
        scheme = _group(party, "PartyTaxScheme")
        _basic(scheme, "CompanyID", f"{tax_country}999999973")
        _basic(_group(scheme, "TaxScheme"), "ID", "VAT")
    _basic(_group(party, "PartyLegalEntity"), "RegistrationName", name)


def _group(parent: etree._Element, *names: str) -> etree._Element:
    for name in names:
        parent = etree.SubElement(parent, f"{{{NAMES['cac']}}}{name}")
    return parent


def _basic(parent: etree._Element, name: str, text: str) -> None:
    etree.SubElement(parent, f"{{{NAMES['cbc']}}}{name}").text = text
