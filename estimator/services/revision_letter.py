"""Fill the letter that tells a customer what changed between two revisions of a quote."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from estimator.domain.in_language import in_language
from estimator.domain.money import Money, money_sum
from estimator.domain.priced_job import PricedJob
from estimator.domain.quote_length import REVISION
from estimator.domain.record import IssuedQuote
from estimator.domain.revision_letter import (
    BY_HAND,
    CHANGED,
    COME,
    GONE,
    OTHERS,
    PRICES,
    TERMS,
    FindingMoved,
    GroupMoved,
    Moved,
    MovedDay,
    RevisionLetter,
    TermMoved,
    largest_first,
    together,
)
from estimator.domain.side_paper import paper_head
from estimator.domain.wording import worded
from estimator.services import compare_revisions as revisions
from estimator.services.compare_revisions import Revision, as_issued, as_priced, compare
from estimator.services.errors import NotReckoned

PARTS = ("firm", "provisional", "contingency", "net", "tax", "gross")
REST = ("discount", "freight", "levies", "contingency")
CERTAINTIES = ("/firm", "/provisional")  # of a group's sums by kind
HAND_ROWS = ("added", "removed", "changed", "own", "ways", "kept")
# Terms a customer reads; the rest of them, such as how sure the contingency is meant to be, is not
# for print, and is only said to have changed.
TOLD_TERMS = (
    "level", "start", "inspected", "wanted_by", "machine/hours", "machine/duty",
    "machine/life_wanted", "terms/currency", "terms/discount_share", "terms/tax_category",
    "terms/commercial_form", "terms/valid_days", "terms/stage", "terms/answer_days",
    "terms/storage_free_days", "terms/storage_per_day",
)  # fmt: skip
_UNTOLD = ("estimator", "releaser", "note", "workshop/", "customer/", "machine/", "learnt_until")
_FIXED = "fixed price"


@dataclass(frozen=True)
class _Pair:
    """Two revisions, with the later one priced and in the document's language."""

    before: Revision
    after: Revision
    priced: PricedJob
    other_prices: bool

    def sum(self, revision: Revision, name: str) -> Money:
        """A figure's sum; nothing where the revision has none."""
        return revisions.figure_sum(revision, name) or Money(0, revision.currency)

    def lines_of(self, group: str, name: str) -> Moved:
        """The lines of a group in both, without what the contingency holds for it."""
        currency = self.after.currency
        start = f"group/{group}/"
        sums = []
        for revision in (self.before, self.after):
            names = [one for one in revision.values if one.startswith(start)]
            parts = (self.sum(revision, one) for one in names if one.endswith(CERTAINTIES))
            sums.append(money_sum(parts, currency))
        return Moved(name, *sums)

    def moved(self, figure: str, name: str) -> Moved:
        """A figure in both."""
        return Moved(name, self.sum(self.before, figure), self.sum(self.after, figure))


def revision_letter(issued: IssuedQuote, priced: PricedJob, language: str = "en") -> RevisionLetter:
    """The letter from an issued revision to the job as it is priced, in a language.

    Raises NotReckoned where the currency changed: nothing then stands side by side.
    """
    before, after = as_issued(issued), as_priced(priced)
    if before.currency != after.currency:
        raise NotReckoned(
            worded("{before} is in {one}, {after} in {other}.", before=before.title,
                   one=before.currency, after=after.title, other=after.currency),
            worded("Send the new quote without such a letter."),
        )  # fmt: skip
    said = in_language(priced, language)
    other = issued.catalogue_fingerprint != priced.cat.catalogue.fingerprint
    pair = _Pair(before, after, said, other)
    terms, untold = _terms(pair)
    groups, same, same_count, loose = _groups(pair, bool(terms) or untold)
    job = priced.job
    return RevisionLetter(
        head=paper_head(job, said.cat, language, REVISION),
        before=before.title,
        before_day=date.fromisoformat(str(before.job["date"])),
        parts=tuple(_part(pair, one) for one in PARTS),
        days=tuple(_days(pair)),
        groups=groups,
        same=same,
        same_count=same_count,
        rest=tuple(_rest(pair, one) for one in REST),
        net=pair.moved("net", "net"),
        findings=loose,
        terms=terms,
        other_terms=untold,
        fixed=job.terms.commercial_form == _FIXED,
    )


def _part(pair: _Pair, key: str) -> Moved:
    """A leading sum. Firm is all that does not move, charges beside the lines included."""
    if key == "provisional":
        return pair.moved("provisional_lines", key)
    if key != "firm":
        return pair.moved(key, key)
    base, lines = pair.moved("base", key), pair.moved("provisional_lines", key)
    return Moved(key, base.before - lines.before, base.after - lines.after)


def _rest(pair: _Pair, key: str) -> Moved:
    one = pair.moved(key, key)
    return Moved(key, -one.before, -one.after) if key == "discount" else one


def _days(pair: _Pair) -> Iterable[MovedDay]:
    named = (("covered", pair.before.covered, pair.after.covered),
             ("likely", "finish/50", "finish/50"))  # fmt: skip
    for key, early, late in named:
        was, now = pair.before.values.get(early), pair.after.values.get(late)
        if was is not None and now is not None:
            yield MovedDay(key, date.fromisoformat(was), date.fromisoformat(now))


# Groups, their lines, and why


def _groups(
    pair: _Pair, terms: bool
) -> tuple[tuple[GroupMoved, ...], Moved, int, tuple[FindingMoved, ...]]:
    cat = pair.priced.cat
    findings = _findings(pair)
    lines = _lines(pair)
    by_hand = _by_hand(pair)
    found, same = list[GroupMoved](), list[Moved]()
    loose = {one.id: one for _, one in findings}
    for code, row in cat.groups.items():
        total = pair.lines_of(code, row.name)
        if not total.change and not lines.get(code):
            if total.before:
                same.append(total)
            continue
        own = tuple(one for group, one in findings if group == code)
        for one in own:
            loose.pop(one.id, None)
        moved = lines.get(code, {})
        causes = _causes(pair, bool(by_hand & set(moved)), terms, bool(own))
        found.append(GroupMoved(total, largest_first(moved.values()), own, causes))
    found.sort(key=lambda one: (-abs(one.total.change.minor), one.total.name))
    return tuple(found), together("", same, pair.after.currency), len(same), tuple(loose.values())


def _causes(pair: _Pair, by_hand: bool, terms: bool, findings: bool) -> tuple[str, ...]:
    causes = [cause for cause, is_one in ((BY_HAND, by_hand), (TERMS, terms),
                                          (PRICES, pair.other_prices)) if is_one]  # fmt: skip
    if findings or by_hand:
        return tuple(cause for cause in causes if cause == BY_HAND)
    return tuple(causes) or (OTHERS,)


def _lines(pair: _Pair) -> dict[str, dict[str, Moved]]:
    """Lines that changed, by group and id, named as they are printed."""
    names = {one.id: one.line.row.name for one in pair.priced.lines}
    group_of = _group_of_line(pair)
    found: dict[str, dict[str, Moved]] = {}
    for one in compare(pair.before, pair.after):
        if one.section != revisions.LINES:
            continue
        code = one.id.removeprefix("line/")
        group = group_of(code)
        moved = pair.moved(one.id, names.get(code) or _name_of(pair, code) or one.name)
        found.setdefault(group, {})[code] = moved
    return found


def _name_of(pair: _Pair, code: str) -> str:
    cat = pair.priced.cat
    row = cat.operations.get(code) or cat.parts.get(code) or cat.outwork.get(code)
    return row.name if row is not None else ""


def _group_of_line(pair: _Pair) -> Callable[[str], str]:
    cat = pair.priced.cat
    now = {one.id: one.line.group for one in pair.priced.lines}
    own = {str(one["id"]): str(one["component"]) for one in pair.before.job.get("own", ())}

    def group(code: str) -> str:
        if code in now:
            return now[code]
        row = cat.operations.get(code) or cat.parts.get(code) or cat.outwork.get(code)
        component = row.component if row is not None else own.get(code, "")
        return cat.group_of(component) if component in cat.components else ""

    return group


def _by_hand(pair: _Pair) -> set[str]:
    """Rows that only one revision has put in, taken out or typed over, or each otherwise."""
    found: set[str] = set()
    for key in HAND_ROWS:
        one, two = (_rows(revision.job.get(key) or ()) for revision in (pair.before, pair.after))
        found |= {code for code in {*one, *two} if one.get(code) != two.get(code)}
    return found


def _rows(data: Any) -> dict[str, str]:
    if isinstance(data, Mapping):
        return {str(code): str(value) for code, value in data.items()}
    return {
        str(one.get("row") or one.get("id") or one.get("row_id")): json.dumps(one, default=str)
        for one in data
    }


def _findings(pair: _Pair) -> list[tuple[str, FindingMoved]]:
    """(component group, finding) of each that came, went or is told otherwise."""
    cat, found = pair.priced.cat, list[tuple[str, FindingMoved]]()
    one, two = pair.before.findings, pair.after.findings
    for code in dict.fromkeys((*one, *two)):
        was, now = one.get(code), two.get(code)
        done = [rev.values.get(f"finding/{code}", "") for rev in (pair.before, pair.after)]
        if was == now and done[0] == done[1]:
            continue
        told = now or was or {}
        what = COME if was is None else GONE if now is None else CHANGED
        measure = cat.measures.get(str(told.get("measure", "")))
        title = measure.name if measure is not None else str(told.get("what") or "")
        component = str(told.get("component") or (measure.component if measure else ""))
        if component not in cat.components:
            parts = [
                cat.parts[part].component for part in told.get("part") or () if part in cat.parts
            ]
            component = parts[0] if parts else component
        group = cat.group_of(component) if component in cat.components else ""
        found.append((group, FindingMoved(code, title, what, done[0], done[1])))
    return found


def _terms(pair: _Pair) -> tuple[tuple[TermMoved, ...], bool]:
    """(terms a customer reads that differ, whether others did)."""
    told, untold = list[TermMoved](), False
    for one in compare(pair.before, pair.after):
        if one.section != revisions.TERMS:
            continue
        if one.id in TOLD_TERMS or one.id.startswith("exchange_rate/"):
            told.append(TermMoved(one.id, _told(one.before), _told(one.after)))
        elif not one.id.startswith(_UNTOLD):
            untold = True
    return tuple(told), untold


def _told(value: object) -> str | date | None:
    return value if isinstance(value, date) or value is None else str(value)
