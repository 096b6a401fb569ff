"""English of every label of the quote and the internal sheet; `labels` says it in other languages.

Sentences that say what is agreed are no labels: they are clauses, in the catalogue.
"""

from __future__ import annotations

from estimator.documents.grammar.counted import Counted

PROGRAM = "Shimwright"
LEAD = "{title}:"  # before what is said of it
PAGE_OF = "Page {page} of {total}"
REFERENCE = "Quote {title} \u00b7 {day}"
PRICES_IN, BESIDES_TAX = "prices in {currency}", "{tax} not included unless named"

TITLE = "Quote to rebuild your {machine}"
MACHINE_LINE = "{mass} t class, serial {serial}, {hours} hours, inspected on {day}"
TO, FROM, WRITTEN, RELEASED = "To", "From", "Written by", "Released by"
STANDS, LEVEL = "Stands until", "Scope"
PRICED_FOR, LIFE_WANTED = "Priced for", "{hours} more hours of work; not a warranty"
LEVELS = {
    "full": "Full rebuild",
    "driveline": "Driveline only",
    "repair": "Repair of components",
}

PRICE, READY = "Price", "Ready, the day we plan by"
CONTINGENCY_HELD = "Contingency for parts found worn"
BEFORE_TAX = "before tax"
TAX_LINE = "{tax} on {base}: {amount}"
GROSS_LINE = "{amount} with tax"
INSIDE_PRICE = "Inside the price"
NONE_HELD = "None held"
READY_WORDS = (
    "In our judgement, with time for parts found worn, if ordered by {order_by}. Likely {likely}; "
    "{earliest} if nothing more is found."
)
READY_PLAIN = (
    "In our judgement, if ordered by {order_by}. Likely {likely}; {earliest} if all goes to plan."
)
FIRM, PROVISIONAL, CONTINGENCY = "Firm", "Provisional", "Contingency"

INCLUDED, NOT_INCLUDED = "Included", "NOT included"
LEFT_OUT, TAKEN_OUT = "{names}: not part of this scope", "Taken out of this scope: {names}"
NOT_HELD = "Agreed first if found, not in this price: {names}"
NOT_HELD_MANY = Counted(
    "Agreed first if found, not in this price: {count} kind of work named on page {page}",
    "Agreed first if found, not in this price: {count} kinds of work named on page {page}",
)
NOT_LOOKED_AT, ADDED = "Not looked at, so not priced: {names}", "Added: {names}"
FOUND_AT_OUR_RISK = "at our risk, inside the price"
FOUND_FROM_CONTINGENCY, FOUND_AGREED = "paid from the contingency", "if agreed as a finding"
FIXED_WORDS = "What the fixed price covers"
INSIDE_SCOPE, AT_RISK = "Parts found worn", "At our risk"
CONTINGENCY_WORDS = "The contingency, in plain words"
ODDS, ONE_IN = "{times} times in {of}", "{times} in {of}"
AND_OTHERS = Counted("{names} and {count} other part", "{names} and {count} other parts")
HOW_PRICE_WORKS = "How this price works, and what may move"
FORM = "Form"
REQUESTS, EXCHANGE_UNITS, TAX = "Your requests", "Exchange units", "Tax"

DATES = "Dates"
PAYMENT = "Payment"
MACHINE_IN, OPENED = "Machine in by", "Opened and reported"
LIKELY_BY = "likely by {day}"
ANSWERED = "Your answers"
ANSWER_DAYS = Counted("within {days} working day", "within {days} working days", "days")
READY_BY, READY_LIKELY, READY_EARLIEST = "Ready, planned", "Ready, likely", "Ready, earliest"
IF_NOTHING_MORE = "{day}, if nothing more is found"
LONG_LEADS = "Parts that take long"
WEEKS = Counted("{name}: {weeks} week", "{name}: {weeks} weeks", "weeks")
STAGE, SHARE, NET, TO_PAY, STAGE_SUM = "Stage", "Share", "Before tax", "To pay", "Whole price"
BALANCE = "Balance, before release"

PRICE_TABLE = "Price by component group"
GROUP, HOURS, LABOUR, PARTS, OUTWORK = "Component group", "Hours", "Labour", "Parts", "Outwork"
AMOUNT, HOW_SURE = "Amount, {currency}", "How sure"
PRICED_WORK = "Priced work"
DISCOUNT, DISCOUNT_FIXED = "Discount, {share} on firm parts", "Discount, {share} on parts"
CARRIAGE = "Carriage in, all suppliers and outwork"
BASE, BASE_FIXED = "Firm and provisional together", "Work, parts and charges"
AT_OUR_RISK = "Parts found worn: at our risk, inside the price"
EXCHANGE_RATES, EXCHANGE_RATE = (
    "Exchange rates used: {rates}.",
    "1 {currency} = {rate} {own}, {day}",
)
NET_PRICE, GROSS_PRICE = "Price before tax", "Price with tax"
BAR_KEY = "Solid: firm. Hatched: provisional, measured again when open."
BAR_KEY_CONTINGENCY = "Dotted: contingency."
TAX_RATE = "{name} {rate}"

BY_GROUP = "Where the contingency may go"
RATES, RATE, TRADE = "Charge rates, before tax", "{currency}/h", "Trade"
ALL_HOURS = "Hours in this price"
PROVISIONAL_LINES = "Provisional lines, and why they may move"
LINE_WHY, LOW, LIKELY, HIGH = "Line, and why it may move", "Low", "Likely", "High"
PROVISIONAL_SUM = "Provisional"
UNIT, QUANTITY, EACH, EACH_HELD = "Unit", "Number", "Charge each", "Held"
ALL_HELD = "Charges held"

UNITS = {"each": "off", "m2": "m\u00b2"}
UNITS_COUNTED = {
    "day": Counted("day", "days"), "week": Counted("week", "weeks"), "job": Counted("job", "jobs"),
    "set": Counted("set", "sets"), "lot": Counted("lot", "lots"),
    "sample": Counted("sample", "samples"), "hour": Counted("hour", "hours"),
}  # fmt: skip

OPTIONS = "Options side by side"
OPTION_ROWS = {
    "firm": "Firm", "provisional": "Provisional",
    "contingency": "Contingency for parts found worn", "net": "Price before tax",
    "gross": "Price with tax", "share": "Share of a new machine",
    "covered": "Ready, the day we plan by", "likely": "Ready, likely",
}  # fmt: skip
THIS_QUOTE = "this quote"
USUAL = "{share} (usual {low} to {high})"
OPTION_LEAVES_OUT = "{level} leaves out: {names}."

ANNEX = "Work and parts in this price"

TERMS = "Terms and warranty"
WARRANTY = "Warranty, whichever comes first"
MONTHS, WARRANTY_HOURS, WARRANTY_GROUPS = "Months", "Hours", "Component groups"
TERM_PARTS = {
    "terms: findings": "Findings after opening",
    "terms: safe stop": "Safe stop",
    "terms: removed parts": "Removed parts",
    "terms: exchange units": "Exchange units",
    "terms: parts fitted": "Parts fitted",
    "terms: custody": "Custody and insurance",
    "terms: storage": "Storage",
    "terms: liability": "Liability",
    "terms: escalation": "If prices rise",
    "terms: emission equipment": "Emission equipment and changes to the machine",
}
SAFETY = "Safety"
NO_FAMILY = "common practice"  # in the catalogue: a caution that comes from no family of standards
FAMILY_REMARKS = ("(from memory)", "(read as excerpt)", ", no source")  # where a family was read

ACCEPTANCE = "Acceptance of {title}"
ACCEPT_LEVEL = "{level}: {sums}."
ACCEPT_OTHER = "{level} instead: {sums}; ready {day}."
ACCEPT_LEAVES_OUT = "Leaves out: {names}."
ACCEPT_CONTINGENCY = "The contingency inside it is {amount}."
ACCEPT_TEARDOWN = "Teardown only: {sums}."
UP_TO, FOR_ONE, IN_TOTAL = "up to {currency}", "for one finding, {currency}", "in total"
APPROVER, POSITION = "Who may approve findings for us", "Position"
ONE_FINDING, ALL_FINDINGS = "{currency} for one finding", "{currency} in total"
ORDERER, ONE_REQUEST = "Who may order more work for us", "{currency} for one request"
ORDER_NUMBER, ORDER_LIMIT = "Order number", "Limit of this order, {currency} with tax"
SIGN_CUSTOMER, SIGN_RELEASED = "Name and position, for {name}", "Released by {name}"
SIGNATURE, DATE = "Signature", "Date"
RECORD = "Record {record}."
RECORD_CHAIN = "Record chain {head}."
RETURN_TO = "To {contact}."
WRITTEN_AS = "Figures and dates are written as in {locale}; the text is in English."
IN_ENGLISH = "Some text is in English for want of a translation."
UNCONFIRMED_MARK = "\u2020"
UNCONFIRMED = "{mark} Translation not confirmed by the workshop: a draft only."

# The internal sheet of the exposure

INTERNAL = "Internal - not for the customer"
SHEET_REFERENCE = "{internal} \u00b7 {title}"
SHEET_TITLE = "Exposure of {title}"
SHEET_MACHINE = "{machine}, {mass} t class, serial {serial}, {hours} hours, duty {duty}"
SHEET_HOURS_DOUBT = "hour meter {meter}, hours good to {share}"
SHEET_FOOT = "catalogue {version}, edition {edition}"
CUSTOMER, INSPECTED, DATED = "Customer", "Inspected", "Dated"
FINISH_AT = "Finish, {share}"
FINISH_OTHERS = "{shares}; {earliest} if nothing is found worn"
FINISH_ONE = "{share}: {day}"
HELD_WORDS = "{amount} above firm and provisional {base}, at {share}. {bound}"
BOUNDS = {
    "percentile": "The percentile rules.",
    "mean": "The mean rules: the percentile lies below it.",
    "nothing": "Nothing need be held.",
}
BOUND_NAMES = {"percentile": "percentile", "mean": "mean", "nothing": "nothing"}
CURVE, CURVE_WORDS = (
    "Final cost to the customer",
    "Chance that the sum before tax, in {currency}, is at or under each figure. Dotted: what the "
    "contingency covers.",
)
CURVE_BASE, CURVE_MEAN, CURVE_HELD = "base {sum}", "mean {sum}", "{share}: {sum}"
NO_CURVE = "Nothing is open and nothing is still to be measured: there is no spread to draw."
HELD_AT, HELD_CONFIDENCE, HELD_SUM = "Held at each confidence", "Confidence", "Held, {currency}"
HELD_TOTAL, HELD_BOUND = "Price, {currency}", "Rules"
WHAT_MAKES_IT = "What makes up the contingency"
WHAT_MAKES_IT_WORDS = "Groups add up to it; a group that is likelier to save carries a minus sign."
ON_STARTING = "What rests on starting values"
ON_STARTING_SUM = "{count} of {whole} chances and counts, {amount} of the contingency: {names}."
ON_STARTING_COSTS = "{count} of {whole} costs are starting values too."
NONE_ON_STARTING = "No chance behind the contingency is a starting value."
NOT_SEEN = "What is not seen, by group and part"
NOT_SEEN_WORDS = (
    "Low, likely and high at selling price if found worn; own cost is what the likely one costs "
    "us. Way: the usual one, others with their chance. Worn: chance after all that is known, with "
    "its {interval} interval. Shares add up to the contingency."
)
PART_OR_LINE, WAY, WORN, INTERVAL = "Part or line", "Way", "Worn", "Interval"
RESTS_ON, OWN_CASES = "Rests on", "own cases ({count})"
CIRCUIT, OWN_COST, DAYS = "Circuit", "Own cost", "Days"
SHARE_SUM = "Share, {currency}"
TO_BE_MEASURED = "provisional"
EXPECTED_EACH = "{name}, each; {count} expected"
OPEN_FIRST = "Open first"
OPEN_FIRST_WORDS = (
    "Looks and tests still possible, by how far each is expected to close the sum held on the "
    "mean. Opening is part of the strip and has no cost of its own here. What a look finds is "
    "priced: moving money from exposed to firm is no saving."
)
LOOK, LOOK_ON, COST, DETECTS = "Look or test", "On", "Cost, {currency}", "Detects"
FALL, CHANGES_PART, CHANGES_DECISION = "Fall, {currency}", "Changes a part", "Changes the decision"
TAKE_CARE, ADDED_LOOK = "Take care", "{name} (in the inspection)"
OPEN_PART, AND_MORE = "Open: {name}", "{names}; {count} more"
LOOKS_LEFT = Counted(
    "{count} further look is expected to tell less.",
    "{count} further looks are expected to tell less.",
)
FORMS = "Commercial forms side by side"
FORMS_WORDS = (
    "At the job's own confidence, before tax. At worst is a cap, or else what 99 "
    "outcomes of 100 do not exceed. Kept or borne: mean payment less the mean of all work at "
    "selling price. Margin: less what it costs us. Passed: chance that the work comes to more than "
    "is quoted."
)
FORM_QUOTED, FORM_PAYS, FORM_WORST = "Quoted, {currency}", "Paid, mean", "At worst"
FORM_BEARS, FORM_KEEPS = "Bears what is hidden", "Keeps the unspent"
FORM_WORKSHOP, FORM_MARGIN, FORM_PASSED = "Kept or borne", "Margin", "Passed"
CAPPED, NOT_CAPPED = "{sum} (cap)", "{sum}"
THIS_FORM = "{name} (this quote)"
