"""The trade's fixed words in the language in use, for every page that shows them. No Qt."""

from __future__ import annotations

from estimator.desktop.language import _
from estimator.domain.job import Job
from estimator.domain.people import MAY, ROLES


def disposition_word(disposition: str) -> str:
    """A disposition: Reuse, Recondition, Exchange, Replace, Open."""
    return {
        "reuse": _("Reuse"),
        "recondition": _("Recondition"),
        "exchange": _("Exchange"),
        "replace": _("Replace"),
        "open": _("Open"),
    }.get(disposition, disposition)


def looked_word(words: str) -> str:
    """How a finding was made, or what a chance rests on."""
    return {
        "measure": _("measured"), "pressure": _("pressure"), "flow": _("flow"),
        "drift": _("drift"), "leak-down": _("leak-down"), "oil": _("oil sample"),
        "crack": _("crack"), "hose": _("hoses counted"), "count": _("counted"),
        "visual": _("seen"), "safety": _("safety item"), "test": _("test"),
        "not seen": _("not seen"), "not tested": _("not tested"),
        "starting value": _("starting value"), "judged": _("judged"),
    }.get(words, words)  # fmt: skip


def level_word(level: str) -> str:
    """A rebuild level."""
    return {
        "full": _("Full rebuild"),
        "driveline": _("Driveline only"),
        "repair": _("Repair of components"),
    }.get(level, level)


def role_word(role: str) -> str:
    """A role of those who work here."""
    return {
        "inspector": _("inspector"),
        "estimator": _("estimator"),
        "foreman": _("foreman"),
        "service manager": _("service manager"),
        "viewer": _("viewer"),
    }.get(role, role)


def roles_words(act: str) -> str:
    """The roles that may do an act."""
    return ", ".join(role_word(role) for role in ROLES if role in MAY[act])


def job_title(job: Job) -> str:
    """A job's number and revision as people say them."""
    return _("{number} rev {revision}").format(number=job.number, revision=job.revision)
