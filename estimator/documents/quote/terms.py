"""Terms, warranty and safety cautions."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from reportlab.platypus import CondPageBreak

from estimator.documents.grammar import label_texts, labels
from estimator.documents.grammar.columns import Flow
from estimator.documents.grammar.fonts import ITALIC, REGULAR, SEMIBOLD, marked
from estimator.documents.grammar.look import GAP, WIDTH, style
from estimator.documents.grammar.text import Text
from estimator.documents.grammar.wording import NOTHING, apart
from estimator.documents.quote.sheet import Sheet
from estimator.domain.catalogue.rows import Caution, Warranty

_HALF = (WIDTH - GAP) / 2


def terms(sheet: Sheet) -> list[Any]:
    """Terms and warranty in two columns."""
    parts = [(title, sheet.formed(section)) for section, title in labels.TERM_PARTS.items()]
    stacks = [_term(sheet, title, texts) for title, texts in parts if texts]
    return [
        *sheet.section(labels.TERMS, "terms", before=12),
        Flow([one for stack in (*stacks, _warranty(sheet)) for one in stack], 2),
    ]


def _term(sheet: Sheet, title: str, texts: list[str]) -> list[Any]:
    return [sheet.text(title, "part", keep=True, before=5, after=1.5),
            *(sheet.bullet(text, name="second") for text in texts)]  # fmt: skip


def _warranty(sheet: Sheet) -> list[Any]:
    """Groups with the same months and hours stand in one row."""
    words = sheet.words
    rows = [[sheet.text(labels.MONTHS, "head"), sheet.text(labels.WARRANTY_HOURS, "head"),
             sheet.text(labels.WARRANTY_GROUPS, "head")]]  # fmt: skip
    for (months, hours), names in same_warranty(sheet.quote.warranty):
        shown = NOTHING if hours is None else words.quantity(Decimal(hours))
        rows.append([sheet.text(str(months), "cell"), sheet.text(shown, "cell"),
                     sheet.text(apart(names), "cell")])  # fmt: skip
    found: list[Any] = [sheet.text(labels.WARRANTY, "part", keep=True, before=5, after=1.5)]
    if len(rows) > 1:
        found.append(sheet.table(rows, [36, 36, _HALF - 72], pad=1))
        found[-1].spaceAfter = 3
    return [*found, *(sheet.bullet(text, name="second") for text in sheet.clauses("warranty"))]


def same_warranty(
    rows: tuple[tuple[str, Warranty], ...],
) -> list[tuple[tuple[int, int | None], list[str]]]:
    """Groups by the months and hours they share, the longest first."""
    found: dict[tuple[int, int | None], list[str]] = {}
    for name, row in rows:
        note = f" ({row.note})" if row.note else ""
        found.setdefault((row.months, row.hours), []).append(f"{name}{note}")
    return sorted(found.items(), key=lambda item: (-item[0][0], -(item[0][1] or 0)))


def safety(sheet: Sheet) -> list[Any]:
    """What comes first, what the customer must do, and a caution for each hazard of this work."""
    first = sheet.clause("safety: first")
    points = [sheet.bullet(text, name="second") for text in sheet.clauses("safety: points")]
    cautions = sheet.quote.cautions
    found = [
        *sheet.section(labels.SAFETY, "safety", before=12),
        sheet.text(first, "strong", after=2),
        *points,
    ]
    if not cautions:
        return found
    note = sheet.clause("safety: scope")
    return [
        *found,
        CondPageBreak(60),
        sheet.text(note, "second", before=2, after=2),
        Flow([_caution(one) for one in cautions], 2),
    ]


def family_said(row: Caution) -> str:
    """Family of standards without the catalogue's remarks on where it was read; "" for none. The
    catalogue names it in the language being spoken, or in English where that has no name."""
    family = row.family
    for remark in (*labels.FAMILY_REMARKS, *label_texts.FAMILY_REMARKS):
        family = family.replace(f" {remark}", "").replace(remark, "")
    return "" if family in (labels.NO_FAMILY, label_texts.NO_FAMILY) else family


def _caution(row: Caution) -> Text:
    text = f"{marked(f'{row.hazard}.', SEMIBOLD, tagged=True)} {marked(row.caution, REGULAR)}."
    if family := family_said(row):
        text = f"{text} {marked(f'{family}.', ITALIC, tagged=True)}"
    return Text(text, style("note", after=1.8))
