"""A machine stripped first, in the window: what the strip shows is made the next revision, taken in
as it goes on, and the whole is accepted on the same contract."""

from __future__ import annotations

import shutil
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from estimator.domain.contract.acceptance import TEARDOWN_ONLY
from estimator.services.accept_quote import accept_quote
from estimator.services.open_record import record_at
from estimator.services.record_teardown import Found, Opening, open_component, receive_machine
from tests.acts import workshop as people
from tests.acts.contracts import golden_terms
from tests.desktop.clipped import clipped, outside
from tests.desktop.conftest import NOW, settle, wait_for
from tests.desktop.hands import Hands
from tests.desktop.test_teardown import (  # noqa: F401 - fixtures
    NUMBER,
    golden_catalogue,
    issued_file,
    on,
    page_of,
    worked_out,
)

STRIPPED = NOW + timedelta(days=3)


@pytest.fixture
def strip_file(tmp_path_factory: Any, issued_file: Path) -> Path:  # noqa: F811
    path = tmp_path_factory.mktemp("strip") / "record.db"
    shutil.copyfile(issued_file, path)
    with closing(record_at(path, NOW)) as record:
        accept_quote(record, NUMBER, golden_terms(extent=TEARDOWN_ONLY), people.ESTIMATOR, NOW)
        receive_machine(record, NUMBER, "two keys", people.FOREMAN, NOW)
        found = (Found("P-CWR", "sound"), Found("P-PLR", "worn", title="flanks pitted"))
        open_component(record, NUMBER, Opening("C05C", found), people.INSPECTOR, NOW)
    return path


def test_what_the_strip_shows_becomes_the_next_revision(qtbot, on, strip_file):  # noqa: F811
    window = on(strip_file, STRIPPED)
    page, desk = page_of(qtbot, window), window.desk
    button = page.parts.next_revision
    assert (button.isVisible(), button.isEnabled()) == (True, True)
    assert button.text() == "Make rev B with it"
    assert not clipped(page)
    assert not outside(page)
    # The header is the strip's: nothing of the rebuild is held.
    assert desk.contract.head.exposed.minor == 0
    assert desk.contract.now.row.forecast_high == desk.contract.now.row.current_sum
    button.setFocus()
    hands = Hands(window)
    hands.press("Space")
    wait_for(lambda: desk.state == "draft" and desk.job.revision == "B")
    settle(qtbot, window)
    assert {one.id for one in desk.job.findings} >= {"STRIP01", "STRIP02"}
    assert "with what the strip showed" in window.messages.text
    assert window.path.buttons["teardown"].isVisible()
    assert not desk.locked
    wait_for(lambda: page.parts.next_revision.text() == "Take 0 findings into rev B")
    assert not page.parts.next_revision.isEnabled()
    # The draft is priced as any other, and its figures lead now.
    wait_for(lambda: desk.fresh and not desk.under_contract)
    assert desk.work.job.revision == "B"
    assert "P-PLR" not in {part.part for part in desk.work.exposed}
    _more_is_found(qtbot, window, page)


def _more_is_found(qtbot: Any, window: Any, page: Any) -> None:
    desk = window.desk
    late = Opening("C05A", (Found("P-CWF", "worn"),))
    desk.contract.act(
        lambda record, who, now: open_component(record, NUMBER, late, who, now), "opening"
    )
    wait_for(lambda: page.parts.next_revision.text() == "Take 1 finding into rev B")
    worked_out(window)
    assert desk.state == "draft"
    page.parts.next_revision.click()
    wait_for(lambda: any(one.id == "STRIP03" for one in desk.job.findings))
    settle(qtbot, window)
    assert "strip" in desk.undo_name


def test_a_reader_only_looks_at_a_strip(qtbot, on, strip_file):  # noqa: F811
    window = on(strip_file, STRIPPED, "V. Reader")
    page = page_of(qtbot, window)
    assert not page.parts.next_revision.isEnabled()
    assert "may look" in page.parts.next_revision.toolTip()
