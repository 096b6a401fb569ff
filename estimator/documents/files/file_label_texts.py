"""English texts of the labels of files beside the print; `file_labels` answers with them."""

from __future__ import annotations

# Certainties and sums, named as in the print.
FIRM, PROVISIONAL, CONTINGENCY = "Firm", "Provisional", "Contingency"
CONTINGENCY_HELD = "Contingency for parts found worn"
AT_OUR_RISK = "Parts found worn: at our risk, inside the price"
LABOUR, PARTS, OUTWORK = "Labour", "Parts", "Outwork"
FIRM_LINES, PROVISIONAL_LINES = "Firm lines", "Provisional lines"
GROUP_LINE = "{group}, {certainty}"
DISCOUNT, DISCOUNT_FIXED = "Discount, {share} % on firm parts", "Discount, {share} % on parts"
CARRIAGE = "Carriage in, all suppliers and outwork"
BASE, BASE_FIXED = "Firm and provisional together", "Work, parts and charges"
NET_PRICE, GROSS_PRICE = "Price before tax", "Price with tax"
TAX, TAX_RATE = "Tax", "{name} {rate} %"

# The workbook.
SUMMARY, GROUPS, LINES = "Summary", "Component groups", "Lines"
PROVISIONAL_SHEET, STAGES, MILESTONES = "Provisional lines", "Stage payments", "Dates"
SHEET_HEADINGS = {
    "summary": "The price",
    "groups": "Price by component group",
    "lines": "Work and parts in this price",
    "provisional": "Provisional lines, and why they may move",
    "stages": "Payment",
    "dates": "Dates",
}
HOW_SURE, AMOUNT, ITEM = "How sure", "Amount, {currency}", "What"
CODE, GROUP, REFERENCE, LINE, KIND = "Code", "Component group", "Reference", "Line", "Kind"
HOURS, QUANTITY, UNIT, WHY = "Hours", "Quantity", "Unit", "Why it may move"
LOW, LIKELY, HIGH = "Low, {currency}", "Likely, {currency}", "High, {currency}"
CONTINGENCY_COLUMN = "Contingency, {currency}"
FIRM_COLUMN, PROVISIONAL_COLUMN = "Firm, {currency}", "Provisional, {currency}"
LABOUR_COLUMN, PARTS_COLUMN = "Labour, {currency}", "Parts, {currency}"
OUTWORK_COLUMN = "Outwork, {currency}"
PRICED_WORK = "Priced work"
STAGE, SHARE, NET, TAX_SUM = "Stage", "Share", "Before tax, {currency}", "Tax, {currency}"
TO_PAY, STAGE_SUM, BALANCE = "To pay, {currency}", "Whole price", "Balance, before release"
DAY, WHAT_IT_MEANS = "Day", "What it means"
TITLE, STANDS_UNTIL = "Quote {title}", "Stands until"
TO, FROM, MACHINE, SERIAL, METER = "To", "From", "Machine", "Serial number", "Hours on the meter"
WRITTEN, RELEASED, RECORD, RECORD_CHAIN = "Written by", "Released by", "Record", "Record chain"
ISSUED, DRAFT = "As issued", "Draft: not issued, and no offer"
PAGE = "Page {page} of {total}"
INSIDE = "Where the sums stand"

# The dates, in the workbook and in the calendar.
DATES = {
    "machine in": "Machine in by",
    "opened and reported": "Opened and reported, likely",
    "answers by": "Your answers, likely by",
    "ready likely": "Ready, likely",
    "ready planned": "Ready, planned",
    "valid until": "Quote stands until",
}
DATE_WORDS = {
    "machine in": "Our dates hold if the machine is here by then.",
    "opened and reported": "The day by which it is likely opened and our report is out.",
    "answers by": "Working days to answer what the report asks: {days}.",
    "ready likely": "The day we think likely, in our judgement.",
    "ready planned": "The day we plan by, in our judgement, with time for parts found worn.",
    "valid until": "The last day on which this quote stands.",
}
EVENT = "{what}: {title}"
EVENT_WORDS = "{words} Machine: {machine}, serial {serial}. From {workshop}."

# Properties of a line in the quotation for order systems.
PROPERTY_CERTAINTY, PROPERTY_GROUP, PROPERTY_KIND = "How sure", "Component group", "Kind"
STAGE_CONDITION = "{share} % of the price: {when}"
READY_NOTE = "Ready, planned"

# The e-mail draft.
SUBJECT = "Quote {title}"
EMAIL_BODY = """Dear {customer},

please find attached: Quote {title} (serial {serial}). It stands until {valid_until}.

{files}

Nothing in this message is an order, and no answer is not one either. Please answer on the attached
quote, or by replying to this message with your name and capacity.

{sender}
{contact}"""
ATTACHED = {
    "pdf": "The quote as it was issued, to read and sign",
    "xlsx": "Its figures as a workbook",
    "xml": "Its figures for an order system (UBL 2.1)",
    "ics": "Its dates for a calendar",
    "csv": "Its figures as a plain table",
    "html": "The same as a web page, to read on a screen or aloud",
}
