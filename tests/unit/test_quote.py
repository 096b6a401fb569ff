"""A quote as it leaves the workshop: texts of this scope only, and a record of what made it."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import date, timedelta
from decimal import Decimal

import pytest

from estimator.domain.catalogue.rows import Clause
from estimator.domain.job import Event, ExchangeRate, LineChange, Party, ScopeChange, Stage
from estimator.domain.money import Money
from estimator.domain.priced_job import reckon
from estimator.domain.quote import build_quote, filled, record_of
from estimator.domain.reasons import Figure, Reasons
from tests.new_machines import FULL
from tests.unit.changed import own_made


def clause(code: str, text: str, order: int = 10, **cells) -> Clause:
    return Clause(id=code, section="terms", order=order, text=text, origin="own", **cells)


def with_clauses(priced, **languages):
    """The priced job with these clauses alone."""
    catalogue = replace(priced.cat.catalogue, clauses=languages)
    return replace(priced, cat=replace(priced.cat, catalogue=catalogue))


def texts_of(priced, language: str = "en") -> list[tuple[str, bool]]:
    quote = build_quote(priced, language, with_options=False)
    return [(one.text, one.in_english) for one in quote.clauses.get("terms", ())]


@pytest.fixture(scope="module")
def quote(priced):
    return build_quote(priced, with_options=False)


# -- clauses ------------------------------------------------------------------------------------


def test_a_clause_its_language_lacks_is_taken_in_english_and_said_so(priced):
    two = with_clauses(
        priced,
        en=(clause("A", "Stands.", 20), clause("B", "Falls.", 10)),
        de=(clause("A", "Steht."),),
    )
    assert texts_of(two, "de") == [("Falls.", True), ("Steht.", False)]
    assert texts_of(two, "en") == [("Falls.", False), ("Stands.", False)]
    assert texts_of(two, "fr") == [("Falls.", True), ("Stands.", True)]


def test_a_translation_without_an_original_is_never_printed(priced):
    lone = with_clauses(priced, en=(clause("A", "One."),), de=(clause("X", "Nur hier."),))
    assert texts_of(lone, "de") == [("One.", True)]


@pytest.mark.parametrize(
    ("cells", "printed"),
    [
        ({}, True),
        ({"levels": ("full",)}, True),
        ({"levels": ("driveline",)}, False),
        ({"needs": ("tyres",)}, True),
        ({"needs": ("tracks",)}, False),
        ({"when": "contingency"}, True),
        ({"when": "provisional"}, True),
        ({"when": "exchange units"}, True),
        ({"when": "starting values"}, True),
    ],
)
def test_a_clause_is_printed_where_it_applies(priced, cells, printed):
    assert bool(texts_of(with_clauses(priced, en=(clause("A", "Text.", **cells),)))) is printed


@pytest.mark.parametrize(
    ("when", "changes"),
    [
        ("contingency", {"contingency": Money(0, "GBP")}),
        ("provisional", {"provisional_lines": Money(0, "GBP")}),
    ],
)
def test_a_clause_on_a_condition_goes_with_it(priced, when, changes):
    bare = with_clauses(priced, en=(clause("A", "Text.", when=when),))
    held = replace(bare.contingency, amount=Money(0, "GBP"))
    bare = replace(bare, price=replace(bare.price, **changes))
    if when == "contingency":
        bare = replace(bare, contingency=held)
    assert texts_of(bare) == []


@pytest.mark.parametrize(
    ("rows", "printed"),
    [
        (("P-LIN",), True),
        (("P-LIN", "P-VBK"), False),  # open, so not promised
        (("P-LIN", "P-OTHER"), True),  # a row of another class is not asked for
    ],
)
def test_a_clause_promises_only_what_is_in_the_scope(priced, rows, printed):
    bound = with_clauses(priced, en=(clause("A", "Text.", rows=rows),))
    assert bool(texts_of(bound)) is printed


def test_without_exposed_parts_no_clause_speaks_of_starting_values(priced):
    sure = replace(
        with_clauses(priced, en=(clause("A", "Text.", when="starting values"),)), exposed=()
    )
    assert texts_of(sure) == []


def test_numbers_of_the_job_are_filled_in_and_other_braces_left(priced):
    text = "{valid_days} days, {life_wanted} h, {machine}; {unknown} {} {valid_days"
    got = texts_of(with_clauses(priced, en=(clause("A", text),)))
    assert got == [("30 days, 8,000 h, wheel loader; {unknown} {} {valid_days", False)]


def test_filling_in_is_plain_replacement():
    assert filled("{a}{b}{a}", {"a": "1", "b": "2"}) == "121"
    assert filled("{0} %s {a!r}", {"a": "1"}) == "{0} %s {a!r}"
    assert filled("nothing", {}) == "nothing"


def test_what_is_filled_in_is_not_filled_in_again():
    """A machine's type is data: braces in it are text."""
    assert filled("{machine}, {days}", {"machine": "a {days} loader", "days": "30"}) == (
        "a {days} loader, 30"
    )


# -- what belongs to this scope -----------------------------------------------------------------


def test_cautions_are_those_of_the_work_quoted(quote, priced):
    printed = {row.id for row in quote.cautions}
    used = {code for one in priced.lines for code in getattr(one.line.row, "cautions", ())}
    assert printed == used
    assert [row.id for row in quote.cautions] == [code for code in priced.cat.cautions
                                                  if code in used]  # fmt: skip
    kept = tuple(one for one in priced.lines if one.line.component != "C12C")
    without = build_quote(replace(priced, lines=kept), with_options=False)
    assert printed - {row.id for row in without.cautions} == {"K12"}  # refrigerant


def test_exchange_units_are_those_bought(quote, priced):
    found = {unit.name: (unit.quantity, unit.charge_each.amount) for unit in quote.exchange_units}
    assert found["Injectors, exchange"] == (6, 95)
    assert found["Starter, exchange"] == (1, 70)
    assert "Converter" not in found  # open, not bought
    without = replace(priced, lines=tuple(one for one in priced.lines if one.id != "P-INJ"))
    names = {unit.name for unit in build_quote(without, with_options=False).exchange_units}
    assert names == set(found) - {"Injectors, exchange"}


def test_an_exchange_charge_is_in_the_quote_s_currency(job, cat):
    rate = ExchangeRate("GBP", Decimal("1.2345"), job.date, "invented")
    in_euro = replace(job, terms=replace(job.terms, currency="EUR"), exchange_rates={"GBP": rate})
    # without chances of wear, for speed
    quote = build_quote(reckon(in_euro, replace(cat, wear={})), with_options=False)
    charges = {unit.name: unit.charge_each for unit in quote.exchange_units}
    assert charges["Injectors, exchange"] == Money(11728, "EUR")  # 95 x 1.2345 = 117.2775


def test_warranty_is_for_groups_that_are_worked_on(quote, priced):
    groups = {one.line.group for one in priced.lines}
    names = [name for name, _ in quote.warranty]
    assert "Engine" in names
    assert "Receive and strip" not in names  # no months
    engine = replace(priced, lines=tuple(o for o in priced.lines if o.line.group == "G01"))
    assert [name for name, _ in build_quote(engine, with_options=False).warranty] == ["Engine"]
    assert len(names) <= len(groups)


def test_what_takes_long_to_come_is_named_longest_first(quote):
    weeks = [one.weeks for one in quote.long_leads]
    assert weeks == sorted(weeks, reverse=True)
    assert all(one >= 4 for one in weeks)
    assert {one.name for one in quote.long_leads} == {
        "Engine-bay harness sections", "Trim and floor mat",
    }  # fmt: skip


def test_what_is_left_out_is_named(quote, priced):
    assert quote.left_out == ("Tyres",)
    engine = replace(priced, lines=tuple(o for o in priced.lines if o.line.group == "G01"))
    left = build_quote(engine, with_options=False).left_out
    assert "Hydraulics" in left
    assert "Engine" not in left


def test_what_was_changed_by_hand_is_named(priced):
    by_hand = replace(
        priced.job,
        added=(ScopeChange("P-VBK", "spools pitted", "P. Holt"),),
        removed=(ScopeChange("O1503", "r", "b"), ScopeChange("P-CRK", "never there", "b")),
    )
    got = build_quote(reckon(by_hand, replace(priced.cat, wear={})), with_options=False)
    assert got.added == ("Valve-bank spools and sections",)
    assert got.removed == ("Top coat",)


def test_what_nobody_saw_stands_by_its_weight(quote, priced):
    assert len(quote.unseen) == len(priced.exposed)
    shares = {share.id: share.contribution for share in priced.contingency.shares}
    heaviest = max(priced.exposed, key=lambda part: shares[part.part])
    assert quote.unseen[0] == heaviest.name


def test_dates(quote, priced):
    assert quote.valid_until == date(2026, 12, 20)
    assert quote.ready_nothing_worn <= quote.ready_likely <= quote.ready_covered
    assert (quote.ready_likely, quote.ready_covered) == (date(2027, 3, 9), date(2027, 3, 12))


def test_what_chances_rest_on_is_known(quote, priced):
    assert quote.starting_values
    assert quote.own_cases
    judged = tuple(p for p in priced.exposed if p.chance.rests_on == "judged")
    plain = build_quote(replace(priced, exposed=judged), with_options=False)
    assert not plain.starting_values
    assert not plain.own_cases


def test_a_quote_can_be_built_twice(priced, quote):
    again = build_quote(priced, with_options=False)
    assert again.record == quote.record
    assert again.teardown.net == quote.teardown.net
    assert [option.level for option in again.options] == ["full"]


# -- the record ---------------------------------------------------------------------------------

OTHER = {
    "number": "Q-2042",
    "revision": "B",
    "date": date(2026, 11, 21),
    "start": date(2026, 12, 8),
    "inspected": date(2026, 11, 17),
    "level": "driveline",
    "workshop": Party("Another"),
    "customer": Party("Another", ("Road",)),
    "estimator": "A. Nother",
    "releaser": "A. Nother",
    "exchange_rates": {},
    "findings": (),
    "repaired": (ScopeChange("C08A", "asked for", "P. Holt"),),
    "added": (ScopeChange("P-VBK", "r", "b"),),
    "removed": (ScopeChange("P-VBK", "r", "b"),),
    "ways": {"P-FIP": "replace"},
    "changed": (LineChange("P-LIN", Decimal(5), None, "r", "b", date(2026, 11, 20)),),
    "own": (own_made(),),
    "kept": (ScopeChange("O0251+O0252", "r", "b"),),
    "note": "ready for the spring",
    "wanted_by": date(2027, 3, 1),
    "learnt_until": date(2026, 11, 1),
    "new_machine": FULL,
}


def record_with(quote, **changes) -> str:
    """The record of the quote with its priced job changed."""
    return record_of(replace(quote, priced=replace(quote.priced, **changes)))


def test_the_record_changes_with_every_entry_of_the_job(quote, priced):
    records = {record_of(quote)}
    for one in fields(priced.job):
        if one.name in OTHER:
            changed = replace(priced.job, **{one.name: OTHER[one.name]})
            records.add(record_with(quote, job=changed))
    assert set(OTHER) == {one.name for one in fields(priced.job)} - {"terms", "machine"}
    assert len(records) == len(OTHER) + 1


@pytest.mark.parametrize("part", ["terms", "machine"])
def test_the_record_changes_with_every_term_and_every_entry_of_the_machine(quote, priced, part):
    value = getattr(priced.job, part)
    records = {record_of(quote)}
    for one in fields(value):
        old = getattr(value, one.name)
        new: object = (*old, Stage(Decimal("0.1"), "x")) if one.name == "stages" else None
        if one.name == "history":
            new = (*old, Event(Decimal(1), "x", (), (), ()))
        if new is None:
            new = old + "x" if isinstance(old, str) else old + 1
        changed = replace(priced.job, **{part: replace(value, **{one.name: new})})
        records.add(record_with(quote, job=changed))
    assert len(records) == len(fields(value)) + 1


def test_the_record_changes_with_any_cell_of_any_finding(quote, priced):
    first = priced.job.findings[0]
    records = {record_of(quote)}
    for changes in (
        {"measured": first.measured + Decimal("0.01")},
        {"note": "x"},
        {"inspector": "x"},
        {"date": first.date + timedelta(days=1)},
        {"override_reason": "x"},
        {"photo": ("a.jpg",)},
    ):
        findings = (replace(first, **changes), *priced.job.findings[1:])
        records.add(record_with(quote, job=replace(priced.job, findings=findings)))
    assert len(records) == 7


def test_the_record_changes_with_the_catalogue_and_with_any_figure(quote, priced):
    catalogue = replace(priced.cat.catalogue, fingerprint="0" * 64)
    assert record_with(quote, cat=replace(priced.cat, catalogue=catalogue)) != quote.record
    figures = dict(priced.reasons.figures)
    figures["net"] = Figure("net", "Net", Money(1, "GBP"))
    assert record_with(quote, reasons=Reasons(figures)) != quote.record


def test_the_record_changes_with_what_is_printed(quote):
    assert record_of(replace(quote, language="de")) != quote.record
    assert record_of(replace(quote, options=())) != quote.record
    section, texts = next(iter(quote.clauses.items()))
    reworded = (replace(texts[0], text=texts[0].text + "!"), *texts[1:])
    assert record_of(replace(quote, clauses={**quote.clauses, section: reworded})) != quote.record


def test_equal_quotes_have_equal_records(quote):
    assert record_of(quote) == quote.record
    assert len(quote.record) == 64
