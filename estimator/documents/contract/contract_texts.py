"""English of every label of the papers that follow a contract; `contract_labels` says it in other
languages."""

from __future__ import annotations

from estimator.documents.grammar.counted import Counted

MACHINE_LINE = "{machine}, {mass} t class, serial {serial}, {hours} hours at inspection"
TO, JOB, ORDER, DATED, PAGE_DATE = "To", "Job", "Your order", "Dated", "{title} \u00b7 {day}"
JOB_ORDER = "{job}; your order {order}"
RECORD_CHAIN = "Record chain {head}."
DRAFT_MARK, NOTICE_MARK = "Draft, not sent", "notice, not priced"
INFORMATION_MARK = "for your information"
WITHIN_AUTHORITY = "not sent: within the authority you gave"
WITH_TAX = "with {tax}"
BEFORE_TAX = "before tax"
AMOUNT, AMOUNT_WITH_TAX = "{currency} before tax", "{currency} with {tax}"
SAFETY, CAUTIONS = "Safety", "Cautions for this work"
SAFETY_FIRST = "Local codes, site rules and licensed practice come before anything written here."
NAME, CAPACITY, DATE, SIGNATURE = "Name", "Capacity", "Date", "Signature"
ORDER_NUMBER = "Order number, if it changes"
TO_PAY = "{net} before tax, {gross} with {tax}"
RANGE = "{low} to {high}, likely {likely}"
AT_BY = "{day}, {who}"
IN_CAPACITY = "{who}, {capacity}"
AND_MORE = Counted(
    "{count} more photograph is in the record.", "{count} more photographs are in the record."
)

STATES = {
    "found": "found, not priced yet", "draft": "priced, not sent yet",
    "issued": "waits for your answer", "queried": "your question is being answered",
    "approved": "approved", "part approved": "approved in part", "declined": "declined",
    "deferred": "put off", "lapsed": "not answered in time", "agreed": "agreed",
    "closed": "settled, no charge to you", "withdrawn": "withdrawn",
    "released": "approved, in work", "done": "approved, done", "stopped": "stopped",
}  # fmt: skip
CAUSES = {
    "hidden condition": "hidden until it was opened", "customer's request": "your request",
    "outside scope": "outside the scope of the quote", "own error": "our own error",
    "supplier's fault": "the supplier's fault", "measured again": "measured again",
}  # fmt: skip
FUNDED = {
    "contingency": "the contingency for parts found worn",
    "contract sum": "the contract sum: it is added",
    "remeasured": "the contract sum: measured again at the quoted rate",
    "workshop": "us: no charge to you", "supplier": "the supplier: no charge to you",
}  # fmt: skip
AT_OUR_RISK = "us: inside the fixed price"
REST_OURS = "{end}; the rest from us"
WAYS = {"recondition": "Recondition", "exchange": "Exchange unit", "replace": "New part",
        "defer": "Put off"}  # fmt: skip
CHANNELS = {
    "signed paper": "signed paper", "e-mail": "e-mail", "telephone": "telephone",
    "in person": "in person", "telephone, confirmed by e-mail": "telephone, confirmed by e-mail",
}  # fmt: skip
NOT_SEEN_WHY = {
    "inside a closed component; nobody could look before it was opened":
        "inside a closed component; nobody could look before it was opened",
}  # fmt: skip
ACCEPTED_OF = {"whole": "whole", "teardown only": "teardown only"}
PARTS = {"worn": "worn", "sound": "sound", "as priced": "as priced"}
VERDICTS = {"reuse": "reuse", "recondition": "recondition", "exchange": "exchange",
            "replace": "replace", "open": "not settled"}  # fmt: skip

# Variation order

VARIATION = "Variation {name}"
VARIATION_REFERENCE = "Variation {name} \u00b7 {job} \u00b7 {day}"
ISSUED, ANSWER_BY, FUNDED_BY, REPLACES, STATE = (
    "Sent",
    "Answer by",
    "Paid from",
    "Replaces",
    "State",
)
FOUND_BY, WHERE, CAUSE = "Found by", "Where", "Cause"
WHERE_ON = "{location}; {component}"
FOUND = "What was found"
READING, NOT_SEEN = "Reading against limit", "Why not seen before"
CAUSE_WHY = "{cause}: {why}"
SAFETY_MATTER = "Safety matter"
SAFETY_WORDS = "It touches what keeps people safe."
CANNOT_DECLINE = "It cannot be declined: {why}."
MADE_SAFE = "Made safe already; that work goes on without waiting for an answer."
PHOTOGRAPHS = "Photographs"
PRICE, LINE, QUANTITY = "What it takes", "Line", "Quantity"
TOTAL, TOTAL_WITH_TAX = "Before tax", "With {tax}"
MEASURED_LINE, QUOTED, NOW, CHANGE = "Line measured again", "Quoted", "Now", "Change"
ASK_AGAIN = "Lines marked * are off by more than 15 %: either side may ask for a new rate for them."
NO_PRICE = "No price yet"
NO_PRICE_WORDS = (
    "In our judgement {range} before tax. It is priced when its extent is known, and sent to you "
    "again; until then nobody can say whether what is held is enough."
)
NO_CHARGE = "No charge to you."
WAYS_HEAD = "Ways to deal with it: tick one"
WAY, DAYS, WARRANTY = "Way", "Working days", "Warranty, and what follows"
DAYS_SHORT = "Days"
PRICED_ABOVE = "priced above"
ONE_WAY = "As priced above"
UNDONE = "If it is left undone"
UNDONE_UNKNOWN = "Not stated."
WAITING, WAITING_COST = (
    "Cost of waiting",
    "{amount} before tax for each working day in the bay without an answer{since}.",
)
SINCE = ", from {day}"
NO_WAITING = "None stated; each day without an answer may move the ready date by a day."
EFFECT = "What agreeing does"
STANDS = "Where the contract stands"
DAYS_ADDED = "Working days added"
ORIGINAL, AGREED_BEFORE, THIS_ONE, REVISED = (
    "Contract sum", "Agreed before", "This one", "Revised sum",
)  # fmt: skip
LEFT_BEFORE, DRAWN, LEFT_AFTER = "Contingency left", "This one draws", "Left after it"
ON_WORKSHOP = "Borne by us"
READY_BEFORE, READY_AFTER = "Ready without it", "Ready with it"
UNKNOWN_EFFECT = "Known once it is priced."
DATES_NOTE = "Sums before tax; dates in our judgement."
ANSWER = "Your answer to variation {name}"
APPROVE, APPROVE_PART = "We approve", "We approve in part: lines"
DECLINE = "We decline, knowing what follows"
AGREE, DISAGREE = "We agree to the measurement", "We do not agree"
STOP_SAFE = "We do not: make it safe and stop"
NO_ANSWER = "No answer is not approval."
NOTHING_TO_ANSWER = "For your information. There is nothing to sign."
PRICE_FOLLOWS = "There is nothing to approve yet: the price follows as the next revision."
ANSWERED = "Answer on record"
ANSWERED_WORDS = "{state} by {who} on {day}{channel}"
ANSWERED_AMOUNT = ": {amount} before tax"
ANSWERED_LINES = ", lines {lines}"
IN_WORDS = "\u201c{words}\u201d"

# Strip report

STRIP = "Strip report"
STRIP_REFERENCE = "Strip report \u00b7 {job} \u00b7 {day}"
STRIP_WORDS = (
    "What opening the machine showed by this day, component by component. What is worn is carried "
    "by a variation; what is still closed is called neither good nor bad."
)
OPENED_COUNT, PARTS_JUDGED = "Components opened", "Parts judged"
STILL_CLOSED_COUNT, NOTHING_OPENED = "Parts still closed", "Nothing has been opened yet."
OPENED_BY = "Opened {day} by {who}"
PART, FOUND_STATE, CARRIED = "Part", "Found", "Variation"
READINGS, READ, LIMITS, FOLLOWS = "Reading", "Read", "Against its limits", "Follows"
LIMIT_TEXT = "new {new}, rebuild {rebuild}, service {service}"
NO_LIMITS = "no limits"
TICKED = "Cautions ticked before opening: {names}."
TICKED_NONE = "No cautions were ticked."
STILL_CLOSED, STILL_MEASURED = "Still closed", "Still to be measured"
ALL_OPEN = "Nothing of what could not be seen is still closed."
STRIP_TOTALS = "What it comes to"
PRICED_VARIATIONS, REMEASURED = "Variations with a price", "Lines measured again at opening"
UNPRICED_VARIATIONS = "Findings without a price"
STRIP_PRICED = "Variations raised"
STRIP_VARIATION, STRIP_AMOUNT = "Variation", "{currency} before tax"
GAUGE_KEY = (
    "Gauge: left end new, long tick service limit, short tick rebuild limit, triangle the reading."
)

# Declined work

DECLINED = "Work declined, put off or not answered"
DECLINED_REFERENCE = "Declined work \u00b7 {job} \u00b7 {day}"
DECLINED_WORDS = (
    "This list goes with the machine. The work below was offered and is not done; what follows "
    "from that is stated beside it, and our warranty does not extend to it."
)
NONE_DECLINED = "Nothing was declined, put off or left without an answer."
OFFERED = "Offered at {amount} before tax"
OFFERED_RANGE = "Offered without a price, {range}"
LEFT_OUT = "Not agreed to: {names}"
CONSEQUENCE = "What follows"
WHO_DECIDED = "Decided"
NOBODY = "Nobody answered{by}. No answer is not approval: the work is not done."
BY_DAY = " by {day}"
SEEN = "Seen by the customer"
RECEIVED_LIST = "I have read what follows from the work that is not done."

# Ledger statement

LEDGER = "Ledger of {job}"
LEDGER_REFERENCE = "Ledger \u00b7 {job} \u00b7 {day}"
CURRENT, LEFT, READY = "Sum by now", "Contingency left", "Ready, the day we plan by"
CURRENT_WORDS = "before tax; {gross} with {tax}"
LEFT_WORDS = "of {held} held when you accepted"
READY_WORDS = "in our judgement; likely {likely}"
READY_DONE = "The machine is handed over, or the job was stopped."
BAR_KEY = "Solid: drawn. Hatched: waits for your answer. Dotted: left. Blank: returned or ours."
SUM_TITLE, CONTINGENCY_TITLE = "How the sum comes about", "The contingency"
MEASURED_AGAIN, ADDED = "Lines measured again", "Added by agreement"
RETURNED, EXCHANGE = "Contingency returned", "Exchange units not accepted"
HELD, DRAWN_SO_FAR, GIVEN_BACK, TO_US = "Held", "Drawn", "Returned to you", "Ours, by the terms"
STOP_UNDONE, STOP_BACK = "Not done, by the stop", "Way back, by the stop"
TAKEN_OFF = "Not drawn, off the sum by the stop"
LEFT_NOW, WAITS = "Left", "Waits for your answer"
DEPOSIT = "Deposit paid, tax in it: {amount}. It comes off what is invoiced first."
CLOSED_HELD = "Still closed, held for"
CLOSED_UNPRICED = "Still closed or without a price, held for"
MARKS = {
    "covered": "In our judgement what is left is enough for what waits and for what is still "
    "closed. It may be less, and it may be more.",
    "short": "In our judgement what is left is short by {short} of what waits and what is still "
    "closed. Nothing beyond it is done without your agreement.",
    "no mark": "A finding has no price yet, so nobody can say whether what is left is enough.",
    "closed": "Nothing is held any more.",
}
UNSPENT = {"to the customer": "What is not drawn comes off your final account.",
           "to the workshop": "What is not drawn is ours, by the terms you accepted.",
           "shared half": "What is not drawn is shared half and half."}  # fmt: skip
GROUPS, GROUP, CAUSES_HEAD = "By component group", "Component group", "Drawn for"
OTHER_GROUP, GROUP_TOTAL = "Other", "Together"
GROUPS_NOTE = (
    "Held: the share of the group when you accepted. A group may draw more than its share and "
    "another less; the whole counts. A group that is likelier to save carries a minus sign."
)
EVENTS, WHEN, WHAT = "What happened, in order", "Date", "What"
MOVES_SUM, SUM_AFTER = "Sum moves", "Sum by now"
MOVES_LEFT, LEFT_AFTER_EVENT = "Contingency moves", "Left"
KINDS = {
    "accepted": "Accepted, {subject}", "approve": "Approved: {subject}",
    "approve in part": "Approved in part: {subject}", "decline": "Declined: {subject}",
    "defer": "Put off: {subject}", "agree": "Agreed: {subject}",
    "call off": "Called off: {subject}",
    "measured": "Measured again: {subject}", "exchange": "Exchange units settled: {subject}",
    "revised": "Written anew: {subject}", "returned": "Contingency returned",
    "handed over": "Machine handed over", "stopped": "Stopped after teardown",
}  # fmt: skip
WAITING_TITLE, NOTHING_WAITS = "Waiting for an answer", "Nothing waits for an answer."
UNPRICED_LINE = "no price yet: {range}"

# Stop after teardown

STOP = "Stop after teardown"
STOP_REFERENCE = "Stop after teardown \u00b7 {job} \u00b7 {day}"
STOP_WORDS = (
    "The machine is apart. You may stop here: it then goes back to you in one of these ways, "
    "unrepaired. Tick one and sign."
)
STOP_DONE = "The job was stopped here: the machine goes back to you as ticked, unrepaired."
BACK = {"boxed return": "Boxed return", "reassembly": "Put back together, unrepaired"}
BACK_WORDS = {
    "boxed return": "parts cleaned, labelled and boxed beside the machine; it does not move by "
    "itself",
    "reassembly": "parts put back as they were found, with new gaskets and seals; wear stays as "
    "it is",
}
WAY_BACK, READY_ON = "Way back", "Ready"
LONGEST = Counted(
    "At most {days} working day from your answer.",
    "At most {days} working days from your answer.",
    "days",
)
STRIP_PRICE, DONE_BESIDES = "Strip and report", "What is done or in hand besides"
JOB_TITLE, JOB_SUM = "What the whole job comes to then", "Before tax"
JOB_WORDS = "In the place of the sum by now; what was paid before comes off it."
LOST_TITLE = "What is no longer possible"
LOST_WORDS = "It may not be possible to restore the machine to the state it came in."
LOST = "Destroyed in stripping, and not usable again: {names}."
OPENED_NAMES = "Opened by now: {names}."
NOT_FOR_USE = "Not to be used"
NOT_FOR_USE_WORDS = (
    "These findings touch what keeps people safe, and are not put right. The machine leaves "
    "marked not to be used: {names}."
)
STORAGE_TITLE = "Storage"
STORAGE_WORDS = Counted(
    "Free for {days} day after the machine or its parts are ready, then {net} before tax "
    "({gross} with {tax}) a day.",
    "Free for {days} days after the machine or its parts are ready, then {net} before tax "
    "({gross} with {tax}) a day.",
    "days",
)
STOP_SIGN = "We stop here, and take the machine back as ticked"
