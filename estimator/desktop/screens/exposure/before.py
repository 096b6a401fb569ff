"""Which reckoning stood before something was resolved, job by job. No Qt."""

from __future__ import annotations

from estimator.services.compare_exposure import differs
from estimator.services.show_exposure import ExposureView

MOST_JOBS = 12


class BeforeAndAfter:
    """Knows the reckoning shown last of each job, and the one that the reckoning shown now took
    the place of, until it is dismissed."""

    def __init__(self) -> None:
        self._shown: dict[str, ExposureView] = {}
        self.before: ExposureView | None = None

    def take(self, view: ExposureView) -> None:
        """Another reckoning is shown."""
        last = self._shown.pop(view.job_number, None)
        if self.before is not None and self.before.job_number != view.job_number:
            self.before = None
        if last is not None and last is not view and differs(last, view):
            self.before = last
        self._shown[view.job_number] = view
        while len(self._shown) > MOST_JOBS:
            del self._shown[next(iter(self._shown))]

    def dismiss(self) -> bool:
        """What was before is no longer wanted; False where nothing was shown of it."""
        was, self.before = self.before, None
        return was is not None
