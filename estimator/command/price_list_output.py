"""Price lists as the verbs answer them: plain data, and text."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from estimator.command.answer import Options
from estimator.command.columns import table
from estimator.domain.problem import Place, Problem
from estimator.services.errors import Refused

if TYPE_CHECKING:
    from estimator.domain.price_list.compare import Change
    from estimator.domain.price_list.linked import LinkedCost
    from estimator.domain.price_list.taken import TakenList
    from estimator.services.preview_price_list import ListPreview
    from estimator.services.price_list_effect import Effect

MOST_SHOWN = 40  # changes of a preview as text


def bad_option(where: str, message: str) -> Refused:
    """An option that cannot be followed."""
    return Refused("The price list", [Problem("bad-option", Place(where), message)])


def preview_data(found: ListPreview, effect: Effect, options: Options) -> dict[str, object]:
    """A preview as plain data."""
    from estimator.domain.price_list.mapping import mapping_data

    assert found.comparison is not None
    changes = _wanted(found.comparison.changes, options)
    return {
        "file": found.file, "sha256": found.sha256, "supplier": found.wish.supplier,
        "full": found.wish.full, "price_date": str(found.price_date),
        "rows": found.rows, "left_out": found.left_out, "already_taken_as": found.already,
        "remembered_mapping": found.remembered, "mapping": mapping_data(found.mapping),
        "counts": {**found.comparison.counts(), "same": found.comparison.same},
        "moved_percent": _percent(found.comparison.moved),
        "changes": [_change_data(one) for one in changes],
        "linked": [cost_data(one) for one in effect.costs],
        "links_moved": [[one.code, one.key, two.key] for one, two in effect.moved],
        "problems": [
            {"code": one.code, "warning": one.warning, "said": str(one)} for one in found.problems
        ],
    }  # fmt: skip


def _wanted(changes: Sequence[Change], options: Options) -> list[Change]:
    from estimator.domain.price_list.compare import KINDS

    if options.kind and options.kind not in KINDS:
        raise bad_option("--kind", f"{options.kind} is none of {', '.join(KINDS)}.")
    some = [one for one in changes if not options.kind or one.kind == options.kind]
    return sorted(some, key=lambda one: KINDS.index(one.kind))[: max(options.most, 0)]


def preview_text(found: ListPreview, effect: Effect, options: Options) -> str:
    """A preview in words."""
    assert found.comparison is not None
    counts = {**found.comparison.counts(), "same": found.comparison.same}
    lines = [
        f"{found.file} of {found.wish.supplier}, prices of {found.price_date}: "
        f"{found.rows:,} rows, {found.left_out:,} left out.",
        f"{counts_text(counts)}.",
    ]
    if found.comparison.moved is not None:
        lines.append(f"In the middle prices move by {_percent(found.comparison.moved)} %.")
    lines += [f"  {one}" for one in found.problems[:MOST_SHOWN]]
    rows = [
        ("take" if one.taken_unless_said else "leave", one.kind, one.item.cells.number,
         "" if one.old is None else str(one.old.price),
         "" if one.new is None else str(one.new.price),
         "" if one.ratio is None else f"{_percent(one.ratio)} %", one.why)
        for one in _wanted(found.comparison.changes, options)
    ]  # fmt: skip
    if rows:
        lines += ["", table(("", "kind", "number", "was", "is", "by", "why"), rows)]
    return "\n".join([*lines, *cost_lines(effect.costs)])


def _percent(ratio: float | None) -> str | None:
    return None if ratio is None else f"{(ratio - 1) * 100:+.1f}"


def item_data(item: Any) -> dict[str, object]:
    """An item as plain data."""
    return {"key": item.key, "minor": item.minor, **item.cells._asdict()}


def _change_data(one: Change) -> dict[str, object]:
    return {
        "kind": one.kind, "key": one.key, "taken_unless_said": one.taken_unless_said,
        "old": None if one.old is None else item_data(one.old),
        "new": None if one.new is None else item_data(one.new),
        "percent": _percent(one.ratio), "why": one.why,
    }  # fmt: skip


def cost_data(one: LinkedCost) -> dict[str, object]:
    """A part's cost before and after, as plain data."""
    return {
        "part": one.before.id, "needs": list(one.before.needs), "old": str(one.old),
        "new": None if one.new is None else str(one.new), "why": one.why,
    }  # fmt: skip


def cost_lines(costs: Sequence[LinkedCost]) -> list[str]:
    """Costs of parts in words, a line each."""
    return [
        f"  {one.before.id} {one.before.name}: {one.old} -> "
        f"{one.new if one.new is not None else 'stays. ' + one.why}"
        for one in costs
    ]


def list_data(one: TakenList) -> dict[str, object]:
    """A list that was taken in, as plain data."""
    return {
        "list": one.number, "supplier": one.supplier, "file": one.file, "sha256": one.sha256,
        "full": one.full, "price_date": str(one.price_date), "taken_by": one.taken_by,
        "taken_at": one.taken_at.isoformat(), "counts": dict(one.counts), "edition": one.edition,
        "undone_by": one.undone_by,
        "undone_at": one.undone_at.isoformat() if one.undone_at else None,
    }  # fmt: skip


def counts_text(counts: Any) -> str:
    """How many changes there were of each kind."""
    some = Counter(dict(counts))
    return ", ".join(f"{n:,} {kind}" for kind, n in some.items() if n) or "nothing"
