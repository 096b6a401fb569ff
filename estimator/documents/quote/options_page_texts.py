"""English of the labels on the page that lays options side by side."""

from __future__ import annotations

from estimator.documents.grammar.counted import Counted

TITLE = "Options for your {machine}"
REFERENCE = "Options \u00b7 {title} \u00b7 {day}"
OPTIONS = {
    "full": "Full rebuild",
    "driveline": "Driveline only",
    "repair": "Repair of components",
    "teardown": "Teardown only",
}
THIS_QUOTE = "{name} (quoted)"
NET, GROSS = "Price before tax", "Price with tax"
OF_IT = {"provisional": "of it provisional", "contingency": "of it contingency"}
READY, REPORT, LIKELY = "Ready, the day we plan by", "report by {day}", "Ready, likely"
SHARE = "Share of a new machine"
WARRANTY = "Warranty, whichever comes first"
COVER = Counted(
    "{months} months, {hours} h: {count} group", "{months} months, {hours} h: {count} groups"
)
COVER_MONTHS = Counted("{months} months: {count} group", "{months} months: {count} groups")
WHAT_IS_IN = "What is in, and what is not"
GROUP = "Component group, {currency}"
NOT_IN = "not in"
CHARGES = "Discount, carriage and charges"
CONTINGENCY, AT_OUR_RISK = (
    "Contingency for parts found worn",
    "Parts found worn: at our risk, inside the price",
)
WAYS = "Ways for main components"
PART, WAY, COST, ADDED_DAYS, PRICE_WITH = (
    "Component", "Way", "Costs, {currency}", "Days added", "Price with it, {currency}",
)  # fmt: skip
IF_WORN = "{name} (if found worn)"
WAY_NAMES = {"recondition": "Recondition", "exchange": "Exchange unit", "replace": "New part"}
CHOSEN = "{way} (priced)"
ABOUT = "{likely} ({low} to {high})"
NEW_PRICE = "New machine: {price} as of {day}; {whose}."
WHOSE = {
    "own": "our own figure, no dealer\u2019s offer", "supplier": "a supplier\u2019s figure",
    "starting value": "a general starting value that nobody has confirmed",
}  # fmt: skip
