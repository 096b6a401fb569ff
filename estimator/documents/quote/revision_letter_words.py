"""Why a group's sum changed, and which terms did, in words."""

from __future__ import annotations

from datetime import date
from decimal import Decimal, InvalidOperation

from estimator.documents.grammar import labels as shared
from estimator.documents.grammar.wording import NOTHING, Words, apart
from estimator.documents.quote import revision_letter_labels as labels
from estimator.domain.revision_letter import FindingMoved, GroupMoved, RevisionLetter, TermMoved

_MOST = 4  # findings named of a group
_RATE = "exchange_rate/"
_SHARES = ("terms/discount_share",)


def why(group: GroupMoved) -> str:
    """Findings and other causes of a group's change."""
    said = [finding_said(one) for one in group.findings[:_MOST]]
    if len(group.findings) > _MOST:
        more = len(group.findings) - _MOST
        said[-1] = shared.AND_MORE.format(names=said[-1], count=more)
    return apart([*said, *(labels.CAUSES[cause] for cause in group.causes)])


def finding_said(one: FindingMoved) -> str:
    """A finding with what is done about it, before and now where that differs."""
    what = labels.WHAT[one.what]
    before, after = (labels.DISPOSITIONS.get(each, each) for each in (one.before, one.after))
    if one.before and one.after and one.before != one.after:
        return str(labels.FINDING_TURNED.format(title=one.title, id=one.id, what=what,
                                                before=before, after=after))  # fmt: skip
    said = labels.FINDING.format(title=one.title, id=one.id, what=what)
    done = one.after or one.before
    if not done:
        return str(said)
    return str(labels.WITH_DISPOSITION.format(
        said=said, disposition=labels.DISPOSITIONS.get(done, done)))  # fmt: skip


def terms_said(letter: RevisionLetter, words: Words) -> list[str]:
    """Every term that a customer reads, before and now; that others changed too."""
    said = [
        labels.TERM_TURNED.format(
            name=_name(one), before=_value(one.key, one.before, words),
            after=_value(one.key, one.after, words),
        )
        for one in letter.terms
    ]  # fmt: skip
    return [*said, labels.OTHER_TERMS] if letter.other_terms else said


def _name(term: TermMoved) -> str:
    if term.key.startswith(_RATE):
        currency = term.key.removeprefix(_RATE)
        return str(labels.TERM_NAMES["exchange_rate"].format(currency=currency))
    return str(labels.TERM_NAMES.get(term.key, term.key))


def _value(key: str, value: str | date | None, words: Words) -> str:
    if value is None:
        return NOTHING
    if isinstance(value, date):
        return words.day(value)
    if key == "level":
        return str(shared.LEVELS.get(value, value))
    try:
        number = Decimal(value)
    except InvalidOperation:
        return value
    if key in _SHARES:
        return words.share(number, 1)
    return words.rate(number) if key.startswith(_RATE) else words.quantity(number)
