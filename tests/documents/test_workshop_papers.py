"""Parts list, outwork request, job card and cost sheet, read back from the printed text alone."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import cache

import pytest

from estimator.documents.grammar.dress import dressed
from estimator.documents.workshop.cost_sheet import cost_sheet_pdf
from estimator.documents.workshop.job_card import job_card_pdf
from estimator.documents.workshop.outwork_request import outwork_request_pdf
from estimator.documents.workshop.parts_list import parts_list_pdf
from estimator.domain.enquiry import range_so_far
from estimator.domain.house_style import HouseStyle
from estimator.domain.job import OwnLine, Party
from estimator.domain.priced_work import priced_work
from estimator.domain.workshop_papers.cost_sheet import build_cost_sheet
from estimator.domain.workshop_papers.job_card import (
    ORDERED,
    STRIP_ORDERED,
    Authority,
    NoSuchTrade,
    build_job_card,
    trades_of,
)
from estimator.domain.workshop_papers.outwork_request import (
    NoSuchSupplier,
    build_outwork_request,
    suppliers_of,
)
from estimator.domain.workshop_papers.parts_list import build_parts_list
from tests.documents.contract_sources import golden_work, sources_at
from tests.documents.read_back import boxes, none_over_another, read_back

DAY = date(2026, 11, 25)
SUM = re.compile(r"^\u2212?[\d,]+\.\d\d$")
BAND = "INTERNAL \u00b7 NOT FOR THE CUSTOMER"
LANGUAGES = [("en_GB", "en", 842), ("de_DE", "de", 842), ("en_US", "en_US", 792)]
KINDS = {"labour": "Labour", "parts": "Parts", "outwork": "Outwork"}
HOSTILE = '<b>&amp; "x" </b> \u202e\u0414\u043e\u043c \u65e5\u672c ' + "W" * 90


def amount(text: str) -> Decimal:
    return Decimal(text.replace(",", "").replace("\u2212", "-").lstrip("£"))


def apart(data: bytes) -> None:
    """No text outside the paper, and none over other text."""
    found = [one for one in boxes(data) if one[5].strip()]
    assert all(
        left >= 40 and right <= 556 and bottom >= 20 for _, left, bottom, right, _, _ in found
    )
    none_over_another(found)


@cache
def parts(for_customer: bool):
    return build_parts_list(golden_work()[1], DAY, for_customer=for_customer)


@cache
def costs():
    priced, work = golden_work()
    return build_cost_sheet(priced, range_so_far(work, priced.contingency), DAY)


# Parts list


def test_the_store_s_sums_add_up_from_the_print():
    """Each row prints its cost each, then its cost; each supplier its sum; then all of them."""
    lines = read_back(parts_list_pdf(parts(False))).lines
    end = lines.index("Cost of all parts")
    whole = amount(lines[end + 1])
    at = [place for place, line in enumerate(lines) if line == "Cost of these"]
    start, suppliers = 0, []
    for place in at:
        rows = [amount(line) for line in lines[start:place] if SUM.match(line)]
        suppliers.append(amount(lines[place + 1]))
        assert sum(rows[1::2]) == suppliers[-1]
        start = place + 2
    assert sum(suppliers) == whole


def test_the_store_s_list_is_marked_on_every_page():
    found = read_back(parts_list_pdf(parts(False)))
    assert all(page.count(BAND) >= 2 for page in found.pages)


def test_the_customer_s_list_shows_no_cost_and_no_supplier():
    found = read_back(parts_list_pdf(parts(True)))
    shown = {amount(line) for line in found.lines if SUM.match(line)}
    charges = {row.exchange for one in parts(True).sections for row in one.rows} - {None}
    allowed = {one.charge.amount for one in charges} | {one.charge_each.amount for one in charges}
    assert shown <= allowed | {parts(True).charges.amount}
    assert "Cost" not in found.text
    assert BAND not in found.text
    assert all(row.cost is None and row.cost_each is None
               for one in parts(True).sections for row in one.rows)  # fmt: skip
    suppliers = golden_work()[1].cat.suppliers.values()
    assert not [row for row in suppliers if " parts" in row.supplies and row.supplies in found.text]


def test_both_lists_hold_every_part_of_the_scope():
    bought = {one.id for one in golden_work()[1].lines if one.line.kind == "parts"}
    for form in (True, False):
        text = read_back(parts_list_pdf(parts(form))).text
        assert all(code in text for code in bought)


def test_exchange_units_go_back_after_they_came():
    units = [row for one in parts(True).sections for row in one.rows if row.exchange]
    assert units
    assert all((row.exchange.back_by - row.here).days == 30 for row in units)
    text = read_back(parts_list_pdf(parts(True))).text
    held = sum(row.exchange.charge.amount for row in units)
    assert f"Charges held together {held:,.2f}" in text


# Outwork


def test_a_request_holds_the_supplier_s_lines_alone_and_no_price():
    _, work = golden_work()
    seen: set[str] = set()
    for code, _ in suppliers_of(work):
        request = build_outwork_request(work, code, DAY)
        text = read_back(outwork_request_pdf(request)).text
        own = {one.id for one in request.lines}
        assert not own & seen
        seen |= own
        assert all(f"{one.id} {one.what}" in text for one in request.lines)
        assert work.job.customer.name not in text
        assert all(part in text for part in work.job.workshop.address)
        assert "£" not in text
        prices = {f"{one.amount.amount:,.0f}" for one in work.lines if one.id in own}
        prices |= {f"{one.cost:,.0f}" for one in work.lines if one.id in own}
        words = set(re.findall(r"[\d,]{3,}", text))
        assert not {one for one in prices if len(one) > 2} & words - {"2026", "2027"}
    assert seen == {one.id for one in work.lines if one.line.kind == "outwork"}


def test_a_request_says_when_work_leaves_and_is_wanted_back():
    _, work = golden_work()
    for code, _ in suppliers_of(work):
        for one in build_outwork_request(work, code, DAY).lines:
            assert one.out is not None
            assert one.back is not None
            assert work.job.start <= one.out <= one.back


def test_a_supplier_that_the_scope_does_not_need():
    with pytest.raises(NoSuchSupplier):
        build_outwork_request(golden_work()[1], "nobody", DAY)


# Job card


def test_hours_of_all_cards_are_those_of_the_price():
    priced, work = golden_work()
    printed = Decimal(0)
    for code, _ in trades_of(work):
        lines = read_back(job_card_pdf(build_job_card(work, code, DAY))).lines
        printed += amount(lines[lines.index("Hours") + 1])
        steps = [Decimal(found[1].replace(",", "")) for line in lines
                 if (found := re.search(r", ([\d.,]+) h$", line))]  # fmt: skip
        assert sum(steps) == amount(lines[lines.index("Hours") + 1])
    assert printed == priced.price.hours


def test_every_caution_stands_on_the_card_of_its_operation_in_full():
    _, work = golden_work()
    known = work.cat.cautions
    for code, _ in trades_of(work):
        text = read_back(job_card_pdf(build_job_card(work, code, DAY))).text
        rows = [one.line.row for one in work.lines
                if one.line.kind == "labour" and one.line.row.trade == code]  # fmt: skip
        for caution in {known[one] for row in rows for one in row.cautions}:
            whole = " ".join(f"{caution.hazard}. {caution.caution}. Family:".split())
            assert whole in text
        for row in rows:
            after = text[text.index(f"{row.id} \u00b7") :]
            heed = after.split("Heed: ", 1)[1] if row.cautions else ""
            for one in row.cautions:
                assert known[one].hazard in heed[:260]
        if any(row.cautions for row in rows):
            assert "Local codes, site rules and licensed practice come before" in text


def test_nothing_may_begin_before_the_order():
    _, work = golden_work()
    text = read_back(job_card_pdf(build_job_card(work, "HF", DAY))).text
    assert "This work is not ordered. Nothing on this card may begin." in text
    ordered = build_job_card(work, "HF", DAY, Authority(ORDERED))
    assert "not ordered" not in read_back(job_card_pdf(ordered)).text


def test_what_the_strip_does_not_cover_is_marked():
    _, work = golden_work()
    lines = frozenset({"O0001", "O0004"})
    card = build_job_card(work, "HF", DAY, Authority(STRIP_ORDERED, lines))
    text = read_back(job_card_pdf(card)).text
    assert "Only the strip is ordered." in text
    operations = [row for step in card.steps for row in step.operations]
    assert text.count("not ordered: may not begin") == len(operations) - 2


@pytest.mark.parametrize("line", ["E10", "E20", "E30"])
def test_variations_that_are_not_released_are_named(line):
    contract = sources_at(line).here.contract
    _, work = golden_work()
    card = build_job_card(work, "HF", DAY, Authority(ORDERED, contract=contract))
    text = read_back(job_card_pdf(card)).text
    for case in contract.cases.values():
        waits = case.state not in ("released", "done", "withdrawn")
        title = f"{case.variation.name} {case.variation.title}"
        listed = title in text.split("Cautions", 1)[0]
        assert listed == waits, (title, case.state)


def test_a_trade_without_work():
    with pytest.raises(NoSuchTrade):
        build_job_card(golden_work()[1], "nobody", DAY)


def test_a_card_shows_no_price():
    priced, work = golden_work()
    text = read_back(job_card_pdf(build_job_card(work, "HF", DAY))).text
    assert "£" not in text
    assert not any(re.search(rf"\b{one.amount.amount:,.0f}\b", text) for one in work.lines
                   if one.amount.amount > 9999)  # fmt: skip
    assert f"{priced.price.net.amount:,.0f}" not in text


# Cost sheet


def rows_after(lines: list[str], name: str, start: int = 0) -> list[Decimal]:
    at = lines.index(name, start)
    return [amount(line) for line in lines[at + 1 : at + 4]]


def test_cost_sell_and_margin_add_up_from_the_print():
    lines = read_back(cost_sheet_pdf(costs())).lines
    first = lines.index("By kind of line")
    kinds = [rows_after(lines, name, first) for name in ("Labour", "Parts", "Outwork")]
    whole = rows_after(lines, "All lines", first)
    assert [sum(column) for column in zip(*kinds, strict=True)] == whole
    assert whole[1] - whole[0] == whole[2]
    group_at = lines.index("By component group")
    groups = [rows_after(lines, one.name, group_at) for one in costs().groups]
    assert [sum(column) for column in zip(*groups, strict=True)] == whole
    for one in costs().groups:
        at = lines.index(one.name, group_at)
        own = [rows_after(lines, KINDS[kind], at) for kind, _ in one.kinds]
        assert [sum(column) for column in zip(*own, strict=True)] == rows_after(lines, one.name, at)


def test_lines_lead_to_the_price_from_the_print():
    lines = read_back(cost_sheet_pdf(costs())).lines
    at = lines.index("From lines to price")
    block = lines[at : lines.index("Price with tax", at) + 2]
    names = block[1::2]
    sums = dict(zip(names, map(amount, block[2::2]), strict=True))
    base = sum(
        value
        for name, value in sums.items()
        if list(names).index(name) < names.index("Firm and provisional")
    )
    assert base == sums["Firm and provisional"]
    assert sums["Firm and provisional"] + sums["Contingency held"] == sums["Price before tax"]
    assert sums["Price before tax"] + sums["Tax"] == sums["Price with tax"]
    assert sums["Price before tax"] == golden_work()[0].price.net.amount


def test_the_cost_sheet_is_marked_on_every_page_and_says_its_class():
    found = read_back(cost_sheet_pdf(costs()))
    assert all(page.count(BAND) >= 2 for page in found.pages)
    assert "Class 3 of 5" in found.text
    assert re.search(r"10\s?% to 20\s?% below, 10\s?% to 30\s?% above", found.text)
    assert "P80, this job" in found.text
    assert "Mean (expected)" in found.text


def test_the_parts_list_and_the_cost_sheet_agree():
    cost = dict(costs().kinds)["parts"].cost
    assert parts(False).cost == cost


# All of them


def papers(work, priced, locale="en_GB", language="en"):
    yield parts_list_pdf(build_parts_list(work, DAY, language, for_customer=True), locale)
    yield parts_list_pdf(build_parts_list(work, DAY, language, for_customer=False), locale)
    code = suppliers_of(work)[0][0]
    yield outwork_request_pdf(build_outwork_request(work, code, DAY, language), locale)
    yield job_card_pdf(build_job_card(work, "HY", DAY, None, language), locale)
    sheet = build_cost_sheet(priced, range_so_far(work, priced.contingency), DAY, language)
    yield cost_sheet_pdf(sheet, locale)


@pytest.mark.parametrize(("locale", "language", "high"), LANGUAGES)
def test_every_paper_fits_its_page(locale, language, high):
    priced, work = golden_work()
    for data in papers(work, priced, locale, language):
        apart(data)
        pages = read_back(data).reader.pages
        assert all(round(float(page.mediabox.height)) == high for page in pages)


def test_the_same_value_gives_the_same_bytes():
    priced, work = golden_work()
    assert list(papers(work, priced)) == list(papers(work, priced))


def test_letter_by_the_house_style():
    with dressed(HouseStyle(paper="Letter")):
        data = cost_sheet_pdf(costs())
    assert round(float(read_back(data).reader.pages[0].mediabox.height)) == 792


def test_hostile_text_is_printed_as_it_is():
    priced, _ = golden_work()
    own = OwnLine(
        "X01", "C01A", HOSTILE, "labour", Decimal(3), Decimal(2), Decimal(5), "h", "HY",
        Decimal(0), "", HOSTILE, "P. Holt",
    )  # fmt: skip
    part = replace(own, id="X02", kind="parts", trade="", unit="each", unit_cost=Decimal(12),
                   markup=next(iter(priced.cat.markups)))  # fmt: skip
    out = replace(part, id="X03", kind="outwork")
    job = replace(priced.job, own=(own, part, out), customer=Party(HOSTILE, (HOSTILE,)),
                  workshop=Party(HOSTILE, (HOSTILE,)))  # fmt: skip
    work = priced_work(job, priced.cat)
    card = job_card_pdf(build_job_card(work, "HY", DAY))
    assert '<b>&amp; "x" </b>' in read_back(card).text
    for form in (True, False):
        text = read_back(parts_list_pdf(build_parts_list(work, DAY, for_customer=form))).text
        assert '<b>&amp; "x" </b>' in text
    assert suppliers_of(work)[-1][0] == "own"
    assert "X03" in read_back(outwork_request_pdf(build_outwork_request(work, "own", DAY))).text
