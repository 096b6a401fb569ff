"""The one table model and the one grid, run through Qt's own model tester."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation

import pytest
from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QAbstractItemModelTester

from estimator.desktop.widgets.columns import CellEdit, Column, Kept
from estimator.desktop.widgets.grid import Grid, disarmed
from estimator.desktop.widgets.row_model import ROW, RowModel, Section


@dataclass(frozen=True)
class Line:
    id: str
    name: str
    hours: Decimal


def _hours(_row, text):
    try:
        return Decimal(text)
    except InvalidOperation:
        raise ValueError("Not a number of hours.") from None


COLUMNS = (
    Column("name", "Name", lambda r: r.name),
    Column(
        "hours",
        "Hours",
        lambda r: f"{r.hours}",
        right=True,
        sort=lambda r: r.hours,
        read=_hours,
        editable=lambda r: r.id != "locked",
    ),
    Column("note", "Note", lambda r: "", read=lambda _r, t: t),
)
LINES = tuple(Line(n, f"line {n}", Decimal(h)) for n, h in (("a", "10"), ("b", "9"), ("c", "100")))


@pytest.fixture
def model(qtbot):
    made = RowModel(COLUMNS, lambda row: row.id)
    QAbstractItemModelTester(made, QAbstractItemModelTester.FailureReportingMode.Fatal, made)
    return made


@pytest.fixture
def grid(qtbot, model):
    made = Grid(model, "Lines")
    qtbot.addWidget(made)
    made.resize(500, 300)
    made.show()
    return made


def _shown(model, parent=QModelIndex()):  # noqa: B008
    return [model.index(n, 0, parent).data(ROW).id for n in range(model.rowCount(parent))]


def test_decimals_are_sorted_by_value(model):
    model.set_rows(LINES)
    model.sort(1)
    assert _shown(model) == ["b", "a", "c"]
    model.sort(1, Qt.SortOrder.DescendingOrder)
    assert _shown(model) == ["c", "a", "b"]


def test_one_changed_row_repaints_that_row_only(model, qtbot):
    model.set_rows(LINES)
    touched = []
    model.dataChanged.connect(lambda first, last, _roles: touched.append(first.row()))
    resets = []
    model.modelReset.connect(lambda: resets.append(1))
    model.set_rows([LINES[0], replace(LINES[1], hours=Decimal(8)), LINES[2]])
    assert touched == [1]
    assert not resets


def test_text_that_is_not_valid_is_kept_and_says_why(model):
    model.set_rows(LINES)
    edits, kept = [], []
    model.edited.connect(edits.extend)
    model.kept_changed.connect(kept.extend)
    index = model.index(0, 1)
    assert model.setData(index, "12l.3")
    assert not edits
    assert kept == [Kept(LINES[0], "hours", "12l.3", "Not a number of hours.")]
    assert index.data() == "12l.3"
    assert index.data(Qt.ItemDataRole.ToolTipRole) == "Not a number of hours."
    assert "Not a number of hours." in index.data(Qt.ItemDataRole.AccessibleTextRole)
    model.setData(index, "12.3")
    assert edits == [CellEdit(LINES[0], "hours", Decimal("12.3"), "12.3")]
    assert index.data() == "10"  # the owner of the rows has not set them anew yet


def test_a_cell_that_takes_no_text_takes_none(model):
    model.set_rows([Line("locked", "x", Decimal(1))])
    edits = []
    model.edited.connect(edits.extend)
    assert not model.setData(model.index(0, 1), "5")
    assert not model.setData(model.index(0, 0), "5")
    assert not edits


def test_sections_fold_and_keep_what_was_folded(grid, model):
    sections = [
        Section(Line("G1", "one", Decimal(0)), LINES[:2]),
        Section(Line("G2", "two", Decimal(0)), LINES[2:]),
    ]
    model.set_sections(sections)
    head = model.index(0, 0)
    assert grid.isExpanded(head)
    grid.collapse(head)
    changed = replace(LINES[2], hours=Decimal(1))
    model.set_sections([sections[0], Section(sections[1].head, (changed,))])
    assert not grid.isExpanded(model.index(0, 0))
    assert grid.isExpanded(model.index(1, 0))
    assert _shown(model, model.index(1, 0)) == ["c"]


def test_a_block_from_a_spreadsheet_is_one_act(grid, model, qtbot):
    model.set_rows(LINES)
    acts = []
    model.edited.connect(acts.append)
    QGuiApplication.clipboard().setText("1\tfirst\n2\tsecond\nx\tthird\n4\tfourth\n")
    grid.setCurrentIndex(model.index(0, 1))
    qtbot.keyClick(grid, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    assert len(acts) == 1
    assert [(e.row.id, e.key, e.value) for e in acts[0]] == [
        ("a", "hours", Decimal(1)),
        ("a", "note", "first"),
        ("b", "hours", Decimal(2)),
        ("b", "note", "second"),
        ("c", "note", "third"),
    ]
    assert model.index(2, 1).data() == "x"


def test_ctrl_d_fills_with_what_stands_above(grid, model, qtbot):
    model.set_rows(LINES)
    acts = []
    model.edited.connect(acts.append)
    grid.setCurrentIndex(model.index(1, 1))
    qtbot.keyClick(grid, Qt.Key.Key_D, Qt.KeyboardModifier.ControlModifier)
    assert [(e.row.id, e.value) for e in acts[0]] == [("b", Decimal(10))]


def test_copied_cells_are_tabs_and_lines_without_formulas(grid, model, qtbot):
    model.set_rows([Line("a", "=1+1", Decimal(-5)), LINES[1]])
    grid.selectAll()
    qtbot.keyClick(grid, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    assert QGuiApplication.clipboard().text() == "'=1+1\t-5\t\nline b\t9\t"


@pytest.mark.parametrize("text", ["=A1", "+cmd", "-x", "@SUM(A1)", "\t=A1"])
def test_formulas_are_disarmed(text):
    assert not disarmed(text).startswith(("=", "+", "-", "@", "\t"))


def test_typing_and_enter_goes_down_the_column(grid, model, qtbot):
    model.set_rows(LINES)
    acts, typed = [], []
    model.edited.connect(acts.append)
    grid.typing.connect(lambda row, key, text: typed.append((row.id, key, text)))
    grid.setCurrentIndex(model.index(0, 1))
    grid.setFocus()
    qtbot.keyClick(grid, Qt.Key.Key_7)
    editor = grid.indexWidget(grid.currentIndex()) or grid.viewport().focusWidget()
    qtbot.keyClick(editor, Qt.Key.Key_5)
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    assert [(e.row.id, e.value) for e in acts[0]] == [("a", Decimal(75))]
    assert typed[-1] == ("a", "hours", "75")
    assert grid.currentIndex().row() == 1


def test_tab_goes_to_the_next_cell_that_takes_text_and_then_leaves(grid, model, qtbot):
    model.set_rows(LINES)
    grid.setCurrentIndex(model.index(0, 0))
    grid.setFocus()
    qtbot.keyClick(grid, Qt.Key.Key_Tab)
    assert grid.current_key() == "hours"
    qtbot.keyClick(grid, Qt.Key.Key_Tab)
    assert grid.current_key() == "note"
    qtbot.keyClick(grid, Qt.Key.Key_Backtab)
    assert grid.current_key() == "hours"


def test_a_huge_paste_is_refused(grid, model, qtbot):
    model.set_rows(LINES)
    refused, acts = [], []
    grid.refused.connect(refused.append)
    model.edited.connect(acts.append)
    QGuiApplication.clipboard().setText("\n".join(["1\t2"] * 15_000))
    grid.setCurrentIndex(model.index(0, 1))
    grid.paste()
    assert refused == ["20,000"]
    assert not acts
