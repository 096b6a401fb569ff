"""What holds for every test: property tests take the same examples each time."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

# Shared machines stall now and then: a slow example is no defect.
settings.register_profile(
    "quiet",
    deadline=None,
    derandomize=True,
    max_examples=50,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("quiet")
