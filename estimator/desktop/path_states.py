"""How each area of the job on the desk stands."""

from __future__ import annotations

from estimator.desktop.areas import SCOPE
from estimator.desktop.desk import Desk
from estimator.desktop.drawing.marks import Mark
from estimator.domain.job_path import job_path
from estimator.services.work_out import class_catalogue


def path_states(desk: Desk) -> dict[str, tuple[Mark, str]]:
    """Mark and note of each area; empty while the catalogue is not there yet."""
    job, catalogue = desk.job, desk.workshop.catalogue
    cat = class_catalogue(catalogue, job.machine.class_id) if job and catalogue else None
    if job is None or cat is None:
        return {}
    reckoned = desk.priced if desk.fresh else desk.work or desk.priced
    today = desk.workshop.today()
    steps = job_path(job, cat, desk.state, reckoned, today, desk.valid_until)
    states = {step.area: (Mark(step.mark), step.note) for step in steps}
    if desk.faults:
        states[SCOPE] = (Mark.NEEDS_YOU, desk.faults[0].message)
    return states
