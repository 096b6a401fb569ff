"""Reasons, refusals and rules of the domain and the services, in the language of the window."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from PySide6.QtWidgets import QLabel

from estimator.desktop import language
from estimator.desktop.telling import told
from estimator.domain.people import RELEASE
from estimator.services.enrol_person import require
from estimator.services.errors import NotAllowed
from tests.desktop.conftest import HOLT, settle, wait_for


@pytest.fixture
def window(make_window: Callable[..., Any]) -> Iterator[Any]:
    language.use("de_DE")
    try:
        made = make_window(HOLT, "de_DE")
        made.open_job("Q-2041", "price")
        wait_for(lambda: made.desk.fresh)
        settle(None, made)
        yield made
    finally:
        language.use("en")


def said_by(panel: Any) -> list[str]:
    return [label.text() for label in panel.findChildren(QLabel)]


def test_why_is_told_in_german_with_german_figures(window: Any) -> None:
    why = window.why
    why.ask("contingency")
    said = said_by(why)
    assert "Reserve für verschlissen gefundene Teile" in said
    assert "max(Perzentil - Basis, Mittel - Basis, 0), kaufmännisch gerundet" in said
    assert any(text.startswith("es gilt die Schranke: ") for text in said)
    numbers = window.desk.priced.reasons.get("contingency").numbers
    share, above = numbers[0], numbers[1]
    assert told(share[0]) in said
    assert told(share[1]) == "80\u202f%"
    exact = told(above[1])
    assert exact in said
    assert exact.rpartition(" ")[0][-3] == ","  # two places after a comma
    assert "." in exact  # thousands


def test_a_line_says_why_in_german(window: Any) -> None:
    figures = window.desk.priced.reasons.figures
    name = next(one for one in figures if one.startswith("hours/") and "/" not in one[6:])
    window.why.ask(name)
    said = said_by(window.why)
    assert any(text.startswith("Verrechnete Stunden, ") for text in said)
    assert "Stunden bei der Klasse" in said
    assert any(text.endswith(" (ändert die Dauer, nicht die Stunden)") for text in said)


def test_a_refusal_is_told_in_german(window: Any) -> None:
    with pytest.raises(NotAllowed) as refused:
        require(window.workshop.person, RELEASE)
    assert "may not" in str(refused.value)  # the log and the command line stay English
    window.workshop.presenter.error(refused.value)
    told_now = window.messages.text
    assert told_now.startswith(f"{HOLT} (Kalkulator) darf das nicht: ein Angebot freigeben.")
    assert told_now.endswith("Das dürfen: Serviceleiter.")


def test_how_far_each_area_is_stands_in_german(window: Any) -> None:
    notes = {key: button.note for key, button in window.path.buttons.items()}
    assert notes["exposure"] == "80 % vorgeschlagen"
    assert notes["scope"].endswith(("Positionen", "doppelt gezählt"))
    assert notes["inspection"].partition(",")[0].endswith(("Befund", "Befunde"))
