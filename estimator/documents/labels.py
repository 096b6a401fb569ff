"""Every label of the customer's print, in one place for a translation to find.

Sentences that say what is agreed are no labels: they are clauses, in the catalogue.
"""

from __future__ import annotations

PROGRAM = "Shimwright"
LANGUAGE = "en"  # of these labels, told to readers of the file
PAGE_OF = "Page {page} of {total}"
REFERENCE = "Quote {title} \u00b7 {day}"
PRICES_IN, BESIDES_TAX = "prices in {currency}", "{tax} not included unless named"

TITLE = "Quote to rebuild your {machine}"
MACHINE_LINE = "{mass} t class, serial {serial}, {hours} hours, inspected on {day}"
TO, FROM, WRITTEN, RELEASED = "To", "From", "Written by", "Released by"
STANDS, LEVEL, CONTACT = "Stands until", "Scope", "Attention"
LEVELS = {"full": "Full rebuild", "driveline": "Driveline only"}

PRICE, READY = "Price", "Ready, the day we plan by"
CONTINGENCY_HELD = "Contingency for parts found worn"
BEFORE_TAX = "before tax"
TAX_LINE = "{tax} on {base}: {amount}"
GROSS_LINE = "{amount} with tax"
INSIDE_PRICE = "Inside the price"
NONE_HELD = "None held"
READY_WORDS = (
    "In our judgement, with time for parts found worn. Likely {likely}; {earliest} if nothing "
    "is found worn."
)
READY_PLAIN = "In our judgement. Likely {likely}; {earliest} if all goes to plan."
FIRM, PROVISIONAL, CONTINGENCY = "Firm", "Provisional", "Contingency"

INCLUDED, NOT_INCLUDED = "Included", "NOT included"
ALSO_LEFT_OUT = "Left out of this scope: {names}"
CONTINGENCY_WORDS = "The contingency, in plain words"
AND_OTHERS = "{names} and {count} other parts"
HOW_PRICE_WORKS = "How this price works, and what may move"
FORM = "Form"
REQUESTS, EXCHANGE_UNITS, TAX = "Your requests", "Exchange units", "Tax"

DATES = "Dates"
PAYMENT = "Payment"
MACHINE_IN, OPENED = "Machine in by", "Opened and reported"
LIKELY_BY = "by {day}, likely"
ANSWERED, ANSWER_DAYS = "Findings answered", "within {days} working days, yours"
READY_BY, READY_LIKELY, READY_EARLIEST = "Ready, planned", "Ready, likely", "If nothing is found"
LONG_LEADS, WEEKS = "Parts that take long", "{name}: {weeks} weeks"
STAGE, SHARE, NET, TO_PAY, STAGE_SUM = "Stage", "Share", "Before tax", "To pay", "Whole price"
BALANCE = "Balance, before release"

PRICE_TABLE = "Price by component group"
GROUP, HOURS, LABOUR, PARTS, OUTWORK = "Component group", "Hours", "Labour", "Parts", "Outwork"
AMOUNT, HOW_SURE = "Amount, {currency}", "How sure"
PRICED_WORK = "Priced work"
DISCOUNT = "Discount, {share} on firm parts"
CARRIAGE = "Carriage in, all suppliers and outwork"
BASE = "Firm and provisional together"
NET_PRICE, GROSS_PRICE = "Price before tax", "Price with tax"
BAR_KEY = "Solid: firm. Hatched: provisional, measured again when open. Dotted: contingency."
TAX_RATE = "{name} {rate}"

BY_GROUP = "Where the contingency may go"
RATES, RATE, TRADE = "Charge rates, before tax", "{currency}/h", "Trade"
ALL_HOURS = "Hours in this price"
PROVISIONAL_LINES = "Provisional lines, and why they may move"
LINE_WHY, LOW, LIKELY, HIGH = "Line, and why it may move", "Low", "Likely", "High"
PROVISIONAL_SUM = "Provisional"
UNIT, QUANTITY, EACH, HELD = "Unit", "Number", "Charge each", "Held"
ALL_HELD = "Charges held"

UNITS = {"each": "off", "m2": "m\u00b2"}

OPTIONS = "Options side by side"
OPTION_ROWS = {
    "firm": "Firm", "provisional": "Provisional",
    "contingency": "Contingency for parts found worn", "net": "Price before tax",
    "gross": "Price with tax", "share": "Share of a new machine",
    "covered": "Ready, the day we plan by", "likely": "Ready, likely",
}  # fmt: skip
THIS_QUOTE = "this quote"
USUAL = "{share} (usual {low} to {high})"

TERMS = "Terms and warranty"
WARRANTY = "Warranty, whichever comes first"
MONTHS, WARRANTY_HOURS, WARRANTY_GROUPS = "Months", "Hours", "Component groups"
TERM_PARTS = (
    ("terms: findings", "Findings after opening"),
    ("terms: safe stop", "If money or answers run out: safe stop"),
    ("terms: removed parts", "Removed parts"),
    ("terms: exchange units", "Exchange units"),
    ("terms: parts fitted", "Parts fitted"),
    ("terms: custody", "Custody and insurance"),
    ("terms: storage", "Storage"),
    ("terms: liability", "Liability"),
    ("terms: escalation", "If prices rise"),
    ("terms: emission equipment", "Emission equipment and changes to the machine"),
)
SAFETY = "Safety"

ACCEPTANCE = "Acceptance of {title}"
ACCEPT_LEVEL = "{level}: {sums}."
ACCEPT_OTHER = "{level} instead: {sums}; ready {day}."
ACCEPT_TEARDOWN = "Teardown only: {sums}."
UP_TO, FOR_ONE, IN_TOTAL = "up to {currency}", "for one finding, {currency}", "in total"
APPROVER, POSITION = "Who may approve findings for us", "Position"
ONE_FINDING, ALL_FINDINGS = "{currency} for one finding", "{currency} in total"
ORDER_NUMBER, ORDER_LIMIT = "Order number", "Limit of this order, {currency} with tax"
SIGN_CUSTOMER, SIGN_RELEASED = "Name and position, for {name}", "Released by {name}"
SIGNATURE, DATE = "Signature", "Date"
RECORD = "Record {record}."
IN_ENGLISH = "Text in English where no agreed text in the language of this quote exists."
