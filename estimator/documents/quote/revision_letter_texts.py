"""English of the labels on the letter that tells what changed between two revisions."""

from __future__ import annotations

from estimator.documents.grammar.counted import Counted

TITLE = "What changed in quote {title}"
REFERENCE = "Revision {title} \u00b7 {day}"
AGAINST = "Against {before} of {day}"
BEFORE, AFTER, CHANGE = "Before", "Now", "Change"
NOTHING_MOVED = "No sum and no date has changed."
IN_SHORT = "In short"
PARTS = {
    "firm": "Firm", "provisional": "Provisional",
    "contingency": "Contingency for parts found worn", "net": "Price before tax",
    "tax": "Tax", "gross": "Price with tax", "covered": "Ready, the day we plan by",
    "likely": "Ready, likely",
}  # fmt: skip
DAYS_LATER, DAYS_EARLIER = (
    Counted("{count} day later", "{count} days later"),
    Counted("{count} day earlier", "{count} days earlier"),
)
BY_GROUP = "By component group, and why"
GROUP = "Component group"
SAME = Counted("{count} group without a change", "{count} groups without a change")
MORE_LINES = Counted("{count} other line", "{count} other lines")
REST = {
    "discount": "Discount", "freight": "Carriage in, all suppliers and outwork",
    "levies": "Workshop charges", "contingency": "Contingency for parts found worn",
}  # fmt: skip
AT_OUR_RISK = "Parts found worn: at our risk, inside the price"
NET = "Price before tax"
WHY = "Why: {reasons}."
FINDING, FINDING_TURNED = "{title} ({id}), {what}", "{title} ({id}), {what}: {before}, now {after}"
WHAT = {"come": "new finding", "gone": "finding withdrawn", "changed": "finding told anew"}
WITH_DISPOSITION = "{said}: {disposition}"
DISPOSITIONS = {
    "reuse": "reuse", "recondition": "recondition", "exchange": "exchange", "replace": "replace",
    "open": "open until stripped", "clean": "clean", "": "not judged",
}  # fmt: skip
CAUSES = {
    "by hand": "scope put in, taken out or set anew by us or at your wish",
    "terms": "terms that changed, named below", "prices": "prices and rates as they are now",
    "others": "follows from the other changes",
}  # fmt: skip
FINDINGS, TERMS = "Findings that moved no line", "Terms that changed"
TERM_TURNED = "{name}: {before}, now {after}"
OTHER_TERMS = "how the sums are reckoned"
TERM_NAMES = {
    "level": "Scope", "start": "Machine in by", "inspected": "Inspected on",
    "wanted_by": "Wanted back by", "machine/hours": "Hours of the machine",
    "machine/duty": "How hard it works", "machine/life_wanted": "Further hours it is priced for",
    "terms/currency": "Currency", "terms/discount_share": "Discount on firm parts",
    "terms/tax_category": "Tax", "terms/commercial_form": "Form of the price",
    "terms/valid_days": "Days it stands", "terms/stage": "Payment stages",
    "terms/answer_days": "Days for your answers", "terms/storage_free_days": "Days of free storage",
    "terms/storage_per_day": "Storage, a day", "exchange_rate": "Exchange rate of {currency}",
}  # fmt: skip
