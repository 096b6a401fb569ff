"""Parts that wear together: the factor model against scipy's normals and against draws.

Bivariate normals and integration come from scipy 1.17.1; the whole model, with settled parts, signs
and circuit tests, is drawn a million times with quasi-random numbers and a fixed seed.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy import integrate, stats
from scipy.special import ndtr, ndtri

from estimator.domain.exposure.distribution import Distribution
from estimator.domain.exposure.factors import CircuitTest, FactorModel, Item, LoadingError
from estimator.domain.exposure.pert import Pert
from estimator.domain.exposure.shares import conditional_means


def as_beta(cost: Pert):
    """PERT in scipy's words."""
    return stats.beta(cost.alpha, cost.beta, loc=cost.low, scale=cost.high - cost.low)


def both_worn(one: Item, other: Item) -> float:
    """P(both) as the model has it: P(one) x P(other | one worn)."""
    model = FactorModel([replace(one, state=True), other], ())
    return one.chances[0] * model.chance(other)


@pytest.mark.parametrize(
    ("one", "other", "correlation"),
    [
        (Item("A", "O", 0.4, 0.5, (0.3,)), Item("B", "O", 0.35, 0.3, (0.15,)), 0.29),
        (Item("A", "O", 0.4, 0.5, (0.3,)), Item("B", "H", 0.35, 0.3, (0.15,)), 0.14),
        (Item("A", "O", 0.4, 0.5, (0.02,)), Item("B", "", 0.6, 0.0, (0.9,)), 0.24),
        (Item("A", "O", 0.65, 0.65, (0.5,)), Item("B", "O", 0.65, 0.65, (0.1,)), 0.845),
        (Item("A", "O", 0.4, 0.5, (0.3,)), Item("B", "O", 0.0, 0.0, (0.2,)), 0.0),
        (Item("A", "O", 0.7, 0.7, (0.5,)), Item("B", "O", 0.7, 0.7, (0.1,)), 0.98),
        (Item("A", "O", 0.1, 0.98, (0.3,)), Item("B", "O", 0.1, 0.98, (0.1,)), 0.9704),
        (Item("A", "", 0.99, 0.0, (0.3,)), Item("B", "", 0.99, 0.0, (0.1,)), 0.9801),
    ],
    ids=["one circuit", "two circuits", "no circuit", "strongly", "unconnected", "as one",
         "as one oil", "as one life"],
)  # fmt: skip
def test_two_parts_against_the_bivariate_normal(one, other, correlation):
    loads = one.life * other.life
    loads += one.shared * other.shared if one.circuit == other.circuit else 0.0
    assert loads == pytest.approx(correlation)
    joint = stats.multivariate_normal(cov=[[1, correlation], [correlation, 1]])
    wanted = joint.cdf(ndtri([one.chances[0], other.chances[0]]))
    assert both_worn(one, other) == pytest.approx(float(wanted), abs=2e-6)


def test_chances_alone_are_what_was_put_in():
    items = [Item("A", "O", 0.4, 0.5, (0.3,)), Item("B", "O", 0.3, 0.2, (0.001,)),
             Item("C", "", 0.45, 0.0, (0.97,))]  # fmt: skip
    model = FactorModel(items, ())
    for item in items:
        assert model.chance(item) == pytest.approx(item.chances[0], abs=1e-7)
    assert model.life_moments() == pytest.approx((0, 1), abs=1e-5)
    assert model.circuit_moments("O") == pytest.approx((0, 1), abs=1e-4)


@pytest.mark.parametrize("alarm", [True, False])
def test_a_circuit_test_against_integration(alarm):
    """P(worn | test) over the circuit's factor by adaptive quadrature."""
    item = Item("A", "O", 0.0, 0.6, (0.25,))
    test = CircuitTest("O", alarm, 0.65, 0.80, 0.5, 0.5)

    def answer(c: float) -> float:
        raised = (1 - 0.80) + (0.65 + 0.80 - 1) * ndtr((c - 0.5) / 0.5)
        return raised if alarm else 1 - raised

    def worn(c: float) -> float:
        return ndtr((0.6 * c + ndtri(0.25)) / 0.8)

    def over(function) -> float:
        return integrate.quad(lambda c: function(c) * stats.norm.pdf(c), -9, 9, epsabs=1e-12)[0]

    wanted = over(lambda c: answer(c) * worn(c)) / over(answer)
    found = FactorModel([item], [test]).chance(item)
    assert found == pytest.approx(wanted, abs=1e-7)
    assert (found > 0.25) is alarm


def test_zero_loadings_mean_independence():
    open_item = Item("D", "O", 0.0, 0.0, (0.4,), ratio=2.0)
    others = [Item(part, "O", 0.0, 0.0, (0.3,), state=state)
              for part, state in (("A", True), ("B", True), ("C", False))]  # fmt: skip
    tests = [CircuitTest("O", True, 0.9, 0.9, 0.5, 0.5)]
    found = FactorModel([*others, open_item], tests).chance(open_item)
    assert found == pytest.approx(2 * 0.4 / (0.6 + 2 * 0.4), abs=1e-12)


def test_zero_loadings_give_the_same_distribution_as_no_factors():
    costs = {"A": Pert(900, 1200, 2500), "B": Pert(400, 500, 900), "C": Pert(3000, 3500, 6000)}
    chances = {"A": 0.4, "B": 0.7, "C": 0.2}
    apart = [Item(part, "", 0.0, 0.0, (chance,)) for part, chance in chances.items()]
    plain = Distribution(FactorModel(apart, ()), costs, {})
    items = [Item(part, "O", 0.0, 0.0, (chance,)) for part, chance in chances.items()]
    loaded = Distribution(FactorModel(items, ()), costs, {})
    for share in (0.3, 0.6, 0.9):
        assert loaded.percentile(share) == pytest.approx(plain.percentile(share), abs=1e-6)


def like_parts(states: tuple[bool | None, ...]) -> float:
    """Chance of the fourth of four like parts, the other three as given."""
    items = [Item(f"P{n}", "O", 0.4, 0.45, (0.3,), state=s) for n, s in enumerate(states)]
    fourth = Item("P4", "O", 0.4, 0.45, (0.3,))
    return FactorModel([*items, fourth], ()).chance(fourth)


def test_three_worn_raise_the_fourth_and_three_sound_lower_it():
    by_worn = [like_parts(tuple(n < worn for n in range(3))) for worn in range(4)]
    assert by_worn == sorted(by_worn)
    assert by_worn[0] < 0.3 < by_worn[3]
    assert by_worn[3] > 0.5
    assert like_parts((None, None, None)) == pytest.approx(0.3, abs=1e-7)


def test_a_sign_on_one_part_moves_the_others_less():
    signed, other = (Item(p, "O", 0.4, 0.45, (0.3,)) for p in "AB")
    signed = replace(signed, ratio=4.0)
    model = FactorModel([signed, other], ())
    assert model.chance(signed) == pytest.approx(4 * 0.3 / (0.7 + 1.2), abs=1e-7)
    assert 0.3 < model.chance(other) < model.chance(signed)


@pytest.mark.parametrize("loads", [(0.8, 0.6), (1.0, 0.0), (0.0, -1.0), (float("nan"), 0.1)])
def test_loadings_of_one_or_more_are_refused(loads):
    with pytest.raises(LoadingError, match="A: the squares of its loadings"):
        Item("A", "O", *loads, (0.3,))


@pytest.mark.parametrize(
    ("settled", "worn", "loading", "chance"),
    [(60, 20, 0.6, 0.3), (200, 60, 0.6, 0.3), (60, 55, 0.6, 0.1), (200, 60, 0.9, 0.3)],
)
def test_many_settled_parts_leave_a_sharp_factor(settled, worn, loading, chance):
    """The next one of many like parts, by the trapezoid rule on two hundred thousand points."""
    items = [Item(f"S{n}", "O", 0.0, loading, (chance,), state=n < worn) for n in range(settled)]
    open_item = Item("X", "O", 0.0, loading, (chance,))
    points = np.linspace(-9, 9, 200_001)
    given = ndtr((loading * points + ndtri(chance)) / np.sqrt(1 - loading**2))
    logs = stats.norm.logpdf(points) + stats.binom.logpmf(worn, settled, given)
    weight = np.exp(logs - logs.max())
    wanted = float((weight * given).sum() / weight.sum())
    found = FactorModel([*items, open_item], ()).chance(open_item)
    assert found == pytest.approx(wanted, abs=2e-6)


def test_many_identical_parts_are_a_mixture_of_binomials():
    """How many of two hundred like parts are worn: the mixed binomial of a one-factor model
    (Vasicek 1991, from memory), integrated by scipy."""
    count, chance, life = 200, 0.15, 0.4
    items = [Item(f"P{n}", "", life, 0.0, (chance,)) for n in range(count)]
    found = Distribution(
        FactorModel(items, ()), {item.part: Pert(1000, 1000, 1000) for item in items}, {}
    )

    def below(most: int) -> float:
        def at(x: float) -> float:
            given = ndtr((life * x + ndtri(chance)) / (1 - life**2) ** 0.5)
            return stats.binom.cdf(most, count, given) * stats.norm.pdf(x)

        return integrate.quad(at, -9, 9, epsabs=1e-10)[0]

    for most in (5, 15, 30, 45, 60, 90):
        # halfway between two of the many steps, over which the series runs smoothly
        assert found.chance_below(1000 * (most + 0.5)) == pytest.approx(below(most), abs=5e-4)
    assert found.moments.mean == pytest.approx(count * chance * 1000, rel=1e-7)
    shares = conditional_means(found, found.percentile(0.8))
    assert max(shares.values()) == pytest.approx(min(shares.values()), rel=1e-6)


@pytest.mark.parametrize(("chance", "state"), [(0.0, True), (1.0, False), (1e-15, True)])
def test_what_was_found_counts_though_it_was_held_impossible(chance, state):
    items = [Item("A", "", 0.3, 0.0, (chance,), state=state), Item("B", "", 0.3, 0.0, (0.4,))]
    found = FactorModel(items, ()).chance(items[1])
    assert 0 < found < 1
    assert (found > 0.4) is state


# -- the whole model against draws ----------------------------------------------------------------

POWER, SEED = 20, 20411  # 2 to the 20th quasi-random draws
GRID = (0.2, 0.5, 0.3)
TESTS = (
    CircuitTest("O", True, 0.65, 0.80, 0.5, 0.5),
    CircuitTest("H", False, 0.60, 0.75, 0.5, 0.5),
)
ITEMS = (
    Item("A1", "O", 0.40, 0.50, (0.30,)),
    Item("A2", "O", 0.40, 0.50, (0.55,), ratio=3.0),
    Item("A3", "O", 0.35, 0.30, (0.40,), state=True),
    Item("H1", "H", 0.35, 0.35, (0.20, 0.35, 0.60)),
    Item("H2", "H", 0.35, 0.35, (0.20, 0.35, 0.60), ratio=0.4),
    Item("H3", "H", 0.40, 0.50, (0.25,), state=False),
    Item("N1", "", 0.45, 0.00, (0.20, 0.35, 0.60)),
    Item("N2", "", 0.45, 0.00, (0.65,), state=True),
    Item("N3", "", 0.20, 0.00, (0.10,)),
)
COSTS = {
    "A1": Pert(1200, 1500, 2600), "A2": Pert(4200, 5100, 7800), "H1": Pert(800, 1080, 1700),
    "H2": Pert(850, 1080, 1700), "N1": Pert(1400, 2500, 5800), "N3": Pert(5600, 6600, 8800),
}  # fmt: skip
SPREADS = {"L1": Pert(-1200, 0, 150), "L2": Pert(-500, 0, 2000)}


@pytest.fixture(scope="module")
def modelled() -> Distribution:
    return Distribution(FactorModel(ITEMS, TESTS, GRID), COSTS, SPREADS)


@pytest.fixture(scope="module")
def drawn() -> tuple[dict[str, np.ndarray], np.ndarray]:
    """(sums by part and line, weight of each draw): draws that disagree with a settled part are
    thrown away, signs and circuit tests weigh the rest."""
    uniform = iter(stats.qmc.Sobol(21, rng=SEED).random_base2(POWER).T)
    life, oil, hydraulic = (ndtri(next(uniform)) for _ in range(3))
    factors = {"O": oil, "H": hydraulic, "": np.zeros_like(life)}
    point = np.searchsorted(np.cumsum(GRID), next(uniform)).clip(max=len(GRID) - 1)
    keep, weight, worn = np.ones(len(life), bool), np.ones(len(life)), {}
    for item in ITEMS:
        own = np.sqrt(1 - item.life**2 - item.shared**2) * ndtri(next(uniform))
        chance = np.array(item.chances)[point if len(item.chances) > 1 else 0]
        pull = item.life * life + item.shared * factors[item.circuit]
        worn[item.part] = pull + own > ndtri(1 - chance)
        if item.state is not None:
            keep &= worn[item.part] == item.state
        weight *= np.where(worn[item.part], item.ratio, 1.0)
    for test in TESTS:
        raised = ndtr((factors[test.circuit] - test.centre) / test.width)
        raised = (1 - test.specificity) + (test.sensitivity + test.specificity - 1) * raised
        weight *= raised if test.alarm else 1 - raised
    sums = {}
    for name, cost in (COSTS | SPREADS).items():
        values = as_beta(cost).ppf(next(uniform)[keep])
        sums[name] = np.where(worn[name][keep], values, 0.0) if name in COSTS else values
    return sums, weight[keep]


def weighted_quantile(values: np.ndarray, weight: np.ndarray, share: float) -> float:
    rank = np.argsort(values)
    cumulative = np.cumsum(weight[rank]) / weight.sum()
    return float(values[rank][np.searchsorted(cumulative, share)])


def test_chances_against_draws(modelled, drawn):
    sums, weight = drawn
    for item in ITEMS:
        if item.state is None:
            wanted = float(((sums[item.part] > 0) * weight).sum() / weight.sum())
            assert modelled.model.chance(item) == pytest.approx(wanted, abs=0.003), item.part


def test_percentiles_against_draws(modelled, drawn):
    sums, weight = drawn
    total = np.sum(list(sums.values()), axis=0)
    mean = float((total * weight).sum() / weight.sum())
    assert modelled.moments.mean == pytest.approx(mean, rel=0.003)
    spread = float((weight * (total - mean) ** 2).sum() / weight.sum()) ** 0.5
    assert modelled.moments.deviation == pytest.approx(spread, rel=0.003)
    for share in (0.5, 0.8, 0.9, 0.95):
        wanted = weighted_quantile(total, weight, share)
        assert modelled.percentile(share) == pytest.approx(wanted, rel=0.002), share


def test_contributions_against_draws(modelled, drawn):
    """E[each | total near the percentile] over the draws that end within 3 % of it."""
    sums, weight = drawn
    total = np.sum(list(sums.values()), axis=0)
    level = modelled.percentile(0.8)
    near = np.abs(total - level) < 0.03 * level
    assert near.sum() > 5_000
    shares = conditional_means(modelled, level)
    for name, values in sums.items():
        wanted = float((values[near] * weight[near]).sum() / weight[near].sum())
        assert shares[name] == pytest.approx(wanted, abs=0.01 * level), name


@pytest.mark.parametrize("share", [0.5, 0.8, 0.95])
def test_contributions_add_up_to_the_percentile(modelled, share):
    level = modelled.percentile(share)
    shares = conditional_means(modelled, level)
    assert set(shares) == {*COSTS, *SPREADS}
    assert sum(shares.values()) == pytest.approx(level, abs=1e-6)
