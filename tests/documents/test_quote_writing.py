"""Names and texts of any kind come through as they are; numbers and dates follow the locale."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.documents.grammar.fonts import clean, marked, runs
from estimator.documents.grammar.wording import Words, within
from estimator.documents.quote.payment import stage_payments
from estimator.domain.job import Party, Stage
from estimator.domain.money import Money, money_sum
from tests.documents.read_back import printed, with_job

NAMES = [
    "<b>Bold & Sons</b> <para> &amp; </font>",
    "Μηχανές Δοκιμής ΑΕ",
    "Карьерные машины ООО",
    "重机维修有限公司",
    "重機整備株式会社",
    "중장비 정비",
    "Łódź Żuraw, Çelik Ağır İş, Đặng",
    '=1+1 "quoted" {machine} %s %(x)d \\ back',
]


@pytest.mark.parametrize("name", NAMES)
def test_names_survive(quote, name):
    text = printed(with_job(quote, customer=Party(name), estimator=name)).text
    assert text.count(name) >= 3  # to, written by, signature


def test_control_and_direction_characters_are_dropped(quote):
    name = "Ab\x00c\x07d\x1b[31m\u202eefg\u2066h\ufeff\u200bi\nj\tk"
    text = printed(with_job(quote, customer=Party(name))).text
    assert "To Abcd[31mefghi j k" in text


def test_a_character_no_face_writes_is_marked_and_hurts_nothing(quote):
    text = printed(with_job(quote, customer=Party("שלום Workshop مرحبا \U0001f69c"))).text
    assert "Workshop" in text
    assert "\ufffd" in text


def test_runs_keep_every_character():
    text = "Kran 吊车 Кран γερανός 12 t"
    assert "".join(part for _, part in runs(text)) == text
    assert len(runs(text)) > 2
    assert [face for face, _ in runs("plain text")] == ["SourceSansPro-Regular"]


def test_markup_is_escaped_in_every_run():
    assert marked("a<b>&") == "a&lt;b&gt;&amp;"
    assert "<吊" not in marked("<吊>")


def test_clean_composes_and_joins_lines():
    assert clean("e\u0301\r\nx") == "\u00e9  x"


@pytest.mark.parametrize(
    ("locale", "says"),
    [
        ("en_GB", ["£275,946", "£331,135.20", "12 March 2027", "59.3 % ("]),
        ("de_DE", ["275.946 £", "331.135,20 £", "12. März 2027", "59,3 % ("]),
        ("fr_FR", ["275 946 £GB", "331 135,20 £GB", "12 mars 2027", "59,3 % ("]),
    ],
)
def test_locales(quote, locale, says):
    text = printed(quote, locale).text
    for words in says:
        assert words in text


def test_unknown_locale_is_refused(quote):
    with pytest.raises(ValueError, match="no number and date formats"):
        printed(quote, "xx_QQ")


def words(locale: str = "en_GB", currency: str = "GBP", unit: str = "1") -> Words:
    return Words.of(locale, currency, Decimal(unit))


def test_sums():
    assert words().sum(Money(123456700, "GBP")) == "1,234,567"
    assert words().sum(Money(-164700, "GBP")) == "\u22121,647"
    assert words().sum(Money(0, "GBP")) == "\u2013"
    assert words().sum(Money(164750, "GBP")) == "1,647.50"  # never rounded away
    assert words().sum(Money(164700, "GBP"), exact=True) == "1,647.00"
    assert words(unit="0.01").sum(Money(164700, "GBP")) == "1,647.00"
    assert words(currency="JPY").money(Money(5000, "JPY"), exact=True) == "JP¥5,000"
    assert words(currency="KWD").sum(Money(1234567, "KWD"), exact=True) == "1,234.567"
    assert words(currency="CHF").money(Money(100, "CHF")) == "CHF\u00a01"
    assert words().money(Money(-100, "GBP")) == "\u2212£1"


def test_halves_go_up_not_to_even():
    assert words().number(Decimal("2.5"), 0) == "3"
    assert words().number(Decimal("-2.5"), 0) == "\u22123"
    assert words().share(Decimal("0.0325"), 1) == "3.3\u202f%"


def test_quantities_show_what_they_hold():
    assert words().quantity(Decimal("46.00")) == "46"
    assert words().quantity(Decimal("32.50")) == "32.5"
    assert words().quantity(Decimal(1510)) == "1,510"
    assert words().column([Decimal("135.00"), Decimal("33.25"), Decimal(0)]) == \
        ["135.00", "33.25", "\u2013"]  # fmt: skip


def test_names_inside_a_sentence():
    assert within("Rear crown wheel") == "rear crown wheel"
    assert within("ROPS label") == "ROPS label"


@pytest.mark.parametrize(
    "shares", [["0.25", "0.25", "0.25"], ["0.333", "0.333"], [], ["0.5", "0.5"], ["0.1"] * 7]
)
def test_stages_always_add_up(quote, shares):
    stages = tuple(Stage(Decimal(share), f"stage {at}") for at, share in enumerate(shares))
    job = replace(quote.priced.job, terms=replace(quote.priced.job.terms, stages=stages))
    totals = quote.priced.price.totals
    totals = replace(totals, net=Money(27594601, "GBP"), tax=Money(5518921, "GBP"))
    payments = stage_payments(job, totals)
    assert money_sum((one.net for one in payments), "GBP") == totals.net
    assert money_sum((one.tax for one in payments), "GBP") == totals.tax
    assert sum(one.share for one in payments) == 1
    balance = [one for one in payments if not one.when]
    assert len(balance) == (0 if sum(map(Decimal, shares)) == 1 else 1)
