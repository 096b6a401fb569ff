"""Small made-up exposures: a handful of parts with their chances, loadings and costs."""

from __future__ import annotations

from dataclasses import dataclass, replace

from hypothesis import strategies as st

from estimator.domain.exposure.cost_when_worn import ExposedPart
from estimator.domain.exposure.exposed_parts import Chance, Known
from estimator.domain.exposure.factors import CircuitTest, FactorModel, Item
from estimator.domain.exposure.pert import Pert
from estimator.domain.exposure.ways_when_worn import WayWhenWorn
from estimator.domain.exposure.wear_out import Age

CIRCUITS = ("", "EO", "HO")


def item(
    part: str,
    chance: float = 0.3,
    circuit: str = "",
    life: float = 0.4,
    shared: float = 0.45,
    ratio: float = 1.0,
    state: bool | None = None,
) -> Item:
    """One part; loaded on its circuit only where it has one."""
    return Item(part, circuit, life, shared if circuit else 0.0, (chance,), ratio, state)


def exposed(part: str, cost: Pert, added_days: float = 0.0, activity: str = "A01") -> ExposedPart:
    """An open part with its cost; nothing else of it matters to the sums."""
    chance = Chance(
        part, Age(1.0, 0.0, ""), 2.0, 1.0, 0.3, 0.3, 0, "judged", (), 1.0, 0.3, 0.3, 0.4, 0.0,
        "", None,
    )  # fmt: skip
    way = WayWhenWorn("replace", 1.0, cost, cost, added_days, activity, "judged")
    return ExposedPart(part, f"G{len(part):02}", "C01A", part, chance, (way,))


def known(items: list[Item], tests: tuple[CircuitTest, ...] = ()) -> Known:
    return Known(FactorModel(items, tests), {}, (), (), ())


@dataclass(frozen=True)
class Open:
    """Some open parts with what each would cost."""

    items: tuple[Item, ...]
    costs: tuple[Pert, ...]

    @property
    def known(self) -> Known:
        return known(list(self.items))

    @property
    def exposed(self) -> tuple[ExposedPart, ...]:
        return tuple(
            exposed(one.part, cost) for one, cost in zip(self.items, self.costs, strict=True)
        )

    def scaled(self, by: float) -> Open:
        return replace(
            self,
            costs=tuple(Pert(c.low * by, c.likely * by, c.high * by) for c in self.costs),
        )


def chances(low: float = 0.01, high: float = 0.95) -> st.SearchStrategy[float]:
    return st.floats(low, high).map(lambda one: round(one, 4))


@st.composite
def items(draw, least: int = 1, most: int = 5, settled: bool = False) -> list[Item]:
    """Parts of a machine, none, some or all of them sharing oil."""
    count = draw(st.integers(least, most))
    states = st.sampled_from([None, None, True, False] if settled else [None])
    return [
        item(
            f"P{number}",
            draw(chances()),
            draw(st.sampled_from(CIRCUITS)),
            draw(st.floats(0, 0.7)),
            draw(st.floats(0.05, 0.7)),
            draw(st.sampled_from([0.2, 0.5, 1.0, 1.0, 2.75, 5.0])),
            draw(states),
        )
        for number in range(count)
    ]


@st.composite
def perts(draw) -> Pert:
    """A cost in whole units, low to high, now and then a fixed one."""
    low = draw(st.integers(50, 9000))
    likely = low + draw(st.integers(0, 3000))
    high = likely + draw(st.integers(0, 9000))
    return Pert(float(low), float(likely), float(high))


@st.composite
def narrow_perts(draw) -> Pert:
    """A cost known to a hundredth or so; a sum of these is reckoned many times as fast."""
    low = draw(st.integers(50, 9000))
    likely = low * (1 + draw(st.integers(0, 6)) / 1000)
    high = likely * (1 + draw(st.integers(0, 9)) / 1000)
    return Pert(float(low), likely, high)


@st.composite
def opens(draw, least: int = 1, most: int = 3) -> Open:
    parts = draw(items(least, most))
    costs = tuple(draw(st.lists(narrow_perts(), min_size=len(parts), max_size=len(parts))))
    return Open(tuple(parts), costs)
