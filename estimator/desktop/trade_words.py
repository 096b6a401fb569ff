"""The trade's fixed words in the language in use, for every page that shows them. No Qt."""

from __future__ import annotations

from estimator.desktop.language import _


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
    return {"full": _("Full rebuild"), "driveline": _("Driveline only")}.get(level, level)
