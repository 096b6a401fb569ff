"""A job's exposure drawn at random from its JSON alone; no code of the program has a part in it.

The factors and the grid are drawn from what is known of them on a fine lattice (life x circuit),
then each part is worn or not, takes one of its ways, and costs what it draws.
"""

from __future__ import annotations

import numpy as np
from scipy.special import log_ndtr, ndtr, ndtri

NODES = np.linspace(-6, 6, 101)
NORMAL = -0.5 * NODES**2


def pull(part, life, circuit, threshold):
    loads = part["loadings"]
    own = (1 - loads["life"] ** 2 - loads["circuit"] ** 2) ** 0.5
    return (loads["life"] * life + loads["circuit"] * circuit - threshold) / own


def thresholds(part):
    """One for each point of the grid, or one for all."""
    return -ndtri(np.array(part["chance"]["prior_on_grid"]))


def worn_given(part, life, circuit, threshold):
    chance, ratio = ndtr(pull(part, life, circuit, threshold)), part["chance"]["likelihood_ratio"]
    return ratio * chance / (1 - chance + ratio * chance)


def log_likelihood(part, life, circuit):
    """ln P(what is known of a part | grid, life, circuit), over all three."""
    at = pull(part, life, circuit, thresholds(part)[:, None, None])
    if part.get("state") in ("worn", "sound"):
        return log_ndtr(at if part["state"] == "worn" else -at)
    ratio = part["chance"]["likelihood_ratio"]
    return np.log(1 + (ratio - 1) * ndtr(at))


def log_test(test, circuit):
    alarm, clear = float(test["sensitivity"]), float(test["specificity"])
    at = (circuit - float(test["centre"])) / float(test["width"])
    chance = (1 - clear) + (alarm + clear - 1) * ndtr(at)
    return np.log(chance if test["alarm"] else 1 - chance)


def of_circuit(data, circuit):
    """ln P(circuit's node, what is known of it | grid, life): (grid, life, circuit's nodes)."""
    count = len(data["grid"]["weights"])
    nodes = NODES if circuit else np.zeros(1)
    total = np.zeros((count, len(NODES), len(nodes)))
    if circuit:
        total += NORMAL - np.log(np.exp(NORMAL).sum())
    for part in data["parts"] + data["settled"] + data["firm_by_chance"]:
        if part["loadings"]["of"] == circuit:
            total += log_likelihood(part, NODES[None, :, None], nodes[None, None, :])
    for test in data["circuit_tests"]:
        if test["used"] and test["circuit"] == circuit:
            total += log_test(test, nodes)[None, None, :]
    return total


def pick(weights, rows, random):
    """One column for each of `rows`, drawn by that row's weights (which add up to one)."""
    ends = np.cumsum(weights, axis=1) + np.arange(len(weights))[:, None]
    found = np.searchsorted(ends.ravel(), rows + random.random(len(rows)))
    return np.clip(found - rows * weights.shape[1], 0, weights.shape[1] - 1)


def pert(cost, count, random):
    low, high = cost["low"], cost["high"]
    if high == low:
        return np.full(count, low)
    alpha = 1 + 4 * (cost["likely"] - low) / (high - low)
    beta = 1 + 4 * (high - cost["likely"]) / (high - low)
    return low + (high - low) * random.beta(alpha, beta, count)


def drawn(data, count, seed):
    """`count` sums above base."""
    random = np.random.default_rng(seed)
    circuits = {name: of_circuit(data, name) for name in ("", *data["circuits"])}
    joint = np.log(np.array(data["grid"]["weights"]))[:, None] + NORMAL[None, :]
    joint = joint + sum(np.logaddexp.reduce(one, axis=2) for one in circuits.values())
    flat = np.exp(joint - joint.max()).ravel()
    row = random.choice(len(flat), count, p=flat / flat.sum())
    point, life = row // len(NODES), NODES[row % len(NODES)]
    shared = {"": np.zeros(count)}
    for name in data["circuits"]:
        logs = circuits[name].reshape(len(flat), len(NODES))
        weights = np.exp(logs - logs.max(axis=1, keepdims=True))
        shared[name] = NODES[pick(weights / weights.sum(axis=1, keepdims=True), row, random)]
    sums = np.zeros(count)
    for part in data["parts"]:
        limits = thresholds(part)
        limit = limits[point] if len(limits) > 1 else limits[0]
        chance = worn_given(part, life, shared[part["loadings"]["of"]], limit)
        worn = np.flatnonzero(random.random(count) < chance)
        way = random.choice(len(part["ways"]), len(worn), p=[one["share"] for one in part["ways"]])
        for place, one in enumerate(part["ways"]):
            own = worn[way == place]
            sums[own] += pert(one["cost"], len(own), random)
    for line in data["provisional"]:
        sums += pert(line["spread"], count, random)
    for kind in data["found"]:
        sums += counted(kind, count, random)
    return sums


def counted(kind, count, random):
    over, mean = kind["overdispersion"], kind["expected_count"]
    if over > 0:
        many = random.negative_binomial(1 / over, 1 / (1 + over * mean), count)
    else:
        many = random.poisson(mean, count)
    each = pert(kind["each"], int(many.sum()), random)
    return np.bincount(np.repeat(np.arange(count), many), each, minlength=count)
