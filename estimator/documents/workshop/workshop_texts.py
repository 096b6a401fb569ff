"""English of every label of the workshop's papers; `workshop_labels` says it in other languages."""

from __future__ import annotations

from estimator.documents.grammar.counted import Counted

NOT_FOR_CUSTOMER = "INTERNAL \u00b7 NOT FOR THE CUSTOMER"
MACHINE = "{machine}, {mass} t class"
MACHINE_SERIAL = "{machine}, {mass} t class, serial {serial}, {hours} hours at inspection"
CATALOGUE = "Catalogue {version}, edition {edition}"
CUSTOMER, JOB, DATED, ESTIMATOR = "Customer", "Job", "Dated", "Estimator"
CAUTIONS = "Cautions"
CAUTION_FAMILY = "Family: {family}."
CAUTION_DEFERS = "Before this text come {defers}."
FIRM, PROVISIONAL = "firm", "provisional"
QUANTITY_RANGE = "{low} to {high}"
DAY_RANGE = "{first} \u2013 {last}"
UNTOLD = "not named"

# Parts list

PARTS_LIST = "Parts list"
PARTS_REFERENCE = "Parts list \u00b7 {job} \u00b7 {day}"
PARTS_STORE, PARTS_CUSTOMER = "For the store", "For the customer"
ORDERED_ON = "Ordered on"
PARTS_COUNT = "{count} lines, {provisional} of them provisional"
SUPPLIER, NO_SUPPLIER = "{code}: {name}", "No supplier named"
PART, CERTAINTY, QUANTITY = "Part", "Certainty", "Quantity"
LEAD, HERE, NEEDED = "Weeks", "Here", "Needed"
EACH, COST = "Cost each", "Cost, {currency}"
SUPPLIER_COST, ALL_COST = "Cost of these", "Cost of all parts"
EXCHANGE_UNITS = "Exchange units"
CHARGE_EACH, CHARGE, BACK_BY = "Charge each", "Charge held, {currency}", "Old unit back by"
ALL_CHARGES = "Charges held together"
LATE_KEY = "\u25b2 comes after the step that uses it would begin."
LATE_MARK = "\u25b2"
NO_PARTS = "This scope buys no parts."
DATES_KEY = (
    "Here: the first working day after the lead time, ordered on the day above. Needed: the first "
    "day of the step that uses it."
)
NO_COST_KEY = "Firm parts are known to be needed; provisional ones are measured again when open."

# Outwork request

OUTWORK_REQUEST = "Request for outwork"
OUTWORK_REFERENCE = "Request {supplier} \u00b7 {job} \u00b7 {day}"
TO_SUPPLIER = "Supplier"
FROM_US, ASKED_BY, DELIVER_TO = "From", "Asked by", "Deliver to"
WORK, WANTED, LEAVES, BACK = "Work", "Quantity", "Leaves us", "Wanted back"
ALL_DATES = "Leaves us from {out}; all wanted back by {back}."
DRAWING = "Limits known to us"
NO_LIMITS = "No limits of ours: by your own drawing or good practice; tell us which."
LIMIT_ROW = "{what}: new {new}, rebuild {rebuild}, service {service} {unit}"
LIMIT_FOUND = "{row}; read {found} {unit}"
CERTIFICATE = "Paper to come with it: {certificate}"
EXTENT = "Extent may move: {reason}"
YOUR_ANSWER = "Your answer"
YOUR_PRICE, YOUR_CURRENCY, YOUR_DAYS = "Price", "Currency", "Working days"
YOUR_VALIDITY, YOUR_NAME, YOUR_DATE = "Price stands until", "Name and signature", "Date"
YOUR_NOTES = "Notes, what you need from us"
FOR_LINE = "{code} {what}"

# Job card

JOB_CARD = "Job card: {trade}"
JOB_CARD_REFERENCE = "Job card {trade} \u00b7 {job} \u00b7 {day}"
CARD_HOURS, CARD_STEPS, CARD_HELD = "Hours", "Steps", "Not released"
CARD_HOURS_WORDS = "{low} to {high} with provisional work"
CARD_STEPS_WORDS = "{first} to {last}"
ORDERED = {
    "ordered": "ordered", "strip ordered": "only the strip is ordered",
    "not ordered": "not ordered",
}  # fmt: skip
ORDER_STATE = "Order"
MUST_NOT_START = "What may not begin"
NOTHING_HELD = "No variation waits for release."
HELD_ROW = "{name} {title}"
VARIATION_STATE, VARIATION_PLACE = "State", "Place"
VARIATION_STATES = {
    "found": "found, no price yet", "draft": "priced, not sent", "issued": "waits for an answer",
    "queried": "a question is open", "approved": "approved, not released",
    "part approved": "approved in part, not released", "agreed": "agreed, not released",
    "declined": "declined", "deferred": "put off", "lapsed": "not answered in time",
    "closed": "settled, not released",
}  # fmt: skip
STEP = "{name}"
STEP_WHERE = "{bay}, {days}, {hours} h"
STEP_NOWHERE = "No step of the programme, {hours} h"
HOLD = "Hold"
HOLD_STEPS = "until done: {steps}"
HOLD_PARTS = "until here: {parts}"
PART_HERE = "{part} ({day})"
OPERATION, HOURS, DONE, BY, TIME = "Operation", "Hours", "Done", "By", "Time"
CREW = Counted("{count} person", "{count} people")
AFTER = "After {operations}"
AFTER_OTHER = "{code} ({trade})"
HOLD_POINT = "Hold point: {text}"
HOLD_OTHER = "wait for {operations}"
HOLD_MEASURE = "measure before going past {low} h; {reason}"
NOT_ORDERED_YET = "not ordered: may not begin"
HEED = "Heed: {hazards}"
RELEASED_WORK = "Released variations"
READINGS = "Readings to take"
READING, READ_FOUND, READ_NOW = "What to read", "Inspection", "Now"
READ_LIMITS = "New / rebuild / service"
MASSES = "Masses to be lifted, dry and bare"
MASS = "{mass} kg"
CARD_NOTES = "Notes, what else was found"
SIGNED_OFF = "Checked by, date"

# Cost sheet

COST_SHEET = "Cost sheet"
COST_REFERENCE = "Internal \u00b7 cost sheet \u00b7 {job} \u00b7 {day}"
SELL_LINES, COST_LINES, MARGIN_LINES = "Lines sell for", "Lines cost us", "Margin on lines"
MARGIN_SHARE = "{share} of the selling price"
BEFORE_DISCOUNT = "before a discount of {discount}"
AFTER_DISCOUNT = "{margin}, {share}, after the discount"
BY_KIND, BY_GROUP = "By kind of line", "By component group"
KIND, GROUP = "Kind", "Component group"
KINDS = {"labour": "Labour", "parts": "Parts", "outwork": "Outwork"}
COST_HEAD, SELL_HEAD, MARGIN_HEAD, SHARE_HEAD = "Cost", "Sells for", "Margin", "Margin, share"
ALL_LINES = "All lines"
FROM_LINES = "From lines to price"
LESS_DISCOUNT, FREIGHT = "Less discount on firm parts", "Carriage in, as charged to us"
BASE, CONTINGENCY, NET, TAX, GROSS = (
    "Firm and provisional", "Contingency held", "Price before tax", "Tax", "Price with tax",
)  # fmt: skip
RATES = "Charge rates"
TRADE, RATE_HOURS, RATE_COST, RATE_CHARGE, RATE_WANTED = (
    "Trade", "Hours", "Costs an hour", "Charged an hour", "Margin wanted",
)  # fmt: skip
MARKUPS, MARKUP, MARKUP_SHARE = "Markups on cost", "Class", "Markup"
EXCHANGE_RATES = "Exchange rates frozen with the job"
EXCHANGE_RATE = "1 {currency} = {rate} {own} ({day}, {source})"
HELD = "Contingency: mean, P50, P80"
HELD_AT, HELD_SUM, HELD_REACHED = "Held at", "Held", "Final cost reached"
HELD_MEAN, HELD_OWN = "Mean (expected)", "P{share}, this job"
HELD_P = "P{share}"
CLASS = "Estimate class and accuracy"
CLASS_WORDS = "Class {number} of 5: {stage}."
BAND_WORDS = (
    "Band of the class: {low_least} to {low_most} below, {high_least} to {high_most} above the "
    "likely figure (AACE 18R-97)."
)
RANGE_WORDS = "Range so far: {low} to {high}, likely {likely}, before tax."
STARTING = "What rests on starting values"
STARTING_LINES = (
    "{count} of {all} lines, selling for {sum}, rest on hours or costs of the catalogue that are "
    "starting values."
)
STARTING_CHANCES = Counted(
    "{count} chance rests on a starting value not judged, {sum} of the contingency: {names}.",
    "{count} chances rest on starting values not judged, {sum} of the contingency: {names}.",
)
NO_CHANCES = "No chance behind the contingency rests on a starting value."
CURRENCY_KEY = "Sums in {currency}. Costs are half-up to the minor unit; prices as quoted."
