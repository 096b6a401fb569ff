"""What a look would tell, worked out the long way: for every ending the factors are conditioned
anew and the whole distribution is built again. It shares the model and the distribution with the
program, and nothing of what reads outcomes off them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from estimator.domain.exposure.distribution import Distribution
from estimator.domain.exposure.factors import CircuitTest, FactorModel
from estimator.domain.exposure.looks import Answer, Look


@dataclass(frozen=True)
class SlowEnding:
    chance: float
    certain: float
    mean: float
    reached: float
    chances: Mapping[str, float]


@dataclass(frozen=True)
class Slowly:
    """A distribution, and how a circuit test responds (centre and width)."""

    distribution: Distribution
    response: tuple[float, float] = (0.5, 0.5)

    def endings(self, look: Look, share: float) -> list[SlowEnding]:
        if look.circuit:
            return list(self._circuit(look, share))
        if look.test is None:
            return list(self._opening(look.parts[0], share))
        return list(self._answers(self.distribution.model, look.answers, 1.0, share))

    def fall(self, look: Look, share: float) -> float:
        now = self.distribution.percentile(share) - self.distribution.moments.mean
        after = self.endings(look, share)
        return now - sum(one.chance * (one.reached - one.mean) for one in after)

    @staticmethod
    def _model(model: FactorModel, part: str, **changes: object) -> FactorModel:
        items = [replace(one, **changes) if one.part == part else one for one in model.items]
        return FactorModel(items, model.tests, model.grid)

    def _ending(
        self, model: FactorModel, chance: float, share: float, opened: str = "", certain: float = 0
    ) -> SlowEnding:
        costs = {part: one for part, one in self.distribution.costs.items() if part != opened}
        chances = {
            item.part: model.chance(item)
            for item in model.items
            if item.state is None and item.part != opened
        }
        if not costs and not self.distribution.spreads:
            return SlowEnding(chance, certain, 0.0, 0.0, chances)
        left = Distribution(model, costs, self.distribution.spreads)
        return SlowEnding(chance, certain, left.moments.mean, left.percentile(share), chances)

    def _opening(self, part: str, share: float) -> Iterator[SlowEnding]:
        model = self.distribution.model
        chance = model.chance(self.distribution.open_items[part])
        for worn, of in ((True, chance), (False, 1 - chance)):
            after = self._model(model, part, state=worn)
            certain = self.distribution.costs[part].mean if worn else 0.0
            yield self._ending(after, of, share, part, certain)

    def _answers(
        self, model: FactorModel, answers: Sequence[Answer], chance: float, share: float
    ) -> Iterator[SlowEnding]:
        if not answers:
            yield self._ending(model, chance, share)
            return
        first, rest = answers[0], answers[1:]
        item = next(one for one in model.items if one.part == first.part)
        worn = model.chance(item)
        for if_worn, if_sound in (
            (first.if_worn, first.if_sound),
            (1 - first.if_worn, 1 - first.if_sound),
        ):
            of = if_worn * worn + if_sound * (1 - worn)
            after = self._model(model, first.part, ratio=item.ratio * if_worn / if_sound)
            yield from self._answers(after, rest, chance * of, share)

    def _circuit(self, look: Look, share: float) -> Iterator[SlowEnding]:
        from scipy.special import ndtr

        assert look.test is not None
        model, (centre, width) = self.distribution.model, self.response
        se, sp = float(look.test.sensitivity), float(look.test.specificity)
        joint = model.weights[:, :, None] * model.circuit_weights[look.circuit]
        nodes = model.given[look.circuit].nodes
        at_node = (1 - sp) + (se + sp - 1) * ndtr((nodes - centre) / width)
        alarm = float((joint.sum(axis=(0, 1)) * at_node).sum())
        for said, of in ((True, alarm), (False, 1 - alarm)):
            asked = CircuitTest(look.circuit, said, se, sp, centre, width)
            after = FactorModel(model.items, (*model.tests, asked), model.grid)
            yield self._ending(after, of, share)
