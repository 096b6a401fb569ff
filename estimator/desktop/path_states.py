"""How each area of the job on the desk stands."""

from __future__ import annotations

from estimator.desktop.areas import EXPOSURE, PROGRAMME, SCOPE
from estimator.desktop.desk import Desk
from estimator.desktop.drawing.marks import Mark
from estimator.desktop.language import _
from estimator.domain.job import Job
from estimator.domain.job_path import contract_path, job_path
from estimator.services.work_out import class_catalogue


def path_states(desk: Desk) -> dict[str, tuple[Mark, str]]:
    """Mark and note of each area; empty while the catalogue is not there yet."""
    job, catalogue = desk.job, desk.workshop.catalogue
    cat = class_catalogue(catalogue, job.machine.class_id) if job and catalogue else None
    if job is None or cat is None:
        return {}
    reckoned = desk.priced if desk.fresh else desk.work or desk.priced
    if reckoned is not None and _of(reckoned.job) != _of(job):
        reckoned = None  # another class or level has other parts
    today = desk.workshop.today()
    steps = job_path(job, cat, desk.state, reckoned, today, desk.valid_until)
    states = {step.area: (Mark(step.mark), step.note) for step in steps}
    if desk.contract.here is not None:
        states |= _under_contract(desk)
    elif desk.faults:
        states[SCOPE] = (Mark.NEEDS_YOU, desk.faults[0].message)
    return states


def _of(job: Job) -> tuple[object, ...]:
    """What a job's parts depend on."""
    return job.machine.class_id, job.level, job.repaired


def _under_contract(desk: Desk) -> dict[str, tuple[Mark, str]]:
    """What the contract says of the areas: its own two, and how exposure and finish stand now."""
    contract, say = desk.contract, desk.workshop.formats
    assert contract.here is not None
    steps = contract_path(contract.here.contract, contract.here.work)
    states = {step.area: (Mark(step.mark), step.note) for step in steps}
    head = contract.head
    if head is None or not desk.under_contract:
        return states  # the revision after a strip has figures of its own
    was = contract.head_before or head
    share = say.percent(head.confidence)
    exposed = (Mark.IN_HAND, _("{sum} at {share}").format(sum=say.money(head.exposed), share=share))
    if was.exposed < head.exposed:
        exposed = (Mark.NEEDS_YOU, _("exposed part grew"))
    elif not head.exposed.minor:
        exposed = (Mark.DONE, _("nothing is open"))
    finish = _("{day} at {share}").format(day=say.day(head.finish_covered), share=share)
    return states | {EXPOSURE: exposed, PROGRAMME: (Mark.IN_HAND, finish)}
