"""What a new list changes in a supplier's items: every change as a value, to be taken or left.

Prices are compared as what one of it costs after discount. An *outlier* moved away from the rest of
its list: by more than OUTLIER_SPREADS robust spreads (1.4826 x the median of the distances from the
median of the logarithms of all ratios; the usual estimate of a standard deviation that a few wild
values do not move), though never less than LEAST_APART, or by a factor of OUTLIER_FACTOR whatever
the rest did.
"""

from __future__ import annotations

from collections import ChainMap
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import repeat
from math import exp, log
from statistics import median
from typing import NamedTuple, cast

from estimator.domain.price_list.item import BETWEEN, Item, Plain, net_each, part_key
from estimator.domain.wording import worded

NEW, CHANGED, DETAILS, SUPERSEDED = "new", "changed", "details", "superseded"
GONE, OUTLIER, UNIT_TRAP, CURRENCY_TRAP = "gone", "outlier", "unit", "currency"
RING = "ring"
KINDS = (
    OUTLIER, UNIT_TRAP, CURRENCY_TRAP, RING, SUPERSEDED, CHANGED, NEW, GONE, DETAILS,
)  # fmt: skip  # what needs a look comes first
LEFT_UNLESS_SAID = frozenset({OUTLIER, UNIT_TRAP, CURRENCY_TRAP, RING})
OUTLIER_SPREADS, LEAST_APART, OUTLIER_FACTOR = 6.0, log(1.25), 2.0
FACTOR_LOG = log(OUTLIER_FACTOR)
ROBUST = 1.4826  # median absolute deviation to standard deviation of a normal distribution
PACKS, NEAR = (10, 100, 1000), log(1.2)  # a ratio so near a pack speaks of another price unit


class Change(NamedTuple):
    """One item before and after; `old` is None where it is new, `new` None where it is gone.
    `ratio` is the price of one now to then, None where they cannot be compared. `why` says in words
    what is odd about it, "" where nothing is."""

    kind: str
    key: str
    old: Item | None
    new: Item | None
    ratio: float | None = None
    why: str = ""

    @property
    def item(self) -> Item:
        """The item as it is afterwards, or as it was."""
        item = self.new or self.old
        if item is None:
            raise ValueError("a change of nothing")
        return item

    @property
    def taken_unless_said(self) -> bool:
        """Whether it is taken where nobody says otherwise."""
        return self.kind not in LEFT_UNLESS_SAID


@dataclass(frozen=True, slots=True)
class Comparison:
    """Everything a list changes. `moved` is the middle of all ratios of prices that can be
    compared, None where there are none; `same` counts items that stay as they are."""

    changes: tuple[Change, ...]
    same: int
    moved: float | None

    def counts(self) -> dict[str, int]:
        """How many changes there are of each kind."""
        found = dict.fromkeys(KINDS, 0)
        for change in self.changes:
            found[change.kind] += 1
        return found

    def usual(self) -> frozenset[str]:
        """Keys of the changes that are taken where nobody says otherwise."""
        return frozenset({one[1] for one in self.changes if one[0] not in LEFT_UNLESS_SAID})


def compared(
    old: Mapping[str, Plain],
    new: Sequence[Item],
    *,
    full: bool,
    currency: str = "",
    faulty: frozenset[str] = frozenset(),
    supersedes: bool = True,
) -> Comparison:
    """What the items `new` change in the items `old` (by key, as they are kept).

    `full`: the list holds all that the supplier sells, so that what it lacks is gone, but for
    `faulty`, which it has and nobody could read. `currency` is the supplier's usual one, "" where
    none is known. `supersedes`: some of the new items may name what takes their place. No key may
    stand twice in `new`.
    """
    added, pairs = _paired(old, new)
    ratios = [_ratio(one, two) for one, two in pairs]
    logs = [log(ratio) for ratio in ratios if ratio is not None and ratio > 0]
    middle, spread = _middle(logs)
    allowed = max(OUTLIER_SPREADS * spread, LEAST_APART)
    changes = [_changed(one, two, ratio, middle, allowed)
               for (one, two), ratio in zip(pairs, ratios, strict=True)]  # fmt: skip
    changes += _new_changes(added)
    if full:
        there = {item[0] for item in new} | faulty
        changes += [
            Change(GONE, key, Item._make(item), None)
            for key, item in old.items()
            if key not in there
        ]
    changes = _with_currencies(changes, currency)
    return Comparison(
        changes=tuple(_with_successors(changes, old, new) if supersedes else changes),
        same=len(new) - len(added) - len(pairs),
        moved=exp(middle) if logs else None,
    )


def _new_changes(added: Sequence[Item]) -> list[Change]:
    """A change for each new item, without a call for each."""
    keys = [item[0] for item in added]
    rows = zip(repeat(NEW), keys, repeat(None), added, repeat(None), repeat(""), strict=False)
    return list(map(cast("Callable[[object], Change]", partial(tuple.__new__, Change)), rows))


def _paired(
    old: Mapping[str, Plain], new: Sequence[Item]
) -> tuple[list[Item], list[tuple[Item, Item]]]:
    """Items that are not there yet, and those that are there otherwise: (then, now)."""
    added: list[Item] = []
    pairs: list[tuple[Item, Item]] = []
    find = old.get
    for item in new:
        there = find(item[0])
        if there is None:
            added.append(item)
        elif there != item:
            pairs.append((Item._make(there), item))
    return added, pairs


def _ratio(old: Item, new: Item) -> float | None:
    """The price of one now to then; None across currencies."""
    if old.said == new.said:
        return new.minor / old.minor
    was, now = old.cells, new.cells
    if was.currency != now.currency:
        return None
    return float(net_each(new.minor, now) / net_each(old.minor, was))


def _middle(logs: list[float]) -> tuple[float, float]:
    """Median, and the robust spread about it."""
    if not logs:
        return 0.0, 0.0
    middle = median(logs)
    return middle, ROBUST * median([abs(one - middle) for one in logs])


def _changed(old: Item, new: Item, ratio: float | None, middle: float, allowed: float) -> Change:
    key = new[0]
    if ratio is None:
        return Change(CURRENCY_TRAP, key, old, new, None, _currency_why(old, new))
    size = log(ratio)
    far = abs(size - middle) > allowed or abs(size) > FACTOR_LOG
    alike = old[2] == new[2]
    if alike and not far:  # nearly all of them
        return Change(CHANGED, key, old, new, ratio)
    if why := _unit_why(old, new, size, middle):
        return Change(UNIT_TRAP, key, old, new, ratio, why)
    if far:
        why = worded(
            "The price is {times} times what it was; in the middle the list moved by {moved} %.",
            times=round(ratio, 2), moved=round((exp(middle) - 1) * 100, 1),
        )  # fmt: skip
        return Change(OUTLIER, key, old, new, ratio, why)
    return Change(DETAILS if ratio == 1 else CHANGED, key, old, new, ratio)


def _currency_why(old: Item, new: Item) -> str:
    return worded("The currency was {old} and is {new}.",
                  old=old.cells.currency, new=new.cells.currency)  # fmt: skip


def _unit_why(old: Item, new: Item, size: float, middle: float) -> str:
    """Why the price may be for another quantity than before; "" where nothing speaks for it."""
    if old.said != new.said:
        was, now = old.cells, new.cells
        if was.unit != now.unit and was.unit and now.unit:
            return worded("The unit was {old} and is {new}.", old=was.unit, new=now.unit)
        if was.per != now.per and abs(size - middle) > NEAR:
            return worded("The price was for {old} and is for {new}, and does not fit that.",
                          old=was.per, new=now.per)  # fmt: skip
    for pack in PACKS:
        if abs(abs(size - middle) - log(pack)) < NEAR:
            return worded("The price moved by about {pack}: is it for another quantity?",
                          pack=pack)  # fmt: skip
    return ""


def _with_currencies(changes: list[Change], usual: str) -> list[Change]:
    """New items in another currency than the supplier's usual one are marked."""
    if not usual:
        return changes
    return [
        change._replace(kind=CURRENCY_TRAP, why=worded(
            "It is in {new}; this supplier's lists are in {old}.",
            new=change.item.cells.currency, old=usual))
        if change.kind == NEW and change.item.cells.currency != usual
        else change
        for change in changes
    ]  # fmt: skip


def _with_successors(
    changes: list[Change], old: Mapping[str, Plain], new: Sequence[Item]
) -> list[Change]:
    """Items whose place another has taken since are marked, rings of them too."""
    empty = BETWEEN * 2  # successor and day both blank at the end: nearly all of them
    named = [n for n, one in enumerate(changes)
             if one.new is not None and not one.new.said.endswith(empty)]  # fmt: skip
    if not named:
        return changes
    before = {key: Item._make(item) for key, item in old.items()}
    items = ChainMap({item.key: item for item in new}, before)
    marked = list(changes)
    for place in named:
        marked[place] = _with_successor(changes[place], items)
    return marked


def _with_successor(change: Change, items: Mapping[str, Item]) -> Change:
    item = change.item
    after = successor(item)
    if not after or (change.old is not None and successor(change.old) == after):
        return change
    last, ring = last_successor(item.key, items)
    if ring:
        return change._replace(kind=RING, why=worded("What takes its place leads back to it."))
    if change.kind in LEFT_UNLESS_SAID:
        return change
    if (there := items.get(last)) is None:
        why = worded("{number} takes its place and stands in no list yet.", number=last)
    else:
        why = worded("{number} has taken its place.", number=there.cells.number)
    return change._replace(kind=SUPERSEDED, why=why)


def successor(item: Item) -> str:
    """Key of what took an item's place; "" for none, and where it names itself."""
    after = part_key(item.cells.superseded_by)
    return "" if after == item.key else after


def last_successor(key: str, items: Mapping[str, Item]) -> tuple[str, bool]:
    """(the last that took its place, whether they lead in a ring). A key that stands nowhere ends
    the chain."""
    seen = [key]
    while (item := items.get(seen[-1])) is not None and (after := successor(item)):
        if after in seen:
            return after, True
        seen.append(after)
    return seen[-1], False
