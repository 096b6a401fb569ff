"""Texts of the domain in the user's language: the catalogue's pattern, the locale's figures."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from estimator.desktop import language
from estimator.desktop.telling import told, told_fault, told_faults, told_of
from estimator.domain.fixed_words import fixed
from estimator.domain.job_path import who_waits
from estimator.domain.money import Money
from estimator.domain.problem import Place, Problem
from estimator.domain.record import PROPOSED
from estimator.domain.wording import Worded, joined, worded, worded_count


@pytest.fixture
def speak() -> Iterator[Callable[[str], None]]:
    yield language.use
    language.use("en")


def limit() -> Worded:
    return worded("{amount} is above {limit} for one", amount=Money(123456789, "EUR"),
                  limit=Money(100000000, "EUR"))  # fmt: skip


def test_pattern_and_figures_are_in_the_users_language(speak: Callable[[str], None]) -> None:
    speak("de_DE")
    assert told(limit()) == "1.234.567,89\u00a0\u20ac liegt über 1.000.000\u00a0\u20ac je Nachtrag"
    speak("fr_FR")
    assert "dépasse" in told(limit())
    assert ",89\u00a0\u20ac" in told(limit())


def test_nested_texts_are_told_first(speak: Callable[[str], None]) -> None:
    speak("de_DE")
    said = worded("{name}: {said}.", name="Q-2041", said=worded("the account is closed"))
    assert told(said) == "Q-2041: das Konto ist abgeschlossen."
    state = worded("{title} is {state}.", title="Q-2041 rev A", state=fixed("issued"))
    assert told(state) == "Q-2041 rev A ist abgegeben."
    parts = joined([worded("{number:,} {words}", number=1200, words=worded("to answer")), "V04"])
    assert told(parts) == "1.200 zu beantworten, V04"


def test_counts_take_the_form_of_the_language(speak: Callable[[str], None]) -> None:
    speak("fr_FR")
    assert told(worded_count("{n:,} week", "{n:,} weeks", 0)) == "0 semaine"
    assert told(worded_count("{n:,} week", "{n:,} weeks", 2)) == "2 semaines"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (worded("{value:f} {unit}", value=Decimal("54.90"), unit="mm"), "54,9 mm"),
        (worded("{amount:,.2f}", amount=1234.5), "1.234,50"),
        (worded("{value:.6f}", value=0.25), "0,250000"),
        (worded("{value:g}", value=2.5), "2,5"),
        (worded("{value:.0%}", value=Decimal("0.8")), "80\u202f%"),
        (worded("{day}", day=date(2027, 3, 5)), "5. März 2027"),
        (worded("is {value!r}.", value="X"), "ist 'X'."),
    ],
)
def test_each_kind_of_value_is_written_as_the_user_does(
    speak: Callable[[str], None], text: Worded, said: str
) -> None:
    speak("de_DE")
    assert told(text) == said


def test_a_moment_is_told_with_its_clock_only_where_asked(speak: Callable[[str], None]) -> None:
    speak("de_DE")
    at = datetime(2027, 3, 5, 12, 0, tzinfo=UTC)
    day = worded(
        "Rev {revision} was issued on {issued_at:%Y-%m-%d}, after that day.",
        revision="A",
        issued_at=at,
    )
    assert told(day) == "Rev. A wurde am 5. März 2027 abgegeben, nach diesem Tag."


def test_what_the_catalogue_lacks_stays_english_whole(speak: Callable[[str], None]) -> None:
    speak("de_DE")
    made = worded("no catalogue knows this: {sum}", sum=Money(100000, "EUR"))
    assert told(made) == str(made) == "no catalogue knows this: 1,000.00 EUR"


def test_plain_text_is_data(speak: Callable[[str], None]) -> None:
    speak("de_DE")
    assert told("the account is closed") == "the account is closed"
    kept = str(worded("the account is closed"))  # as it comes back from the record
    assert told(kept) == "the account is closed"


def test_without_a_catalogue_figures_are_the_users_all_the_same(
    speak: Callable[[str], None],
) -> None:
    speak("es_ES")
    assert told(limit()).startswith("1.234.567,89")
    assert "is above" in told(limit())


def test_errors_and_faults(speak: Callable[[str], None]) -> None:
    speak("de_DE")
    fault = Problem("zero", Place("job.toml", 3, "hours"), worded("is zero."), worded("Mend it."))
    assert told_faults([fault]) == ("job.toml, Zeile 3, Spalte hours: ist null. Berichtigen.",)
    assert told_fault(fault) == "ist null. Berichtigen."
    assert told_of(ValueError(worded("the account is closed"))) == "das Konto ist abgeschlossen"
    assert told_of(ValueError("plain")) == "plain"


def test_notes_of_the_path_are_told(speak: Callable[[str], None]) -> None:
    speak("de_DE")
    assert told(who_waits(PROPOSED, date(2026, 11, 25)).reason) == "zur Freigabe"
