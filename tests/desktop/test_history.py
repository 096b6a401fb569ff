"""Back and forward through places."""

from __future__ import annotations

from estimator.desktop.history import MOST, History, Where

JOBS, PRICE, SCOPE = Where("jobs"), Where("price", "Q-1"), Where("scope", "Q-1")


def test_back_and_forward_go_the_same_way():
    history = History()
    for where in (JOBS, PRICE, SCOPE):
        history.visit(where)
    assert history.back() == PRICE
    assert history.back() == JOBS
    assert history.back() is None
    assert history.forward() == PRICE
    assert history.forward() == SCOPE
    assert history.forward() is None


def test_going_somewhere_new_forgets_what_lay_ahead():
    history = History()
    for where in (JOBS, PRICE):
        history.visit(where)
    history.back()
    history.visit(SCOPE)
    assert history.forward() is None
    assert history.back() == JOBS


def test_the_row_one_stood_on_is_found_again():
    history = History()
    history.visit(PRICE)
    history.note_place("P-TCK")
    history.visit(JOBS)
    assert history.back() == Where("price", "Q-1", "P-TCK")


def test_a_long_day_keeps_the_newest_places():
    history = History()
    for number in range(MOST + 50):
        history.visit(Where("price", f"Q-{number}"))
    assert len(history.places) == MOST
    assert history.places[-1].number == f"Q-{MOST + 49}"
