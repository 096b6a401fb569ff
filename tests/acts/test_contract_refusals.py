"""Bad input at a contract: refused with its reason, and nothing recorded."""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from PIL import Image

from estimator.domain.contract import events as happened
from estimator.domain.contract.acceptance import CUSTOMER, Authority
from estimator.domain.contract.remeasure import Wanted, priced_line
from estimator.domain.contract.variation import CONTINGENCY, HIDDEN, OWN_ERROR, Range, Variation
from estimator.domain.findings import Finding
from estimator.services.accept_quote import accept_quote
from estimator.services.answer_variation import (
    Answer,
    answer_as_manager,
    record_customers_answer,
)
from estimator.services.errors import Conflict, NotAllowed, Refused, ServiceError
from estimator.services.open_record import Record, open_record
from estimator.services.record_teardown import (
    Found,
    MeasuredAgain,
    Opening,
    open_component,
    receive_machine,
)
from estimator.services.settle_contract import (
    invoice_stage,
    return_contingency,
    settle_exchange,
    stop_job,
)
from estimator.services.teardown_photographs import add_teardown_photograph
from estimator.services.vary_contract import Move, move_variation, raise_variation, revise_variation
from estimator.services.verify_record import verify_record
from estimator.services.work_out_contract import read_contract
from estimator.services.write_contract import act_on
from tests.acts.accepted import NUMBER, accepted_at
from tests.acts.contracts import (
    FINANCE,
    FLEET,
    add,
    arrived,
    golden_terms,
    issue_golden,
    pounds,
    somebody,
)
from tests.acts.workshop import ESTIMATOR, FOREMAN, INSPECTOR, MANAGER, NOW

LIGHTS = Wanted(kind="parts", what="Work lights", quantity=Decimal(6), unit_cost=Decimal(145),
                markup="A")  # fmt: skip


@pytest.fixture
def record(tmp_path) -> Iterator[Record]:
    accepted_at(tmp_path / "record.db")
    with open_record(tmp_path / "record.db", NOW) as one:
        arrived(one, NUMBER)
        yield one


@pytest.fixture
def number() -> str:
    return NUMBER


@pytest.fixture
def variation(record, number) -> Variation:
    line = priced_line(read_contract(record, number).work, LIGHTS)
    return Variation(
        number="", revision=0, found_at=NOW, finder=FOREMAN.name, component="C12A",
        location="cab roof", title="Bracket cracked", cause=HIDDEN, end=CONTINGENCY,
        lines=(line,), consequence="the lights fall off", priced_by=ESTIMATOR.name,
    )  # fmt: skip


@contextmanager
def refused(record, number, words: str, kind: type[ServiceError] = Conflict) -> Iterator[None]:
    """The act is refused in these words, with a remedy, and the record is as it was before."""
    before = read_contract(record, number).contract, verify_record(record).head
    with pytest.raises(kind) as error:
        yield
    said = [error.value.message, *(f"{p.message} {p.remedy}" for p in problems_of(error.value))]
    assert words in " ".join(said), said
    assert error.value.remedy or problems_of(error.value)
    assert (read_contract(record, number).contract, verify_record(record).head) == before
    assert verify_record(record).faults == ()


def problems_of(error: ServiceError):
    return error.problems if isinstance(error, Refused) else ()


def issued(record, number, variation) -> str:
    here = raise_variation(record, number, variation, ESTIMATOR, NOW)
    name = f"V{len(here.contract.cases):02d}"
    move_variation(record, number, Move(variation=name, act="issue"), ESTIMATOR, NOW)
    return name


def yes(name: str, revision: int = 0, act: str = "approve", **more) -> Answer:
    return Answer(variation=name, revision=revision, act=act, channel="e-mail", words="Yes.",
                  **more)  # fmt: skip


# Answers


def test_approval_without_the_limit(record, number, variation):
    dear = replace(LIGHTS, quantity=Decimal(60))
    line = priced_line(read_contract(record, number).work, dear)  # 11,310
    name = issued(record, number, replace(variation, lines=(line,)))
    with refused(record, number, "above 5,000.00 GBP for one", NotAllowed):
        record_customers_answer(record, number, yes(name), FLEET, ESTIMATOR, NOW)
    with refused(record, number, "above 2,500.00 GBP for one", NotAllowed):
        answer_as_manager(record, number, [yes(name)], MANAGER, NOW)
    with refused(record, number, "no authority on this job", NotAllowed):
        answer_as_manager(record, number, [yes(name)], ESTIMATOR, NOW)
    with refused(record, number, "does not answer for the customer", NotAllowed):
        record_customers_answer(record, number, yes(name), "N. Body", ESTIMATOR, NOW)
    with refused(record, number, "may not record an answer", NotAllowed):
        record_customers_answer(record, number, yes(name), FINANCE, FOREMAN, NOW)


def test_somebody_of_the_workshop_called_like_the_customer_s_approver(record, number, variation):
    """Their own passphrase is not the customer's word."""
    name = issued(record, number, variation)
    with refused(record, number, "answers for the customer on this job", NotAllowed):
        answer_as_manager(record, number, [yes(name)], somebody(FINANCE, "service manager"), NOW)


def test_approval_twice(record, number, variation):
    name = issued(record, number, variation)
    record_customers_answer(record, number, yes(name), FLEET, ESTIMATOR, NOW)
    with refused(record, number, "what is approved cannot approve"):
        record_customers_answer(record, number, yes(name), FINANCE, ESTIMATOR, NOW)
    with refused(record, number, "what is approved cannot decline"):
        record_customers_answer(record, number, yes(name, act="decline"), FINANCE, ESTIMATOR, NOW)


def test_approval_of_a_superseded_revision(record, number, variation):
    name = issued(record, number, variation)
    cheaper = replace(variation, number=name, title="Bracket cracked, one side")
    revise_variation(record, number, cheaper, ESTIMATOR, NOW)
    move_variation(record, number, Move(variation=name, act="issue"), ESTIMATOR, NOW)
    with refused(record, number, f"{name} rev 0 is superseded by rev 1"):
        record_customers_answer(record, number, yes(name), FLEET, ESTIMATOR, NOW)


@pytest.mark.parametrize("act", ["release", "finish", "issue", "stop", "", "approve; drop table"])
def test_an_answer_that_is_none(record, number, variation, act):
    name = issued(record, number, variation)
    with refused(record, number, "is no answer"):
        record_customers_answer(record, number, yes(name, act=act), FLEET, ESTIMATOR, NOW)


def test_an_answer_without_words(record, number, variation):
    name = issued(record, number, variation)
    silent = replace(yes(name), words="  ")
    with refused(record, number, "recorded with its channel and its words"):
        record_customers_answer(record, number, silent, FLEET, ESTIMATOR, NOW)


@pytest.mark.parametrize("lines", [(), (0,), (1,), (-1,), (5,)])
def test_part_of_a_variation_of_one_line(record, number, variation, lines):
    name = issued(record, number, variation)
    answer = yes(name, act="approve in part", lines=lines)
    with refused(record, number, f"part of {name} is some of its 1 lines"):
        record_customers_answer(record, number, answer, FLEET, ESTIMATOR, NOW)


# Findings


def test_a_component_that_is_resolved_already(record, number):
    open_component(record, number, Opening("C05B", (Found("P-CWR", "sound"),)), INSPECTOR, NOW)
    with refused(record, number, "P-CWR is resolved already as sound"):
        open_component(record, number, Opening("C05B", (Found("P-CWR", "worn"),)), INSPECTOR, NOW)
    open_component(record, number, Opening("C05B", (Found("P-PLR", "worn"),)), INSPECTOR, NOW)
    with refused(record, number, "P-PLR has a variation already"):
        open_component(record, number, Opening("C05B", (Found("P-PLR", "worn"),)), INSPECTOR, NOW)
    with refused(record, number, "P-PLR is resolved already as worn"):
        open_component(record, number, Opening("C05B", (Found("P-PLR", "sound"),)), INSPECTOR, NOW)


@pytest.mark.parametrize("part", ["U-TRK", "P-NIL", "", "p-plr", "C05B", "O0001"])
def test_a_part_of_another_class(record, number, part):
    with refused(record, number, "is no part of this machine", Refused):
        open_component(record, number, Opening("C05B", (Found(part, "worn"),)), INSPECTOR, NOW)


def test_a_part_found_two_ways_at_once(record, number):
    opening = Opening("C05B", (Found("P-PLR", "worn"), Found("P-PLR", "sound")))
    with refused(record, number, "P-PLR is resolved already as worn"):
        open_component(record, number, opening, INSPECTOR, NOW)


@pytest.mark.parametrize(
    ("measured", "words"),
    [
        (MeasuredAgain("P-BDR", Decimal(-1)), "cannot be measured as -1"),
        (MeasuredAgain("O0001", Decimal(1)), "is firm in the quote"),
        (MeasuredAgain("P-BDR", Decimal(100), by_factor=True), "that was quoted"),
        (MeasuredAgain("P-NIL", Decimal(1)), "is no line of the quote"),
    ],
    ids=["negative", "firm", "far outside its range", "no line"],
)
def test_a_measure_that_the_bench_alone_cannot_settle(record, number, measured, words):
    with refused(record, number, words, Refused):
        open_component(record, number, Opening("C05B", measured=(measured,)), INSPECTOR, NOW)


# Sums and counts


def test_quantities_below_nought(record, number, variation):
    work = read_contract(record, number).work
    with pytest.raises(ValueError, match="not below nought"):
        priced_line(work, replace(LIGHTS, quantity=Decimal(-1)))
    less = replace(variation.lines[0], quantity=Decimal(-6), amount=-variation.lines[0].amount)
    with refused(record, number, "below nought", Refused):
        raise_variation(record, number, replace(variation, lines=(less,)), ESTIMATOR, NOW)
    with refused(record, number, "fewer than no days", Refused):
        raise_variation(record, number, replace(variation, days=Decimal(-1)), ESTIMATOR, NOW)
    with refused(record, number, "cannot be returned"):
        return_contingency(record, number, pounds(-5), MANAGER, NOW)
    with refused(record, number, "cannot be returned"):
        return_contingency(record, number, pounds(31_318), MANAGER, NOW)
    with refused(record, number, "stages would come to"):
        invoice_stage(record, number, "S1", Decimal("-0.1"), MANAGER, NOW)
    with refused(record, number, "-1 of 2 cannot be accepted"):
        settle_exchange(record, number, ("P-INJ",), (Decimal(2), Decimal(-1)), pounds(5), MANAGER,
                        NOW)  # fmt: skip
    with refused(record, number, "not below nought"):
        settle_exchange(record, number, ("P-INJ",), (Decimal(2), Decimal(1)), pounds(-5), MANAGER,
                        NOW)  # fmt: skip


def test_a_range_that_does_not_rise():
    for low, likely, high in ((3, 2, 4), (1, 5, 4), (2, 1, 1)):
        with pytest.raises(ValueError, match="do not rise"):
            Range(pounds(low), pounds(likely), pounds(high))


def test_numbers_that_are_none(record, number, variation):
    for value in ("NaN", "Infinity"):
        line = replace(variation.lines[0], quantity=Decimal(value))
        with refused(record, number, "is no number", Refused):
            raise_variation(record, number, replace(variation, lines=(line,)), ESTIMATOR, NOW)


def test_an_own_error_is_not_drawn_from_the_contingency(record, number, variation):
    with refused(record, number, "which the customer does not pay", Refused):
        ours = replace(variation, cause=OWN_ERROR)
        raise_variation(record, number, ours, ESTIMATOR, NOW)


# Time


def test_a_clock_that_runs_backwards(record, number, variation):
    name = issued(record, number, variation)
    with refused(record, number, "before the last entry"):
        early = NOW - timedelta(seconds=1)
        record_customers_answer(record, number, yes(name), FLEET, ESTIMATOR, early)
    with refused(record, number, "before the last entry"):
        receive_machine(record, number, "two keys", FOREMAN, datetime(1970, 1, 1, tzinfo=UTC))


# Texts

HOSTILE = {
    "NUL": ("two\0keys", "control character"),
    "bell": ("two\akeys", "control character"),
    "turned": ("invoice\u202egpj.exe", "turns the direction"),
    "half a character": ("two \ud800 keys", "half of a character"),
    "endless": ("x" * 4001, "holds 4,001 characters, more than 4,000"),
}


@pytest.mark.parametrize(("text", "words"), HOSTILE.values(), ids=HOSTILE)
def test_texts_that_cannot_be_kept(record, number, variation, text, words):
    words = words.lower()
    with refused(record, number, words, Refused):
        receive_machine(record, number, text, FOREMAN, NOW)
    with refused(record, number, words, Refused):
        raise_variation(record, number, replace(variation, location=text), ESTIMATOR, NOW)
    opening = Opening("C05B", (Found("P-PLR", "worn", measured=text),))
    with refused(record, number, words, Refused):
        open_component(record, number, opening, INSPECTOR, NOW)
    with refused(record, number, words, Refused):
        stop_job(record, number, "reassembly", text, FLEET, MANAGER, NOW)


@pytest.mark.parametrize(
    "text",
    ["'; drop table contract_event; --", "<para><b>", "=cmd|'/c calc'!A1", "{name}", "%s%n",
     "Ångström 油 \U0001f527", "x" * 4000, "first line\nsecond line"],
)  # fmt: skip
def test_hostile_text_is_data(record, number, variation, text):
    raise_variation(record, number, replace(variation, location=text), ESTIMATOR, NOW)
    assert read_contract(record, number).contract.case("V01").variation.location == text
    assert verify_record(record).faults == ()


def test_readings_are_searched_too(record, number):
    reading = Finding(id="I90", component="C05B", note="a\0b", date=NOW.date(), inspector="A. Rowe")
    with refused(record, number, "control character", Refused):
        open_component(record, number, Opening("C05B", readings=(reading,)), INSPECTOR, NOW)


# Photographs


def announced(width: int, height: int) -> bytes:
    """A PNG that says it is that large, with next to nothing in it."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        rest = kind + data
        return struct.pack(">I", len(data)) + rest + struct.pack(">I", zlib.crc32(rest))

    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 99))
        + chunk(b"IEND", b"")
    )  # fmt: skip


def cut_short() -> bytes:
    out = io.BytesIO()
    Image.effect_noise((300, 300), 80).save(out, "PNG")
    return out.getvalue()[:4000]


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "is empty"),
        (b"%PDF-1.7 not a picture", "no image of a kind that can be read"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no image of a kind that can be read"),
        (announced(20_001, 10_000), "pixels; 200 million are taken"),
        (cut_short(), "damaged, or not all of it is there"),
    ],
    ids=["empty", "a document", "a drawing", "more than 200 megapixels", "cut short"],
)
def test_photographs_that_are_none(record, number, data, words):
    with refused(record, number, words, Refused):
        add_teardown_photograph(record, number, "C05B", ("a.png", data), INSPECTOR, NOW)


# Several at once


def test_of_several_events_one_that_cannot_follow_takes_all_back(record, number, variation):
    here = read_contract(record, number)
    good = happened.StagePaid(at=NOW, who=MANAGER.name, name="S1", share=Decimal("0.25"))
    with refused(record, number, "stage S1 is invoiced already"):
        act_on(record, number, "stage invoiced", lambda _here: [good, good], NOW)
    add(record, number, good)
    assert len(read_contract(record, number).contract.events) == len(here.contract.events) + 1


@pytest.mark.parametrize(
    ("people", "words"),
    [
        ((), "nobody of the customer may approve"),
        ((Authority(FLEET, CUSTOMER, "x"), Authority(FLEET, CUSTOMER, "y")), "twice"),
    ],
)
def test_an_acceptance_that_names_nobody_or_somebody_twice(tmp_path, catalogue, people, words):
    with open_record(tmp_path / "issued.db", NOW) as record:
        number = issue_golden(record, catalogue)
        head = verify_record(record).head
        terms = golden_terms(approvers=people)
        with pytest.raises(Conflict, match=words):
            accept_quote(record, number, terms, ESTIMATOR, NOW)
        assert verify_record(record).head == head
