"""A document's totals written as a UBL 2.1 invoice, so that the official rules can be run on it.

The rules of EN 16931 exist for invoices only; a quote's sums obey the same arithmetic. Parties are
invented and hold no more than the rules ask for.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal

from lxml import etree

from estimator.domain.money import Money
from estimator.domain.tax import Taxed, Totals

_UBL = "urn:oasis:names:specification:ubl:schema:xsd:"
CBC = f"{_UBL}CommonBasicComponents-2"
CAC = f"{_UBL}CommonAggregateComponents-2"
_NAMES = {None: f"{_UBL}Invoice-2", "cbc": CBC, "cac": CAC}


@dataclass(frozen=True)
class Figures:
    """What stands in a document: lines, allowances and charges, and the totals claimed."""

    lines: tuple[Taxed, ...]
    allowances: tuple[Taxed, ...]
    charges: tuple[Taxed, ...]
    totals: Totals
    changed: dict[str, Decimal] = field(default_factory=dict)
    """What is added to a claimed total to see whether the rules notice, by element name."""


def invoice(figures: Figures) -> bytes:
    """The document as UBL."""
    root = etree.Element(f"{{{_UBL}Invoice-2}}Invoice", nsmap=_NAMES)
    currency = figures.totals.net.currency
    for name, text in (
        ("CustomizationID", "urn:cen.eu:en16931:2017"),
        ("ID", "Q-1"),
        ("IssueDate", "2026-11-20"),
        ("InvoiceTypeCode", "380"),
        ("DocumentCurrencyCode", currency),
    ):
        _text(root, name, text)
    _party(root, "AccountingSupplierParty", "Invented workshop", "GB999999973")
    _party(root, "AccountingCustomerParty", "Invented customer", "")
    _text(_group(root, "PaymentTerms"), "Note", "as agreed")
    for one in figures.allowances:
        _allowance(root, one, "false", "Discount")
    for one in figures.charges:
        _allowance(root, one, "true", "Freight")
    _tax(root, figures)
    _monetary_total(root, figures)
    for number, line in enumerate(figures.lines, start=1):
        _line(root, number, line)
    return etree.tostring(root, xml_declaration=True, encoding="UTF-8")


def _text(parent: etree._Element, name: str, text: str, **attributes: str) -> None:
    etree.SubElement(parent, f"{{{CBC}}}{name}", attributes).text = text


def _group(parent: etree._Element, *names: str) -> etree._Element:
    for name in names:
        parent = etree.SubElement(parent, f"{{{CAC}}}{name}")
    return parent


def _sum(parent: etree._Element, name: str, money: Money, figures: Figures) -> None:
    amount = money.amount + figures.changed.get(name, Decimal(0))
    _text(parent, name, f"{amount:f}", currencyID=money.currency)


def _party(root: etree._Element, role: str, name: str, tax_number: str) -> None:
    party = _group(root, role, "Party")
    _text(_group(party, "PostalAddress", "Country"), "IdentificationCode", "GB")
    if tax_number:
        scheme = _group(party, "PartyTaxScheme")
        _text(scheme, "CompanyID", tax_number)
        _text(_group(scheme, "TaxScheme"), "ID", "VAT")
    _text(_group(party, "PartyLegalEntity"), "RegistrationName", name)


def _category(parent: etree._Element, name: str, category: str, rate: Decimal) -> None:
    group = _group(parent, name)
    _text(group, "ID", category)
    _text(group, "Percent", f"{rate:f}")
    if category == "E" and name == "TaxCategory" and parent.tag.endswith("TaxSubtotal"):
        _text(group, "TaxExemptionReason", "exempt")
    _text(_group(group, "TaxScheme"), "ID", "VAT")


def _allowance(root: etree._Element, one: Taxed, is_charge: str, reason: str) -> None:
    group = _group(root, "AllowanceCharge")
    _text(group, "ChargeIndicator", is_charge)
    _text(group, "AllowanceChargeReason", reason)
    _text(group, "Amount", f"{one.amount.amount:f}", currencyID=one.amount.currency)
    _category(group, "TaxCategory", one.category, one.rate)


def _tax(root: etree._Element, figures: Figures) -> None:
    totals = figures.totals
    group = _group(root, "TaxTotal")
    _sum(group, "TaxAmount", totals.tax, figures)
    for position, line in enumerate(totals.taxes):
        part = _group(group, "TaxSubtotal")
        currency = line.base.currency
        _text(part, "TaxableAmount", f"{line.base.amount:f}", currencyID=currency)
        tax = line.tax.amount
        if position == 0:
            tax += figures.changed.get("first tax line", Decimal(0))
        _text(part, "TaxAmount", f"{tax:f}", currencyID=currency)
        _category(part, "TaxCategory", line.category, line.rate)


def _monetary_total(root: etree._Element, figures: Figures) -> None:
    totals = figures.totals
    group = _group(root, "LegalMonetaryTotal")
    for name, money in (
        ("LineExtensionAmount", totals.lines),
        ("TaxExclusiveAmount", totals.net),
        ("TaxInclusiveAmount", totals.gross),
        ("AllowanceTotalAmount", totals.allowances),
        ("ChargeTotalAmount", totals.charges),
        ("PayableAmount", totals.gross),
    ):
        _sum(group, name, money, figures)


def _line(root: etree._Element, number: int, line: Taxed) -> None:
    """One line; a credit has a quantity of -1, since a price may not be negative (BR-27)."""
    group = _group(root, "InvoiceLine")
    amount, currency = line.amount.amount, line.amount.currency
    _text(group, "ID", str(number))
    _text(group, "InvoicedQuantity", "-1" if amount < 0 else "1", unitCode="C62")
    _text(group, "LineExtensionAmount", f"{amount:f}", currencyID=currency)
    item = _group(group, "Item")
    _text(item, "Name", f"line {number}")
    _category(item, "ClassifiedTaxCategory", line.category, line.rate)
    price = _group(group, "Price")
    _text(price, "PriceAmount", f"{abs(amount):f}", currencyID=currency)


def taxed(amounts: Iterable[str], rate: str, category: str = "S", currency: str = "EUR"):
    """Sums given as text, all in one category and rate."""
    return tuple(
        Taxed(Money(round(Decimal(amount) * 100), currency), category, Decimal(rate))
        for amount in amounts
    )
