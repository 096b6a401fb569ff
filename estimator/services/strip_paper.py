"""The strip report and the paper for a stop after teardown, filled from the record."""

from __future__ import annotations

from collections import Counter

from estimator.domain.contract import events as happened
from estimator.domain.contract.contract import CannotFollow, Contract
from estimator.domain.contract.following import contract_of, follow
from estimator.domain.contract.papers import Answered
from estimator.domain.contract.states import DONE, WITHDRAWN
from estimator.domain.contract.strip_papers import (
    ComponentOpened,
    PartFound,
    ReadingRow,
    StopPaper,
    StripReport,
    StripVariation,
    WayBack,
)
from estimator.domain.contract.variation import (
    AS_PRICED,
    SOUND,
    WORN,
    Range,
    Remeasured,
    Variation,
)
from estimator.domain.disposition import judge
from estimator.domain.findings import Finding
from estimator.domain.money import Money, money_sum
from estimator.domain.programme.working_time import working_time
from estimator.domain.reasons import Reasons
from estimator.domain.teardown import ReturnOffer, teardown_offer
from estimator.domain.wear import LimitError
from estimator.domain.wording import worded
from estimator.services.errors import Conflict
from estimator.services.paper_parts import Sources

MOST_OF_COMPONENT = 8  # photographs of one component in the report
STATES = (WORN, SOUND, AS_PRICED)


def strip_report(sources: Sources) -> StripReport:
    """What the strip showed by now, component by component in the order of their opening."""
    contract, work = sources.here.contract, sources.here.work
    opened: dict[str, list[happened.Opened]] = {}
    for event in contract.events:
        if isinstance(event, happened.Opened):
            opened.setdefault(event.component, []).append(event)
    components = tuple(_component(sources, code, found) for code, found in opened.items())
    variations = tuple(_variations(sources))
    currency, nothing = contract.currency, contract.nothing
    ranges = [one.range for one in variations if one.amount is None and one.range is not None]
    codes = {
        code for found in opened.values() for event in found for code in _codes(sources, event)
    }
    return StripReport(
        head=sources.head,
        components=components,
        still_closed=_still_closed(sources),
        unmeasured=tuple(
            line.line.row.name for line in work.provisional_lines
            if line.id not in contract.measured and line.id not in contract.as_priced
        ),
        variations=variations,
        priced=money_sum((one.amount for one in variations if one.amount is not None), currency),
        remeasured=money_sum((one.change for one in _measured(sources)), currency),
        unpriced=Range(
            sum((one.low for one in ranges), nothing),
            sum((one.likely for one in ranges), nothing),
            sum((one.high for one in ranges), nothing),
        ),
        counts=_counts(components),
        cautions=sources.cautions(codes),
    )  # fmt: skip


def _codes(sources: Sources, event: happened.Opened) -> set[str]:
    """Components of an opening: its own, else those of its parts."""
    cat = sources.here.work.cat
    if event.component in cat.components:
        return {event.component}
    return {cat.parts[part].component for part, _ in event.parts if part in cat.parts}


def _counts(components: tuple[ComponentOpened, ...]) -> tuple[tuple[str, int], ...]:
    counted = Counter(part.state for one in components for part in one.parts)
    return tuple((state, counted[state]) for state in STATES)


def _measured(sources: Sources) -> list[Remeasured]:
    """Lines measured again at an opening; those of a variation of their own stand with that."""
    newest: dict[str, Remeasured] = {}
    if sources.head.fixed:
        return []
    for event in sources.here.contract.events:
        if isinstance(event, happened.Opened):
            newest |= {one.row_id: one for one in event.measured}
    return list(newest.values())


def _component(sources: Sources, code: str, found: list[happened.Opened]) -> ComponentOpened:
    cases = sources.here.contract.cases.values()
    carried = {part: case.variation for case in cases for part in case.variation.parts}
    parts: dict[str, str] = {}
    measured: dict[str, Remeasured] = {}
    for event in found:
        parts |= dict(event.parts)
        measured |= {one.row_id: one for one in event.measured}
    readings = [one for event in found for one in event.readings]
    raised = list(dict.fromkeys(carried[part].number for part in parts if part in carried))
    names = [name for one in readings for name in one.photo]
    for number in raised:
        names += sources.here.contract.cases[number].variation.photographs
    hazards = sources.here.work.cat.cautions
    ticked = dict.fromkeys(code for event in found for code in event.cautions_ticked)
    return ComponentOpened(
        name=sources.component(code),
        opened=tuple((event.at, event.who, event.capacity) for event in found),
        parts=tuple(_part(sources, part, state, carried) for part, state in parts.items()),
        readings=tuple(_reading(sources, code, one) for one in readings),
        measured_lines=()
        if sources.head.fixed
        else tuple(sources.measured_line(one) for one in measured.values()),
        ticked=tuple(hazards[one].hazard if one in hazards else one for one in ticked),
        pictures=sources.pictures(names, (code, *raised), MOST_OF_COMPONENT),
        notes=tuple(event.note for event in found if event.note),
    )


def _part(sources: Sources, part: str, state: str, carried: dict[str, Variation]) -> PartFound:
    variation = carried.get(part)
    return PartFound(sources.part(part), state, variation.name if variation else "")


def _reading(sources: Sources, code: str, finding: Finding) -> ReadingRow:
    job, cat = sources.here.job, sources.here.work.cat
    try:
        judged = judge(finding, cat, job.hours_run(code), job.machine.life_wanted)
    except LimitError:
        return ReadingRow(finding.what, finding.measured, finding.unit, None, None, None,
                          finding.reading, "")  # fmt: skip
    limits = judged.limits
    return ReadingRow(
        judged.what, judged.measured, judged.unit, limits.new if limits else None,
        limits.rebuild if limits else None, limits.service if limits else None,
        finding.reading, finding.override or judged.rule_disposition,
    )  # fmt: skip


def _still_closed(sources: Sources) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Open parts that nobody has seen yet, by component group in the order of the catalogue."""
    contract, work = sources.here.contract, sources.here.work
    if contract.handed_over or contract.stopped is not None:
        return ()
    found: dict[str, list[str]] = {}
    for part in work.exposed:
        if part.part not in contract.resolved:
            found.setdefault(part.group, []).append(part.name)
    return tuple((work.cat.groups[code].name, tuple(found[code])) for code in sorted(found))


def _variations(sources: Sources) -> list[StripVariation]:
    contract = sources.here.contract
    rows = []
    for case in contract.cases.values():
        variation = case.variation
        if case.state == WITHDRAWN:
            continue
        amount = sources.amount_of(variation)
        rows.append(
            StripVariation(variation.name, variation.title, case.state, amount, variation.range)
        )
    return rows


def stop_paper(sources: Sources) -> StopPaper:
    """What stopping after teardown means, at the prices of the frozen quote: where it was stopped,
    as it was before. Raises Conflict where it can be stopped no more."""
    here = sources.here
    offer = teardown_offer(here.job, here.work.cat, dict(here.work.scope.judgements), Reasons())
    before, stopped = _before_stop(here.contract), here.contract.stopped
    ways = (
        _way_back(sources, before, happened.BOXED_RETURN, offer.boxed_return, offer.net),
        _way_back(sources, before, happened.REASSEMBLY, offer.reassembly, offer.net),
    )
    unsafe = [
        f"{case.variation.name} {case.variation.title}"
        for case in before.cases.values()
        if case.variation.safety and case.state not in (DONE, WITHDRAWN)
    ]
    decided = None
    if stopped is not None:
        decided = Answered(
            "stopped", stopped.who, stopped.capacity, stopped.side, stopped.channel, stopped.at,
            stopped.words, "", stopped.amount,
        )  # fmt: skip
    back = (*offer.boxed_return.lines, *offer.reassembly.lines)
    return StopPaper(
        head=sources.head,
        ways=ways,
        longest_days=offer.longest_days,
        lost=offer.destroyed,
        opened=tuple(map(sources.component, here.contract.components)),
        open_safety=tuple(unsafe),
        storage_free_days=offer.storage_free_days,
        storage_per_day=sources.sum_of(offer.storage_per_day),
        strip=sources.sum_of(offer.net),
        done=sources.sum_of(ways[0].job.net - ways[0].price.net - offer.net),
        decided=decided,
        cautions=sources.cautions({line.line.row.component for line in back}),
    )


def _before_stop(contract: Contract) -> Contract:
    """The contract as it stood when it was stopped; as it stands where it was not."""
    for place, event in enumerate(contract.events):
        if isinstance(event, happened.StopDecided):
            return contract_of(contract.events[:place])
    return contract


def _way_back(
    sources: Sources, before: Contract, way: str, offer: ReturnOffer, strip: Money
) -> WayBack:
    cat, stopped = sources.here.work.cat, sources.here.contract.stopped
    start = stopped.at.date() if stopped is not None else sources.head.day
    hours = float(cat.settings.hours_per_day)
    time = working_time(start, (one.date for one in cat.closures), hours)
    event = happened.StopDecided(
        at=before.events[-1].at, who="", way=way, amount=offer.net, strip=strip
    )
    try:
        after = follow(before, event)
    except CannotFollow as error:
        raise Conflict(
            worded("{name}: {said}.", name=sources.head.title, said=error.message), error.remedy
        ) from error
    return WayBack(
        way, sources.sum_of(offer.net), sources.sum_of(after.current_sum), offer.working_days,
        time.finish_day(offer.working_days * hours), stopped is not None and stopped.way == way,
    )  # fmt: skip
