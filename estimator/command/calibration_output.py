"""How quotes held, as data and as text."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict

from estimator.command.columns import table
from estimator.command.text_output import in_ten, percent
from estimator.domain.calibration import CONFIDENCE, Estimate, Inside, Score
from estimator.services.show_calibration import CalibrationShown, flat_sentence, sentence

NOTE = (
    "Sums count as shares of the base that was quoted. Intervals are Wilson's, at "
    f"{CONFIDENCE:.0%}. Misses are mean pinball losses; the flat percentage of the other jobs is "
    "the fair comparison, the one chosen afterwards a handicap for the quotes."
)


def calibration_data(shown: CalibrationShown) -> dict[str, object]:
    """Every figure; shares as numbers from 0 to 1, losses as shares of base."""
    found = shown.calibration
    return {
        "jobs": found.jobs,
        "flat_quotes": shown.flat_quotes,
        "says": sentence(shown),
        "says_of_flat": flat_sentence(shown),
        "verdict": found.verdict.kind,
        "against_flat": found.flat,
        "interval": CONFIDENCE,
        "inside": [_inside(row) for row in found.inside],
        "reliability": [_inside(row) for row in found.reliability],
        "scores": [asdict(one) for one in found.scores],
        "final_less_mean": asdict(found.above_mean) if found.above_mean else None,
        "inside_base_and_contingency": asdict(shown.held) if shown.held else None,
    }


def _inside(row: Inside) -> dict[str, object]:
    return {**asdict(row), "share": row.share}


def calibration_text(shown: CalibrationShown) -> str:
    """What can be said, then the figures it rests on."""
    found, held = shown.calibration, shown.held
    lines = [sentence(shown)]
    if found.scores:
        lines.append(flat_sentence(shown))
    if found.inside:
        lines += ["", _inside_table(found.reliability)]
    if found.scores:
        lines += ["", "Missed by, % of base", _score_table(found.scores)]
    if found.above_mean:
        lines += ["", f"Final sum less quoted mean, % of base: {_span(found.above_mean)}"]
    if held:
        share = f"{percent(held.low)} to {percent(held.high)} in the long run"
        lines += ["", f"Inside base and contingency as quoted: {held.inside} of {held.jobs} closed "
                  f"jobs ({share})."]  # fmt: skip
    if shown.flat_quotes:
        lines.append(f"{shown.flat_quotes} closed jobs have no quoted distribution.")
    return "\n".join([*lines, "", NOTE] if found.inside else lines)


def _inside_table(rows: Sequence[Inside]) -> str:
    cells = [
        (in_ten(row.stated), f"{row.inside} of {row.jobs}", percent(row.share),
         f"{percent(row.low)} to {percent(row.high)}")
        for row in rows
    ]  # fmt: skip
    return table(("Quoted as", "Inside", "Share", "In the long run"), cells, right=(1, 2))


def _score_table(rows: Sequence[Score]) -> str:
    cells = [
        (in_ten(row.stated), _points(row.quoted), _points(row.flat_left_out),
         _span(row.against_left_out), _points(row.flat_hindsight), _span(row.against_hindsight))
        for row in rows
    ]  # fmt: skip
    head = ("Quoted as", "Quotes", "Flat, other jobs", "Difference", "Flat, afterwards",
            "Difference")  # fmt: skip
    return table(head, cells, right=(1, 2, 4))


def _points(share: float) -> str:
    return f"{share * 100:.2f}"


def _span(one: Estimate) -> str:
    return f"{one.mean * 100:+.2f} ({one.low * 100:+.2f} to {one.high * 100:+.2f})"
