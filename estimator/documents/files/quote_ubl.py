"""A quote as a Quotation of UBL 2.1 (OASIS), for order systems.

Each line states its sum as the price of its whole quantity (`BaseQuantity`), so that quantity times
price is the line amount exactly and no price of one is invented. The contingency is a line of its
own; how sure a line is, and the range a provisional one may move in, stand with it. Totals follow
EN 16931: lines, less the discount as an allowance, plus carriage and levies as charges, tax by
category.
"""

from __future__ import annotations

import uuid
import xml.etree.ElementTree as ET
from datetime import timedelta
from decimal import Decimal

from estimator.documents.files import file_labels as labels
from estimator.documents.files.email_draft import address_in
from estimator.documents.files.file_text import number_text, one_line
from estimator.documents.files.quote_rows import (
    HELD,
    NOTHING_APART,
    FileLine,
    FileQuote,
    beside,
    certainty_name,
    contingency_name,
    exemption,
    file_lines,
    kind_name,
)
from estimator.documents.files.unit_codes import unit_code
from estimator.documents.grammar.spoken import speaking, tag
from estimator.domain.job import Party
from estimator.domain.money import Money
from estimator.domain.tax import TaxLine

_UBL = "urn:oasis:names:specification:ubl:schema:xsd:"
_SPACES = {
    "xmlns": f"{_UBL}Quotation-2",
    "xmlns:cac": f"{_UBL}CommonAggregateComponents-2",
    "xmlns:cbc": f"{_UBL}CommonBasicComponents-2",
}
_TAX_SCHEME = "VAT"  # UNCL 5153: value added tax, the only scheme that EN 16931 knows
_NAMED = "urn:shimwright:quote:"


def quote_ubl(source: FileQuote) -> bytes:
    """The document as XML in UTF-8. The same quote gives the same bytes. Raises ValueError where
    there is no line: the schema asks for one at least."""
    with speaking(source.quote.language):
        lines = _lines(source)
        if not lines:
            raise ValueError("a quotation has one line at least")
        root = ET.Element("Quotation", _SPACES)
        _head(root, source, len(lines))
        _party(root, "cac:SellerSupplierParty", source.job.workshop)
        _party(root, "cac:BuyerCustomerParty", source.job.customer)
        _dates(root, source)
        _stages(root, source)
        _allowances(root, source)
        _taxes(root, source)
        _totals(root, source)
        for number, line in enumerate(lines, start=1):
            _line(root, source, number, line)
    ET.indent(root, " ")
    content: bytes = ET.tostring(root, "utf-8")
    return b'<?xml version="1.0" encoding="UTF-8"?>\n' + content + b"\n"


def _lines(source: FileQuote) -> list[FileLine]:
    lines, held = file_lines(source), source.price.contingency
    if held:
        certainty = NOTHING_APART if source.fixed else HELD
        lines.append(FileLine(HELD, contingency_name(source), held, certainty))
    return lines


def _group(parent: ET.Element, *names: str) -> ET.Element:
    for name in names:
        parent = ET.SubElement(parent, name)
    return parent


def _text(parent: ET.Element, name: str, text: str, **attributes: str) -> None:
    """A value that may come from anywhere; none where it is empty, as UBL asks."""
    if plain := one_line(text):
        ET.SubElement(parent, name, attributes).text = plain


def _sum(parent: ET.Element, name: str, money: Money) -> None:
    _text(parent, name, f"{money.amount:f}", currencyID=money.currency)


def _head(root: ET.Element, source: FileQuote, count: int) -> None:
    job = source.job
    _text(root, "cbc:UBLVersionID", "2.1")
    _text(root, "cbc:ID", f"{job.number}-{job.revision}")
    _text(root, "cbc:UUID", str(uuid.uuid5(uuid.NAMESPACE_URL, f"{_NAMED}{source.quote.record}")))
    _text(root, "cbc:IssueDate", job.date.isoformat())
    title = labels.TITLE.format(title=job.title)
    state = labels.ISSUED if source.issued else labels.DRAFT
    language = {"languageID": tag()}
    _text(root, "cbc:Note", f"{title}. {state}.", **language)
    if source.issued:
        _text(root, "cbc:Note", f"{labels.RECORD} {source.quote.record}", **language)
    machine = source.quote.priced.cat.machine_class.type
    _text(root, "cbc:Note", f"{labels.MACHINE}: {machine}, {labels.SERIAL.lower()} "
          f"{job.machine.serial}", **language)  # fmt: skip
    _text(root, "cbc:PricingCurrencyCode", source.currency)
    _text(root, "cbc:LineCountNumeric", str(count))
    period = _group(root, "cac:ValidityPeriod")
    _text(period, "cbc:StartDate", job.date.isoformat())
    _text(period, "cbc:EndDate", source.quote.valid_until.isoformat())


def _party(root: ET.Element, role: str, who: Party) -> None:
    party = _group(root, role, "cac:Party")
    if one_line(who.name):
        _text(_group(party, "cac:PartyName"), "cbc:Name", who.name)
    lines = [one for one in who.address if one_line(one)]
    if lines:
        address = _group(party, "cac:PostalAddress")
        for line in lines:
            _text(_group(address, "cac:AddressLine"), "cbc:Line", line)
    if one_line(who.contact):
        contact = _group(party, "cac:Contact")
        _text(contact, "cbc:ElectronicMail", address_in(who.contact))
        _text(contact, "cbc:Note", who.contact)


def _dates(root: ET.Element, source: FileQuote) -> None:
    """When the machine is ready: the likely day to the day planned by, the last a whole day."""
    period = _group(root, "cac:Delivery", "cac:EstimatedDeliveryPeriod")
    likely, planned = source.quote.ready_likely, source.quote.ready_covered
    _text(period, "cbc:StartDate", min(likely, planned).isoformat())
    _text(period, "cbc:EndDate", planned.isoformat())
    _text(period, "cbc:DurationMeasure",
          str(max((planned - likely) // timedelta(days=1), 0)), unitCode="DAY")  # fmt: skip
    _text(period, "cbc:Description", labels.READY_NOTE)


def _stages(root: ET.Element, source: FileQuote) -> None:
    stages = source.job.terms.stages
    if not stages:
        return
    conditions = _group(root, "cac:TransactionConditions")
    for one in stages:
        share = number_text(one.share * 100)
        _text(conditions, "cbc:Description",
              labels.STAGE_CONDITION.format(share=share, when=one.when))  # fmt: skip


def _category(parent: ET.Element, name: str, tax: TaxLine, reason: str = "") -> None:
    group = _group(parent, name)
    _text(group, "cbc:ID", tax.category)
    _text(group, "cbc:Percent", number_text(tax.rate))
    _text(group, "cbc:TaxExemptionReason", reason)
    _text(_group(group, "cac:TaxScheme"), "cbc:ID", _TAX_SCHEME)


def _the_tax(source: FileQuote) -> TaxLine:
    """The one category that everything in a quote falls under."""
    return source.price.totals.taxes[0]


def _allowances(root: ET.Element, source: FileQuote) -> None:
    for one in beside(source):
        taken_off = one.amount.minor < 0
        group = _group(root, "cac:AllowanceCharge")
        _text(group, "cbc:ChargeIndicator", "false" if taken_off else "true")
        _text(group, "cbc:AllowanceChargeReason", one.name)
        _sum(group, "cbc:Amount", -one.amount if taken_off else one.amount)
        _category(group, "cac:TaxCategory", _the_tax(source))


def _taxes(root: ET.Element, source: FileQuote) -> None:
    totals = source.price.totals
    group = _group(root, "cac:TaxTotal")
    _sum(group, "cbc:TaxAmount", totals.tax)
    for one in totals.taxes:
        part = _group(group, "cac:TaxSubtotal")
        _sum(part, "cbc:TaxableAmount", one.base)
        _sum(part, "cbc:TaxAmount", one.tax)
        _category(part, "cac:TaxCategory", one, exemption(source, one))


def _totals(root: ET.Element, source: FileQuote) -> None:
    totals = source.price.totals
    group = _group(root, "cac:QuotedMonetaryTotal")
    for name, money in (
        ("cbc:LineExtensionAmount", totals.lines),
        ("cbc:TaxExclusiveAmount", totals.net),
        ("cbc:TaxInclusiveAmount", totals.gross),
        ("cbc:AllowanceTotalAmount", totals.allowances),
        ("cbc:ChargeTotalAmount", totals.charges),
        ("cbc:PayableAmount", totals.gross),
    ):
        _sum(group, name, money)


def _line(root: ET.Element, source: FileQuote, number: int, line: FileLine) -> None:
    outer = _group(root, "cac:QuotationLine")
    _text(outer, "cbc:ID", str(number))
    inner = _group(outer, "cac:LineItem")
    _text(inner, "cbc:ID", str(number))
    _text(inner, "cbc:Note", line.why)
    unit = unit_code(line.unit)
    _quantity(inner, "cbc:Quantity", line.quantity, unit)
    _sum(inner, "cbc:LineExtensionAmount", line.amount)
    if line.moves:
        _quantity(inner, "cbc:MinimumQuantity", line.low, unit)
        _quantity(inner, "cbc:MaximumQuantity", line.high, unit)
    price = _group(inner, "cac:Price")
    _sum(price, "cbc:PriceAmount", line.amount)
    if line.quantity:
        _quantity(price, "cbc:BaseQuantity", line.quantity, unit)
    item = _group(inner, "cac:Item")
    _text(item, "cbc:Name", one_line(line.name) or line.reference)
    _text(_group(item, "cac:SellersItemIdentification"), "cbc:ID", line.reference)
    _category(item, "cac:ClassifiedTaxCategory", _the_tax(source))
    _properties(item, line)


def _quantity(parent: ET.Element, name: str, value: Decimal, unit: str) -> None:
    _text(parent, name, number_text(value), unitCode=unit)


def _properties(item: ET.Element, line: FileLine) -> None:
    told = (
        (labels.PROPERTY_CERTAINTY, certainty_name(line.certainty)),
        (labels.PROPERTY_GROUP, line.group_name),
        (labels.PROPERTY_KIND, kind_name(line.kind)),
    )
    for name, value in told:
        if one_line(value):
            group = _group(item, "cac:AdditionalItemProperty")
            _text(group, "cbc:Name", name)
            _text(group, "cbc:Value", value)
